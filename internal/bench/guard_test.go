package bench

import (
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// guarded sends one request through a guard of 127.0.0.1:8137 and returns the answer.
func guarded(g guard, change func(*http.Request)) *httptest.ResponseRecorder {
	h := g.wrap(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {}))
	r := httptest.NewRequest(http.MethodGet, "/api/ring", nil)
	r.Host = "127.0.0.1:8137"
	change(r)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func TestHosts(t *testing.T) {
	for _, c := range []struct {
		key, host string
		good      bool
	}{
		{"", "127.0.0.1:8137", true},
		{"", "localhost:8137", true},
		{"", "LOCALHOST:8137", true},
		{"", "[::1]:8137", true},
		{"", "127.0.0.1:8138", false},
		{"", "127.0.0.1", false},
		{"", "", false},
		{"", "evil.example:8137", false},
		{"", "127.0.0.1.evil.example:8137", false},
		{"", "localhost.evil.example:8137", false},
		{"", "192.0.2.7:8137", false},
		{"", "0.0.0.0:8137", false},
		{"key", "192.0.2.7:8137", true},
		{"key", "[2001:db8::7]:8137", true},
		{"key", "localhost:8137", true},
		{"key", "192.0.2.7:8138", false},
		{"key", "evil.example:8137", false},
		{"key", ":8137", false},
	} {
		t.Run(c.host+" by "+c.key, func(t *testing.T) {
			w := guarded(guard{port: "8137", key: c.key}, func(r *http.Request) {
				r.Host = c.host
				r.RemoteAddr = "127.0.0.1:9"
			})
			want := http.StatusOK
			if !c.good {
				want = http.StatusMisdirectedRequest
			}
			assert.Equal(t, want, w.Code)
		})
	}
	w := guarded(guard{port: "80"}, func(r *http.Request) { r.Host = "127.0.0.1" })
	assert.Equal(t, http.StatusOK, w.Code, "port 80 is not written")
}

func TestOtherSitesDriveNothing(t *testing.T) {
	const ours = "http://127.0.0.1:8137"
	for _, c := range []struct {
		name, method, path string
		head               map[string]string
		want               int
	}{
		{"a program", "GET", "/api/ring", nil, 200},
		{"our page", "GET", "/api/ring", map[string]string{"Sec-Fetch-Site": "same-origin"}, 200},
		{"our page posts", "POST", "/api/standing", map[string]string{"Sec-Fetch-Site": "same-origin", "Origin": ours}, 200},
		{"typed by hand", "GET", "/", map[string]string{"Sec-Fetch-Site": "none", "Sec-Fetch-Mode": "navigate"}, 200},
		{"a link elsewhere", "GET", "/", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}, 200},
		{"a link elsewhere to a file", "GET", "/file/ring.stl", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}, 403},
		{"an image elsewhere", "GET", "/", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"}, 403},
		{"a script elsewhere", "GET", "/api/ring", map[string]string{"Sec-Fetch-Site": "cross-site"}, 403},
		{"another port of this machine", "GET", "/api/ring", map[string]string{"Sec-Fetch-Site": "same-site"}, 403},
		{"a foreign origin", "GET", "/api/ring", map[string]string{"Origin": "http://evil.example"}, 403},
		{"a foreign form", "POST", "/api/standing", map[string]string{"Origin": "http://evil.example"}, 403},
		{"a form without origin", "POST", "/api/standing", nil, 403},
		{"an opaque origin", "POST", "/api/standing", map[string]string{"Origin": "null"}, 403},
		{"our origin over TLS", "POST", "/api/standing", map[string]string{"Origin": "https://127.0.0.1:8137"}, 403},
		{"another port's origin", "POST", "/api/standing", map[string]string{"Origin": "http://127.0.0.1:8138"}, 403},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := guarded(guard{port: "8137"}, func(r *http.Request) {
				r.Method, r.URL.Path = c.method, c.path
				for k, v := range c.head {
					r.Header.Set(k, v)
				}
			})
			assert.Equal(t, c.want, w.Code)
		})
	}
}

func TestHeadersOfEveryAnswer(t *testing.T) {
	at := open(t)
	for _, path := range []string{"/", "/page/main.js", "/api/ring?" + twoThreads, "/api/mesh?" + twoThreads, "/file/ring.svg?" + twoThreads, "/nothing", "/api/ring?" + strings.Repeat("x", maxQuery+1)} {
		_, head, _ := get(t, at+path)
		policy := head.Get("Content-Security-Policy")
		assert.Contains(t, policy, "default-src 'none'", path)
		assert.Contains(t, policy, "frame-ancestors 'none'", path)
		assert.NotContains(t, policy, "unsafe", path)
		assert.Equal(t, "nosniff", head.Get("X-Content-Type-Options"), path)
		assert.Equal(t, "no-referrer", head.Get("Referrer-Policy"), path)
		assert.Equal(t, "no-store", head.Get("Cache-Control"), path)
		assert.Empty(t, head.Get("Access-Control-Allow-Origin"), path)
	}
}

func TestWhatIsTooLargeIsRefused(t *testing.T) {
	at := open(t)
	status, _, _ := get(t, at+"/api/ring?name="+strings.Repeat("x", maxQuery))
	assert.Equal(t, http.StatusRequestURITooLong, status)
	huge := strings.Repeat("x", maxBody+1)
	for _, path := range []string{"/api/standing?" + twoThreads, "/api/job"} {
		status, told := post(t, at+path, huge)
		assert.Equal(t, http.StatusRequestEntityTooLarge, status, path)
		assert.Contains(t, string(told), fmt.Sprintf("%d kB", maxBody>>10), "says what would be right")
	}
	rows := "part,inner thread,outer thread\n" + strings.Repeat("A,M20,M30\n", maxRows+1)
	require.Less(t, len(rows), maxBody)
	status, told := post(t, at+"/api/standing?list=rows.csv&"+twoThreads, rows)
	assert.Equal(t, http.StatusOK, status)
	assert.Contains(t, string(told), "2002 rows; the page takes 2000")
}

// No name that others can point here drives the page, and none but ours as an origin.
func FuzzGuard(f *testing.F) {
	for _, host := range []string{"localhost:8137", "127.0.0.1:8137", "[::1]:8137", "evil.example:8137", "127.0.0.1.evil.example:8137", "0x7f.1:8137", "127.1:8137", "localhost.:8137", "127.0.0.1:80"} {
		f.Add(host, "http://"+host, "same-origin")
		f.Add("127.0.0.1:8137", "http://"+host, "cross-site")
	}
	f.Fuzz(func(t *testing.T, host, origin, site string) {
		r := httptest.NewRequest(http.MethodPost, "/api/trial", http.NoBody)
		r.Host = host
		r.Header["Origin"], r.Header["Sec-Fetch-Site"] = []string{origin}, []string{site}
		passed := false
		guard{port: "8137"}.wrap(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { passed = true })).ServeHTTP(httptest.NewRecorder(), r)
		name, _, err := net.SplitHostPort(host)
		addr, bad := netip.ParseAddr(name)
		here := err == nil && strings.HasSuffix(host, ":8137") && (strings.EqualFold(name, "localhost") || bad == nil && addr.Unmap().IsLoopback())
		if passed && !(here && origin == "http://"+host && site != "cross-site" && site != "same-site") {
			t.Errorf("host %q, origin %q, %q is let in", host, origin, site)
		}
	})
}
