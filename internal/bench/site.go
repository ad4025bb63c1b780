package bench

// This file holds the site: what it is made from, and which address answers what.

import (
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"runtime"
	"strconv"

	"tryring/internal/photo"
	"tryring/internal/printer"
	"tryring/internal/thread"
)

// Config is what a site is made from.
type Config struct {
	// Addr is the address listened on, HOST:PORT; requests that name another host are refused.
	Addr     string
	Tables   *thread.Tables
	Printers printer.Profiles
	// PrinterFolder is the person's own folder of printers, where trials are kept; "" keeps none.
	PrinterFolder string
	// Drawers are the folders of gauges that lie at hand now; nil for none.
	Drawers func() []string
}

// Validate says whether the address can be listened on at all.
func (c Config) Validate() error {
	_, port, err := net.SplitHostPort(c.Addr)
	if err != nil {
		return fmt.Errorf("%q is no address; write it like %s", c.Addr, DefaultAddr)
	}
	if _, err := strconv.ParseUint(port, 10, 16); err != nil {
		return fmt.Errorf("%q: port %q is not a number from 0 to 65535; write it like %s", c.Addr, port, DefaultAddr)
	}
	return nil
}

// site answers requests. All that it keeps between them is what trials taught of the printers, in their folder.
type site struct {
	tables *thread.Tables
	gate   gate
	page   []byte
	learnt learnt
	// drawers are the folders of gauges that lie at hand now.
	drawers func() []string
}

// New returns the handler of the whole site, guarded.
func New(c Config) (http.Handler, error) {
	host, port, err := net.SplitHostPort(c.Addr)
	if err != nil {
		return nil, fmt.Errorf("address %q: %w", c.Addr, err)
	}
	s := &site{drawers: func() []string { return nil }, tables: c.Tables, learnt: learnt{printers: c.Printers, folder: c.PrinterFolder}, gate: newGate(runtime.GOMAXPROCS(0), maxHeld)}
	if c.Drawers != nil {
		s.drawers = c.Drawers
	}
	if s.page, err = newPage(c.Printers); err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.servePage)
	mux.HandleFunc("GET /page/{name}", serveFile)
	mux.HandleFunc("GET /api/identify", s.gate.limited(s.identify))
	mux.HandleFunc("GET /api/threads", s.gate.limited(s.threads))
	mux.HandleFunc("GET /api/ring", s.gate.limited(s.ring))
	mux.HandleFunc("GET /api/mesh", s.gate.limited(s.mesh))
	mux.HandleFunc("GET /api/fit", s.gate.limited(s.fit))
	mux.HandleFunc("GET /api/try", s.gate.limited(s.tries))
	mux.HandleFunc("GET /api/ladder", s.gate.limited(s.ladder))
	mux.HandleFunc("GET /api/trial", s.gate.limited(s.trial))
	mux.HandleFunc("POST /api/trial", s.gate.limited(s.trial))
	one := newGate(1, 4*photo.MaxBytes) // a picture takes hundreds of megabytes while it is read
	mux.HandleFunc("POST "+photoPath, one.limited(s.photo))
	mux.HandleFunc("POST "+photoPath+"/count", s.gate.limited(s.countMarks))
	mux.HandleFunc("POST /api/standing", s.gate.limited(s.standing))
	mux.HandleFunc("POST /api/made", s.gate.limited(s.openRing))
	mux.HandleFunc("POST /api/job", s.gate.limited(s.openJob))
	mux.HandleFunc("GET /api/job", s.gate.limited(s.edit))
	mux.HandleFunc("GET /file/job.toml", s.gate.limited(s.saveJob))
	for _, f := range ringFiles {
		mux.HandleFunc("GET /file/"+f.path, s.gate.limited(s.ringFile(f)))
	}
	mux.HandleFunc("GET /file/ladder.zip", s.gate.limited(s.ladderFile))
	return guard{host: host, port: port}.wrap(mux), nil
}

// answer writes v as JSON.
func answer(w http.ResponseWriter, v any) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(v) // the other end is gone
}
