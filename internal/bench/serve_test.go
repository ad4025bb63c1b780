package bench

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"runtime"
	"runtime/debug"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/printer"
	"tryring/internal/thread"
)

// testThings are the printers and tables that come with the program.
func testThings(t testing.TB) (printer.Profiles, *thread.Tables) {
	t.Helper()
	printers, err := printer.Load("")
	require.NoError(t, err)
	return printers, thread.NewTables()
}

// quiet waits until no more goroutines run than before, and fails when they do not end.
func quiet(t *testing.T, before int) {
	t.Helper()
	http.DefaultClient.CloseIdleConnections()
	for range 100 {
		if runtime.NumGoroutine() <= before {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	stacks := make([]byte, 1<<16)
	t.Errorf("%d goroutines, %d before\n%s", runtime.NumGoroutine(), before, stacks[:runtime.Stack(stacks, true)])
}

// serving runs Serve until stop is called, which returns Serve's error.
func serving(t *testing.T, c Config) (here string, others []string, stop func() error) {
	t.Helper()
	c.Printers, c.Tables = testThings(t)
	ctx, cancel := context.WithCancel(context.Background())
	told := make(chan string, 1)
	ended := make(chan error, 1)
	go func() {
		ended <- Serve(ctx, c, func(address string, more []string) error { others = more; told <- address; return nil })
	}()
	t.Cleanup(cancel)
	select {
	case here = <-told:
	case err := <-ended:
		require.NoError(t, err)
	}
	return here, others, func() error { cancel(); return <-ended }
}

func TestServeStopsCleanly(t *testing.T) {
	before := runtime.NumGoroutine()
	address, others, stop := serving(t, Config{Addr: "127.0.0.1:0"})
	status, _, _ := get(t, address)
	assert.Equal(t, http.StatusOK, status)
	assert.Empty(t, others)
	require.NoError(t, stop())
	quiet(t, before)
	_, err := http.Get(address)
	assert.Error(t, err)
}

func TestServeEndsWhatIsUnderWay(t *testing.T) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	entered := make(chan struct{})
	ended := make(chan error, 1)
	go func() {
		ended <- serve(ctx, listener, http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			close(entered)
			time.Sleep(200 * time.Millisecond)
			fmt.Fprint(w, "whole")
		}))
	}()
	answer := make(chan string, 1)
	go func() {
		r, err := http.Get("http://" + listener.Addr().String())
		if err != nil {
			answer <- err.Error()
			return
		}
		defer r.Body.Close()
		body, _ := io.ReadAll(r.Body)
		answer <- string(body)
	}()
	<-entered
	cancel()
	assert.Equal(t, "whole", <-answer)
	assert.NoError(t, <-ended)
}

func TestServeFaults(t *testing.T) {
	foreign, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer foreign.Close()
	ours, _, stop := serving(t, Config{Addr: "127.0.0.1:0"})
	for _, c := range []struct {
		c    Config
		says string
	}{
		{Config{Addr: foreign.Addr().String()}, "another program holds it"},
		{Config{Addr: strings.Trim(ours, "htp:/")}, "another tryring bench runs there: open " + ours},
		{Config{Addr: "nonsense"}, "127.0.0.1:8137"},
		{Config{Addr: "127.0.0.1:99999"}, "65535"},
		{Config{Addr: "0.0.0.0:0"}, "other machines"},
		{Config{Addr: ":8137"}, "other machines"},
		{Config{Addr: "192.0.2.1:8137"}, "other machines"},
		{Config{Addr: "shop.example:8137"}, "other machines"},
	} {
		c.c.Printers, c.c.Tables = testThings(t)
		err := Serve(context.Background(), c.c, func(string, []string) error { return nil })
		assert.ErrorContains(t, err, c.says, c.c.Addr)
	}
	require.NoError(t, stop())
}

