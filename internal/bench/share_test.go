package bench

import (
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const testKey = "OPENSESAME"

// sharing is the handler of a shared site on port 8137.
func sharing(t *testing.T, takeAway string) http.Handler {
	t.Helper()
	printers, tables := testThings(t)
	handler, err := New(Config{Addr: DefaultAddr, Tables: tables, Printers: printers, Key: testKey, Networks: []string{"192.0.2.2"}, TakeAway: takeAway})
	require.NoError(t, err)
	return handler
}

// from sends a request from another machine or from the desk.
func from(who, method string, h http.Handler, path, body string, cookies ...*http.Cookie) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.RemoteAddr, r.Host = net.JoinHostPort(who, "999"), "192.0.2.2:8137"
	r.Header.Set("Origin", "http://"+r.Host)
	for _, c := range cookies {
		r.AddCookie(c)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

const phone, desk = "192.0.2.9", "127.0.0.1"

func TestNothingWithoutTheKey(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tryring.html")
	require.NoError(t, os.WriteFile(file, []byte("the page"), 0o600))
	h := sharing(t, file)
	for _, path := range []string{"/", "/page/main.js", "/api/threads?text=G", "/file/ring.svg?" + twoThreads, "/api/shared?version=-1", "/tryring.html", "/nothing"} {
		for _, key := range []string{"", "x", testKey[1:], testKey + "x", strings.ToLower(testKey)} {
			w := from(phone, "GET", h, path+map[bool]string{true: "&", false: "?"}[strings.Contains(path, "?")]+"key="+key, "", &http.Cookie{Name: "tryring-8137", Value: key}, &http.Cookie{Name: "tryring-1", Value: testKey})
			assert.Equal(t, http.StatusForbidden, w.Code, path)
			assert.Contains(t, w.Body.String(), "Scan the code at the desk again", path)
			assert.Empty(t, w.Header()["Set-Cookie"])
		}
		assert.NotEqual(t, http.StatusForbidden, from(desk, "GET", h, path, "").Code, path)
	}
	for _, path := range []string{"/api/shared?version=0", "/api/job", "/api/trial?do=keep", photoPath} {
		assert.Equal(t, http.StatusForbidden, from(phone, "POST", h, path, "name=theirs").Code, path)
	}
	assert.JSONEq(t, `{"version":0,"query":"","lost":false}`, from(desk, "GET", h, "/api/shared?version=-1", "").Body.String(), "and nothing was changed")
}

func TestTheKeyStaysInACookie(t *testing.T) {
	h := sharing(t, "")
	first := from(phone, "GET", h, "/?key="+testKey, "")
	assert.Equal(t, http.StatusOK, first.Code)
	cookies := first.Result().Cookies()
	require.Len(t, cookies, 1)
	assert.True(t, cookies[0].HttpOnly)
	assert.Equal(t, http.SameSiteStrictMode, cookies[0].SameSite)
	for _, path := range []string{"/", "/page/main.js", "/api/shared?version=-1"} {
		assert.Equal(t, http.StatusOK, from(phone, "GET", h, path, "", cookies[0]).Code, path)
	}
	assert.NotContains(t, first.Body.String(), "Code of the address", "the code is for the desk's screen")
	assert.NotContains(t, first.Body.String(), testKey)
	atTheDesk := from(desk, "GET", h, "/", "").Body.String()
	assert.Contains(t, atTheDesk, "<code>http://192.0.2.2:8137/?key="+testKey+"</code>")
	assert.Contains(t, atTheDesk, "Code of the address")
	assert.NotContains(t, atTheDesk, "tryring.html", "which is not there")
}

func TestThePageToTakeAway(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tryring.html")
	h := sharing(t, file)
	require.NoError(t, os.WriteFile(file, []byte("the page"), 0o600)) // made while the desk runs
	assert.Contains(t, from(phone, "GET", h, "/?key="+testKey, "").Body.String(), `href="/tryring.html"`)
	w := from(phone, "GET", h, "/tryring.html?key="+testKey, "")
	assert.Equal(t, "the page", w.Body.String())
	policy := w.Header().Get("Content-Security-Policy")
	assert.Contains(t, policy, "default-src 'none'")
	assert.NotContains(t, policy, "'self'", "it asks the desk for nothing")
}

func TestOneJobOnTwoScreens(t *testing.T) {
	h := sharing(t, "")
	met := func(who string, known int, fields string) (m met, status int) {
		method := "GET"
		if fields != "" {
			method = "POST"
		}
		w := from(who, method, h, fmt.Sprintf("/api/shared?version=%d&key=%s", known, testKey), fields)
		if w.Code == http.StatusOK {
			require.NoError(t, json.Unmarshal(w.Body.Bytes(), &m))
		}
		return m, w.Code
	}
	m, _ := met(desk, 0, "inner=G+1&outer=M42x2")
	assert.Equal(t, 1, m.Version)
	_, status := met(desk, 1, "")
	assert.Equal(t, http.StatusNoContent, status, "nothing new")
	m, _ = met(phone, 0, "")
	assert.Equal(t, "inner=G+1&outer=M42x2", m.Query)
	m, _ = met(phone, 1, "outer=&name=tub")
	assert.Equal(t, "inner=G+1&name=tub", m.Query)
	m, _ = met(desk, 1, "height=12")
	assert.False(t, m.Lost, "another field")
	assert.Equal(t, "height=12&inner=G+1&name=tub", m.Query, "comes to both")
	m, _ = met(desk, 1, "outer=M48x2&label=a")
	assert.True(t, m.Lost, "the phone was first")
	assert.Equal(t, "height=12&inner=G+1&name=tub", m.Query, "all that was sent with it is dropped")
	m, _ = met(phone, 3, "unit=inch")
	m2, _ := met(desk, 3, "stays.bore=45.7")
	assert.True(t, m2.Lost, "the number was typed in another unit")
	assert.Equal(t, m.Query, m2.Query)
	_, status = met(desk, 4, "name=tub&stranger=x")
	assert.Equal(t, http.StatusNoContent, status, "what is as it was, or no field, is nothing new")
	for _, wrong := range []string{"unit=ell", "inner=" + strings.Repeat("x", maxField+1), "%"} {
		_, status = met(desk, 4, wrong)
		assert.Equal(t, http.StatusBadRequest, status, wrong)
	}
	_, status = met(desk, 4, "name="+strings.Repeat("x", maxBody))
	assert.Equal(t, http.StatusRequestEntityTooLarge, status)
}
