package bench

// This file holds the gate: how many requests are worked on at once, and how many may wait.

import (
	"context"
	"net/http"
	"time"
)

const (
	// maxWaiting is how many requests may wait for their turn; a page has a handful.
	maxWaiting = 1000
	// patience is how long one request may wait and work.
	patience = 60 * time.Second
)

// gate lets a few requests work at a time, so that memory stays bounded however many ask.
type gate struct {
	working, waiting chan struct{}
}

func newGate(atOnce int) gate {
	return gate{working: make(chan struct{}, atOnce), waiting: make(chan struct{}, maxWaiting)}
}

// limited wraps a handler that computes. Whoever hangs up while waiting is let go.
func (g gate) limited(h http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		ctx, stop := context.WithTimeout(r.Context(), patience)
		defer stop()
		select {
		case g.waiting <- struct{}{}:
			defer func() { <-g.waiting }()
		default:
			w.Header().Set("Retry-After", "1")
			http.Error(w, "too many requests at once; try again", http.StatusServiceUnavailable)
			return
		}
		select {
		case g.working <- struct{}{}:
			defer func() { <-g.working }()
		case <-ctx.Done():
			http.Error(w, "waited too long for a turn; try again", http.StatusServiceUnavailable)
			return
		}
		h(w, r.WithContext(ctx))
	}
}