func TestGateLetsFewWorkAndForgetsWhoLeft(t *testing.T) {
	g := newGate(2, 1<<20)
	var working, most atomic.Int32
	release := make(chan struct{})
	h := g.limited(func(Request) Answer {
		n := working.Add(1)
		for m := most.Load(); n > m && !most.CompareAndSwap(m, n); m = most.Load() {
		}
		<-release
		working.Add(-1)
		return says(okay, "done")
	})
	ask := func(ctx context.Context) *record {
		w := &record{}
		r, err := http.NewRequestWithContext(ctx, http.MethodGet, "/", http.NoBody)
		require.NoError(t, err)
		h(w, r)
		return w
	}
	var all sync.WaitGroup
	for range 10 {
		all.Go(func() { assert.Equal(t, okay, ask(context.Background()).status) })
	}
	for len(g.waiting) < 10 {
		time.Sleep(time.Millisecond)
	}
	gone, leave := context.WithCancel(context.Background())
	leave()
	assert.Equal(t, http.StatusServiceUnavailable, ask(gone).status, "who hung up does not wait")
	for len(g.waiting) < maxWaiting {
		g.waiting <- struct{}{}
	}
	assert.Equal(t, http.StatusServiceUnavailable, ask(context.Background()).status, "the queue is bounded")
	close(release)
	all.Wait()
	assert.Equal(t, int32(2), most.Load())
}

// TestUnfinishedPostsKeepNobodyWaiting leaves more posts half sent than there are turns, of every kind; the page goes on.
func TestUnfinishedPostsKeepNobodyWaiting(t *testing.T) {
	at := open(t)
	host := strings.TrimPrefix(at, "http://")
	for _, path := range []string{"/api/standing", "/api/job", "/api/trial?do=keep", photoPath, photoPath + "/count"} {
		for range runtime.GOMAXPROCS(0) + 1 {
			c, err := net.Dial("tcp", host)
			require.NoError(t, err)
			defer c.Close()
			_, err = fmt.Fprintf(c, "POST %s HTTP/1.1\r\nHost: %s\r\nOrigin: %s\r\nContent-Length: 100\r\n\r\nhalf", path, host, at)
			require.NoError(t, err)
		}
	}
	client := &http.Client{Timeout: 5 * time.Second}
	for _, path := range []string{"/api/standing?" + twoThreads, photoPath + "/count"} {
		r, err := http.NewRequest(http.MethodPost, at+path, strings.NewReader("{}"))
		require.NoError(t, err)
		r.Header.Set("Origin", at)
		answer, err := client.Do(r)
		require.NoError(t, err, path)
		require.NoError(t, answer.Body.Close())
		assert.Equal(t, http.StatusOK, answer.StatusCode, path)
	}
}

// A body that comes slowly is served, however long it takes; one that stops half-way is told so.
func TestSlowBodies(t *testing.T) {
	g := newGate(1, 1<<20)
	g.stall = 300 * time.Millisecond
	server := httptest.NewUnstartedServer(g.limited(func(r Request) Answer { return shown(plainText, r.Body) }))
	server.Config.ReadTimeout, server.Config.WriteTimeout = g.stall, g.stall
	server.Start()
	defer server.Close()
	post := func(bytes int) *http.Response {
		c, err := net.Dial("tcp", server.Listener.Addr().String())
		require.NoError(t, err)
		t.Cleanup(func() { _ = c.Close() })
		_, err = fmt.Fprint(c, "POST / HTTP/1.1\r\nHost: here\r\nContent-Length: 8\r\n\r\n")
		require.NoError(t, err)
		for range bytes {
			_, err = fmt.Fprint(c, "x")
			require.NoError(t, err)
			time.Sleep(g.stall / 3)
		}
		answer, err := http.ReadResponse(bufio.NewReader(c), nil)
		require.NoError(t, err)
		return answer
	}
	answer := post(8)
	body, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	assert.Equal(t, "xxxxxxxx", string(body))
	answer = post(3)
	body, err = io.ReadAll(answer.Body)
	require.NoError(t, err)
	assert.Equal(t, http.StatusRequestTimeout, answer.StatusCode)
	assert.Contains(t, string(body), "half-way")
}

