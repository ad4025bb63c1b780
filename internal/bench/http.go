//go:build !js

package bench

// This file carries requests and answers by net/http.

import (
	"fmt"
	"net"
	"net/http"
	"path"
	"runtime"
	"strconv"

	"tryring/internal/photo"
)

// Validate says whether the address can be listened on at all.
func (c Config) Validate() error {
	host, port, err := net.SplitHostPort(c.Addr)
	if err != nil {
		return fmt.Errorf("%q is no address; write it like %s", c.Addr, DefaultAddr)
	}
	if !loopback(host) {
		return fmt.Errorf("%q: %w; %s is this machine alone", c.Addr, ErrOthers, DefaultAddr)
	}
	if _, err := strconv.ParseUint(port, 10, 16); err != nil {
		return fmt.Errorf("%q: port %q is not a number from 0 to 65535; write it like %s", c.Addr, port, DefaultAddr)
	}
	return nil
}

// New returns the handler of the whole site, guarded.
func New(c Config) (http.Handler, error) {
	_, port, err := net.SplitHostPort(c.Addr)
	if err != nil {
		return nil, fmt.Errorf("address %q: %w", c.Addr, err)
	}
	page, err := Page(c.Printers)
	if err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	if c.Key == "" {
		mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) { shown("text/html; charset=utf-8", page).send(w) })
	} else if err := c.share(mux, page, port); err != nil {
		return nil, err
	}
	mux.HandleFunc("GET /page/{name}", serveFile)
	many := newGate(runtime.GOMAXPROCS(0), maxHeld)
	one := newGate(1, 4*photo.MaxBytes) // a picture takes hundreds of megabytes while it is read
	for pattern, do := range newSite(c).routes() {
		g := many
		if pattern == "POST "+photoPath {
			g = one
		}
		mux.HandleFunc(pattern, g.limited(do))
	}
	return guard{port: port, key: c.Key}.wrap(mux), nil
}

// send writes the answer.
func (a Answer) send(w http.ResponseWriter) {
	for name, text := range a.Head() {
		w.Header().Set(name, text)
	}
	if a.Type != "" {
		w.Header().Set("Content-Length", strconv.Itoa(len(a.Body)))
	}
	w.WriteHeader(a.Status)
	_, _ = w.Write(a.Body) // the other end is gone
}

// mediaTypes are those of the page's files: what a system calls them may be anything.
var mediaTypes = map[string]string{
	".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml",
}

// serveFile answers GET /page/NAME: one of the embedded files, but for the page's template.
func serveFile(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	mediaType, known := mediaTypes[path.Ext(name)]
	if !known {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", mediaType)
	http.ServeFileFS(w, r, Files, "page/"+name)
}
