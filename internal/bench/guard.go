//go:build !js

package bench

// This file guards the site: only our own page may drive it, and the page may load nothing from elsewhere.

import (
	"crypto/subtle"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"strings"

	"tryring/internal/job"
	"tryring/internal/photo"
)

// policy lets the page load its own files and show pictures that a person opened, and nothing else, run no script that stands in the page, and be shown in
// no other page (Content Security Policy Level 3).
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

const (
	// maxQuery bounds the address, in bytes: the document that stands in it, and a page with every field full.
	maxQuery = maxPacked + maxMade + 16<<10
	// maxBody bounds what is sent to us, in bytes: a parts list of tens of thousands of rows, or a job file.
	maxBody = job.MaxBytes
	// maxHeld bounds what is held of such bodies at once, in bytes.
	maxHeld = 64 * maxBody
)

// serverName is who every answer says it is from.
const serverName = "tryring"

// guard knows the port that is listened on, and the key without which other machines get nothing; "" where this machine alone is listened to.
type guard struct{ port, key string }

// keyless is what whoever comes without the key is told.
const keyless = `<!DOCTYPE html><meta name="viewport" content="width=device-width"><title>tryring bench</title>
<p>This bench is shared by a key, which your address lacks, or has from an earlier start. Scan the code at the desk again, or open the whole address that its terminal shows.</p>
<p><a href="/">I have had it open on this phone</a></p>
`

// wrap puts the guard before h.
func (g guard) wrap(h http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		head := w.Header()
		head.Set("Server", serverName)
		head.Set("Content-Security-Policy", policy)
		head.Set("X-Content-Type-Options", "nosniff")
		head.Set("Referrer-Policy", "no-referrer")
		head.Set("Cross-Origin-Resource-Policy", "same-origin")
		head.Set("Cross-Origin-Opener-Policy", "same-origin")
		head.Set("Cache-Control", "no-store")
		switch {
		case !g.ours(r.Host):
			http.Error(w, "this page answers only under the address that tryring bench told", http.StatusMisdirectedRequest)
		case !sameSite(r):
			http.Error(w, "another site may not drive this page", http.StatusForbidden)
		case !g.knows(w, r):
			head.Set("Content-Type", "text/html; charset=utf-8")
			w.WriteHeader(http.StatusForbidden)
			fmt.Fprint(w, keyless)
		case len(r.URL.RawQuery) > maxQuery:
			http.Error(w, "the address is too long", http.StatusRequestURITooLong)
		default:
			most := int64(maxBody)
			if r.URL.Path == photoPath {
				most = photo.MaxBytes
			}
			r.Body = http.MaxBytesReader(w, r.Body, most)
			h.ServeHTTP(w, r)
		}
	})
}

// ours says whether a Host header names us. A name that resolves to this machine is not enough: any site can have one
// (DNS rebinding). Numbers cannot be pointed elsewhere.
func (g guard) ours(host string) bool {
	name, port, err := net.SplitHostPort(host)
	if err != nil {
		name, port = strings.Trim(host, "[]"), "80"
	}
	if port != g.port {
		return false
	}
	_, err = netip.ParseAddr(name)
	return loopback(name) || err == nil && g.key != ""
}

// knows says whether a request comes from this machine, or with the key: in its address, or in the cookie that the address left.
func (g guard) knows(w http.ResponseWriter, r *http.Request) bool {
	if g.key == "" || atDesk(r) {
		return true
	}
	cookie := http.Cookie{Name: "tryring-" + g.port, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode}
	if kept, err := r.Cookie(cookie.Name); err == nil && g.opens(kept.Value) {
		return true
	}
	if len(r.URL.RawQuery) > maxQuery || !g.opens(r.URL.Query().Get("key")) {
		return false
	}
	cookie.Value = g.key
	http.SetCookie(w, &cookie)
	return true
}

// opens compares in a time that tells nothing of the key.
func (g guard) opens(key string) bool {
	return subtle.ConstantTimeCompare([]byte(key), []byte(g.key)) == 1
}

// atDesk says whether the request comes from this machine.
func atDesk(r *http.Request) bool {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	return err == nil && loopback(host)
}

// sameSite says whether the request comes from our own page, from a person's hand, or from a program.
func sameSite(r *http.Request) bool {
	origin := r.Header.Get("Origin")
	if origin != "" && origin != "http://"+r.Host {
		return false
	}
	if origin == "" && r.Method != http.MethodGet && r.Method != http.MethodHead {
		return false // a page of ours always tells its origin with these
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "none", "same-origin":
		return true
	}
	// A link elsewhere may open the page; it changes nothing. It may fetch nothing.
	return r.URL.Path == "/" && r.Method == http.MethodGet && r.Header.Get("Sec-Fetch-Mode") == "navigate"
}

// loopback says whether host is this machine only.
func loopback(host string) bool {
	addr, err := netip.ParseAddr(host)
	return strings.EqualFold(host, "localhost") || err == nil && addr.Unmap().IsLoopback()
}