func TestGateBoundsWhatItHolds(t *testing.T) {
	g := newGate(1, 10)
	entered, release := make(chan string), make(chan struct{})
	h := g.limited(func(r Request) Answer {
		entered <- string(r.Body)
		<-release
		return says(okay, "done")
	})
	send := func(body string) int {
		w := httptest.NewRecorder()
		h(w, httptest.NewRequest(http.MethodPost, "/", strings.NewReader(body)))
		return w.Code
	}
	var all sync.WaitGroup
	for range 2 {
		all.Go(func() { assert.Equal(t, http.StatusOK, send("eight by")) })
		select {
		case body := <-entered:
			assert.Equal(t, "eight by", body, "the body comes to the handler whole")
		case <-time.After(10 * time.Second):
			t.Fatal("its room is not free again")
		}
		assert.Equal(t, http.StatusServiceUnavailable, send("too much"))
		release <- struct{}{}
		all.Wait() // and its room is free again
	}
	assert.Equal(t, int64(10), g.room.Load())
	assert.Equal(t, http.StatusServiceUnavailable, send("more than there ever is"))
	assert.Equal(t, int64(10), g.room.Load())
}

// record keeps the status of an answer.
type record struct {
	head   http.Header
	status int
}

func (r *record) Header() http.Header {
	if r.head == nil {
		r.head = http.Header{}
	}
	return r.head
}
func (r *record) Write(p []byte) (int, error) { return len(p), nil }
func (r *record) WriteHeader(status int)      { r.status = status }

// TestManyClients has 200 clients ask at once for some seconds, or as long as TRYRING_LOAD says ("60s"): no error, no
// goroutine left, memory bounded.
func TestManyClients(t *testing.T) {
	lasting := 2 * time.Second
	if text := os.Getenv("TRYRING_LOAD"); text != "" {
		var err error
		lasting, err = time.ParseDuration(text)
		require.NoError(t, err)
	}
	defer debug.SetGCPercent(debug.SetGCPercent(100)) // as it is served, whatever the tests run with
	const clients, mostHeap = 200, 512 << 20
	before := runtime.NumGoroutine()
	address, _, stop := serving(t, Config{Addr: "127.0.0.1:0"})
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: clients}, Timeout: patience}
	paths := []string{"", "page/main.js", "api/ring?" + twoThreads, "api/mesh?" + twoThreads, "api/identify?part=stays&stays.bore=45.7&stays.pitch=14+tpi", "api/ring?height=x&" + twoThreads}
	until := time.Now().Add(lasting)
	var all sync.WaitGroup
	var answered atomic.Int64
	var heap atomic.Uint64
	for n := range clients {
		all.Go(func() {
			for i := n; time.Now().Before(until); i++ {
				r, err := client.Get(address + paths[i%len(paths)])
				if !assert.NoError(t, err) {
					return
				}
				_, err = io.Copy(io.Discard, r.Body)
				_ = r.Body.Close()
				if !assert.NoError(t, err) || !assert.Equal(t, http.StatusOK, r.StatusCode, paths[i%len(paths)]) {
					return
				}
				if answered.Add(1)%50 == 0 {
					var m runtime.MemStats
					runtime.ReadMemStats(&m)
					heap.Store(max(heap.Load(), m.HeapInuse))
				}
			}
		})
	}
	all.Wait()
	client.CloseIdleConnections()
	require.NoError(t, stop())
	quiet(t, before)
	t.Logf("%d answers in %v, at most %d MB of heap in use", answered.Load(), lasting, heap.Load()>>20)
	assert.Greater(t, answered.Load(), int64(clients))
	assert.Less(t, heap.Load(), uint64(mostHeap))
}

func TestAddressesAreNotGuessedFromNames(t *testing.T) {
	for host, want := range map[string]bool{"127.0.0.1": true, "::1": true, "localhost": true, "LOCALHOST": true, "127.9.9.9": true, "0.0.0.0": false, "": false, "shop.example": false, "192.0.2.1": false, strings.Repeat("1", 99): false} {
		assert.Equal(t, want, loopback(host), host)
	}
}
