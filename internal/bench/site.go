package bench

// This file holds the site: what it is made from, and which address answers what.

import (
	"tryring/internal/printer"
	"tryring/internal/thread"
)

// Config is what a site is made from.
type Config struct {
	// Addr is the address listened on, HOST:PORT, of this machine alone.
	Addr string
	// Key lets other machines in, and only with it; "" listens to none.
	Key string
	// Networks are the addresses of this machine that others are told; at least one with a key.
	Networks []string
	// TakeAway names the file of the page that needs no desk, which need not be there.
	TakeAway string
	Tables   *thread.Tables
	Printers printer.Profiles
	// Shelf is where the person's own printers and trials are kept.
	Shelf printer.Shelf
	// Drawers are the folders of gauges that lie at hand now; nil for none.
	Drawers func() []string
}

// site answers requests. All that it keeps between them is what trials taught of the printers.
type site struct {
	tables *thread.Tables
	learnt learnt
	// drawers are the folders of gauges that lie at hand now.
	drawers func() []string
}

// Service returns what answers the page's requests.
func Service(c Config) func(Request) Answer { return newSite(c).reply }

// newSite makes the site.
func newSite(c Config) *site {
	s := &site{drawers: c.Drawers, tables: c.Tables, learnt: learnt{printers: c.Printers, Shelf: c.Shelf}}
	if s.drawers == nil {
		s.drawers = func() []string { return nil }
	}
	if s.learnt.Shelf == nil {
		s.learnt.Shelf = printer.Folder("")
	}
	return s
}

// routes tell which handler answers which method and path.
func (s *site) routes() map[string]handler {
	out := map[string]handler{
		"GET /api/identify": s.identify, "GET /api/threads": s.threads, "GET /api/ring": s.ring, "GET /api/mesh": s.mesh, "GET /api/fit": s.fit,
		"GET /api/try": s.tries, "GET /api/ladder": s.ladder, "GET /api/trial": s.trial, "POST /api/trial": s.trial,
		"POST " + photoPath: s.photo, "POST " + photoPath + "/count": s.countMarks, "POST /api/standing": s.standing, "POST /api/made": s.openRing,
		"POST /api/job": s.openJob, "GET /api/job": s.edit, "GET /file/job.toml": s.saveJob, "GET /file/ladder.zip": s.ladderFile,
	}
	for _, f := range ringFiles {
		out["GET /file/"+f.path] = s.ringFile(f)
	}
	return out
}
