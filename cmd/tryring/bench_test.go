package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"regexp"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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

func TestBenchServesUntilInterrupted(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	t.Setenv("HOME", t.TempDir())
	ctx, interrupt := context.WithCancel(context.Background())
	defer interrupt()
	var out, warned heard
	code := make(chan int, 1)
	go func() { code <- run(ctx, []string{"bench", "--json", "--addr", "127.0.0.1:0"}, &out, &warned) }()
	address := ""
	for range 250 {
		if address = regexp.MustCompile(`http://127\.0\.0\.1:\d+/`).FindString(out.String()); address != "" {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	assert.True(t, json.Valid([]byte(out.String())), out.String())
	require.NotEmpty(t, address, "%s%s", out.String(), warned.String())
	r, err := http.Get(address)
	require.NoError(t, err)
	page, err := io.ReadAll(r.Body)
	require.NoError(t, err)
	require.NoError(t, r.Body.Close())
	assert.Contains(t, string(page), "TEST FIT ONLY")
	assert.Empty(t, warned.String())
	http.DefaultClient.CloseIdleConnections()
	interrupt()
	assert.Equal(t, exitDone, <-code)
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
		{"an address of another machine", []string{"bench", "--addr", "192.0.2.1:8137"}, exitFailed, "192.0.2.1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out, told bytes.Buffer
			assert.Equal(t, c.code, run(context.Background(), c.args, &out, &told), told.String())
			assert.Contains(t, told.String(), c.says)
			assert.Empty(t, out.String())
		})
	}
}
