package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/bench"
)

// heard is what a running command has written so far.
type heard struct {
	lock sync.Mutex
	text bytes.Buffer
}

func (h *heard) Write(p []byte) (int, error) {
	h.lock.Lock()
	defer h.lock.Unlock()
	return h.text.Write(p)
}

func (h *heard) String() string {
	h.lock.Lock()
	defer h.lock.Unlock()
	return h.text.String()
}

// benching runs tryring bench until the test ends, and returns what it says once it has told its address.
func benching(t *testing.T, args ...string) (out, warned *heard, stop func() int) {
	t.Helper()
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	t.Setenv("HOME", t.TempDir())
	ctx, interrupt := context.WithCancel(context.Background())
	t.Cleanup(interrupt)
	out, warned = &heard{}, &heard{}
	code := make(chan int, 1)
	go func() { code <- run(ctx, append([]string{"bench", "--addr", "127.0.0.1:0"}, args...), out, warned) }()
	for range 250 {
		if out.String() != "" {
			return out, warned, func() int { interrupt(); return <-code }
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Fatal("no address is told: " + warned.String())
	return nil, nil, nil
}

func TestBenchServesUntilInterrupted(t *testing.T) {
	out, warned, stop := benching(t, "--json")
	var told struct{ Address string }
	require.NoError(t, json.Unmarshal([]byte(out.String()), &told), out.String())
	assert.Regexp(t, `^http://127\.0\.0\.1:\d+/$`, told.Address)
	r, err := http.Get(told.Address)
	require.NoError(t, err)
	page, err := io.ReadAll(r.Body)
	require.NoError(t, err)
	require.NoError(t, r.Body.Close())
	assert.Contains(t, string(page), "TEST FIT ONLY")
	var again, fault bytes.Buffer
	assert.Equal(t, exitFailed, run(context.Background(), []string{"bench", "--addr", strings.Trim(told.Address, "htp:/")}, &again, &fault))
	assert.Contains(t, fault.String(), "is in use; another tryring bench runs there: open "+told.Address+"; --addr 127.0.0.1:0 takes a free port")
	assert.Empty(t, warned.String())
	http.DefaultClient.CloseIdleConnections()
	assert.Equal(t, exitDone, stop())
}

func TestBenchShares(t *testing.T) {
	if networks, err := bench.Networks(); err != nil || len(networks) == 0 {
		var out, told bytes.Buffer
		assert.Equal(t, exitFailed, run(context.Background(), []string{"bench", "--share", "--addr", "127.0.0.1:0"}, &out, &told))
		assert.Contains(t, told.String(), "no network")
		return
	}
	keys := map[string]bool{}
	for range 2 {
		out, _, stop := benching(t, "--share")
		assert.NotContains(t, out.String(), "█", "the code is for terminals")
		address := regexp.MustCompile(`On a phone in the same network: (http://\S+/)\?key=([A-Z2-7]{26,})\n`).FindStringSubmatch(out.String())
		require.NotNil(t, address, out.String())
		keys[address[2]] = true
		for query, want := range map[string]int{"": http.StatusForbidden, "?key=x": http.StatusForbidden, "?key=" + address[2]: http.StatusOK} {
			r, err := http.Get(address[1] + query)
			require.NoError(t, err)
			require.NoError(t, r.Body.Close())
			assert.Equal(t, want, r.StatusCode, query)
		}
		http.DefaultClient.CloseIdleConnections()
		assert.Equal(t, exitDone, stop())
	}
	assert.Len(t, keys, 2, "another one at each start")
}

func TestBenchTold(t *testing.T) {
	text, err := benchTold("http://127.0.0.1:8137/", []string{"http://192.0.2.2:8137/?key=A", "http://[2001:db8::2]:8137/?key=A"}, true)
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(text, `The bench is at http://127.0.0.1:8137/ (Ctrl-C stops it)
On a phone in the same network: http://192.0.2.2:8137/?key=A
  or http://[2001:db8::2]:8137/?key=A
Whoever has this address may read and change the job; at the next start it is another one.

`+"\x1b[38;5;231;48;5;16m█████"), text)
}

func TestOpener(t *testing.T) {
	for _, c := range []struct{ system, env, want string }{
		{"linux", "DISPLAY", "setsid xdg-open"},
		{"linux", "WAYLAND_DISPLAY", "setsid xdg-open"},
		{"linux", "", ""},
		{"darwin", "", "open"},
		{"darwin", "SSH_CONNECTION", ""},
		{"windows", "", "rundll32 url.dll,FileProtocolHandler"},
		{"plan9", "DISPLAY", ""},
	} {
		env := func(name string) string { return map[string]string{c.env: "set"}[name] }
		assert.Equal(t, c.want, strings.Join(opener(c.system, env), " "), c)
	}
}

func TestBenchFaults(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		code int
		says string
	}{
		{"no port", []string{"bench", "--addr", "127.0.0.1"}, exitBadInput, "--addr"},
		{"port no number", []string{"bench", "--addr", "127.0.0.1:http"}, exitBadInput, "65535"},
		{"an argument", []string{"bench", "here"}, exitBadInput, "here"},
		{"another machine", []string{"bench", "--addr", "192.0.2.1:8137"}, exitBadInput, "--share lets a phone in"},
		{"all machines", []string{"bench", "--addr", "0.0.0.0:8137"}, exitBadInput, "other machines would read and change everything"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out, told bytes.Buffer
			assert.Equal(t, c.code, run(context.Background(), c.args, &out, &told), told.String())
			assert.Contains(t, told.String(), c.says)
			assert.Empty(t, out.String())
		})
	}
}
