package bench

import (
	"encoding/json"
	"html"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// twoThreads are the fields of a ring that can be made.
const twoThreads = "inner=1+5/8-16+UN&outer=1+7/8-14+UNS"

// smallRing are the fields of a ring that is made fast.
const smallRing = "inner=M20x1.5&outer=M30x2&height=8&grip=none&chord=0.05"

// open starts a site as the command does and returns its address.
func open(t testing.TB) string {
	t.Helper()
	printers, tables := testThings(t)
	server := httptest.NewUnstartedServer(nil)
	handler, err := New(Config{Addr: server.Listener.Addr().String(), Tables: tables, Printers: printers})
	require.NoError(t, err)
	server.Config.Handler = handler
	server.Start()
	t.Cleanup(server.Close)
	return server.URL
}

// handlerOf is the handler of a site for the host that requests of httptest name.
func handlerOf(t testing.TB) http.Handler {
	t.Helper()
	printers, tables := testThings(t)
	handler, err := New(Config{Addr: "127.0.0.1:8137", Tables: tables, Printers: printers})
	require.NoError(t, err)
	return handler
}

// request sends a request as our page would, without a network.
func request(method string, handler http.Handler, path, body string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host = "127.0.0.1:8137"
	r.Header.Set("Origin", "http://"+r.Host)
	w := httptest.NewRecorder()
	handler.ServeHTTP(w, r)
	return w
}

// decoded reads an answer in JSON.
func decoded[T any](t require.TestingT, w *httptest.ResponseRecorder) (out T) {
	require.Equal(t, http.StatusOK, w.Code, w.Body.String())
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &out))
	return out
}

// get asks for path and returns status, header and body.
func get(t testing.TB, address string) (int, http.Header, []byte) {
	t.Helper()
	r, err := http.Get(address)
	require.NoError(t, err)
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	require.NoError(t, err)
	return r.StatusCode, r.Header, body
}

// getJSON asks for address, which must answer with status 200, and reads the answer.
func getJSON[T any](t testing.TB, address string) (out T) {
	t.Helper()
	status, head, body := get(t, address)
	require.Equal(t, http.StatusOK, status, "%s: %s", address, body)
	require.Equal(t, "application/json; charset=utf-8", head.Get("Content-Type"))
	require.NoError(t, json.Unmarshal(body, &out))
	return out
}

// post sends body as our page would.
func post(t testing.TB, address, body string) (int, []byte) {
	t.Helper()
	u, err := url.Parse(address)
	require.NoError(t, err)
	r, err := http.NewRequest(http.MethodPost, address, strings.NewReader(body))
	require.NoError(t, err)
	r.Header.Set("Origin", "http://"+u.Host)
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer answer.Body.Close()
	told, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	return answer.StatusCode, told
}

func TestPageIsWholeAndAsksNothingElsewhere(t *testing.T) {
	at := open(t)
	status, head, body := get(t, at+"/")
	require.Equal(t, http.StatusOK, status)
	assert.Equal(t, "text/html; charset=utf-8", head.Get("Content-Type"))
	text := string(body)
	assert.Contains(t, text, "TEST FIT ONLY")
	assert.Contains(t, text, `<option value="filament-0.4">`)
	assert.NotContains(t, text, "<style")
	assert.NotContains(t, text, " style=")
	assert.NotContains(t, text, "http://")
	assert.NotContains(t, text, "https://")
	for _, key := range formKeys() {
		side, of, isReading := strings.Cut(key, ".")
		if isReading && (side == "stays" && of == "outside" || side == "goes" && of == "bore" || of == "length") {
			continue // a hole has no outside; the length of a thread does not tell which it is
		}
		assert.Contains(t, text, `name="`+key+`"`, "the page has no field %s", key)
	}
	entries, err := Files.ReadDir("page")
	require.NoError(t, err)
	served := 0
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".html") { // a template
			continue
		}
		served++
		status, head, body := get(t, at+"/page/"+e.Name())
		assert.Equal(t, http.StatusOK, status, e.Name())
		assert.NotEmpty(t, head.Get("Content-Type"), e.Name())
		for line := range strings.Lines(string(body)) {
			if strings.Contains(line, "://") && !strings.Contains(line, `xmlns="http://www.w3.org/2000/svg"`) {
				t.Errorf("%s names another place: %s", e.Name(), line)
			}
		}
	}
	assert.Greater(t, served, 10)
}

// TestExampleIsAWholeJob asks with the query that the button for the example puts on the page.
func TestExampleIsAWholeJob(t *testing.T) {
	at := open(t)
	_, _, body := get(t, at+"/")
	link := regexp.MustCompile(`id="example" data-query="([^"]*)"`).FindSubmatch(body)
	require.NotNil(t, link)
	query := html.UnescapeString(string(link[1]))
	assert.Empty(t, getJSON[ringView](t, at+"/api/ring?"+query).Faults)
	for _, side := range sides {
		assert.NotEmpty(t, getJSON[identified](t, at+"/api/identify?part="+side.name+"&"+query).Candidates)
	}
}

func TestNothingElseIsServed(t *testing.T) {
	at := open(t)
	for _, path := range []string{
		"/page/index.html", "/page/", "/page/../site.go", "/page/..%2fsite.go", "/page/%2e%2e/site.go", "/etc/passwd", "/file/ring.exe",
		"/file/..%2f..%2fgo.mod", "/api/", "/api/nothing", "/favicon.ico", "/index.html",
	} {
		status, _, body := get(t, at+path)
		assert.Equal(t, http.StatusNotFound, status, "%s: %s", path, body)
	}
}

func TestMethods(t *testing.T) {
	at := open(t)
	status, _ := post(t, at+"/api/ring?"+twoThreads, "")
	assert.Equal(t, http.StatusMethodNotAllowed, status)
	status, _, _ = get(t, at+"/api/standing?"+twoThreads)
	assert.Equal(t, http.StatusMethodNotAllowed, status)
}

func TestConfigValidate(t *testing.T) {
	for addr, good := range map[string]bool{
		"127.0.0.1:0": true, "127.0.0.1:8137": true, "[::1]:9000": true, "localhost:80": true,
		"": false, "127.0.0.1": false, "127.0.0.1:x": false, "127.0.0.1:70000": false, "127.0.0.1:-1": false, ":8080": false, "0.0.0.0:8137": false, "shop.example:80": false,
	} {
		err := Config{Addr: addr}.Validate()
		assert.Equal(t, good, err == nil, "%q: %v", addr, err)
		if err != nil {
			assert.Contains(t, err.Error(), DefaultAddr, "says what would be right")
		}
	}
}
