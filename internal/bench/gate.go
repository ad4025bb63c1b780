//go:build !js

package bench

// This file holds the gate: how many requests are worked on at once, how many may wait, and how much they may hold.

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"sync/atomic"
	"time"
)

const (
	// maxWaiting is how many requests may wait for their turn; a page has a handful.
	maxWaiting = 1000
	// patience is how long one request may wait and work.
	patience = 60 * time.Second
	// stall is how long nothing of a body may come; a slow line that goes on sending is served.
	stall = 30 * time.Second
)

// gate lets a few requests work at a time, so that memory stays bounded however many ask. A request takes its turn with its
// body in hand: one whose body comes slowly, or never, keeps nobody waiting.
type gate struct {
	working, waiting chan struct{}
	// room is how many bytes of bodies may still be held.
	room *atomic.Int64
	// stall is the constant, but in tests.
	stall time.Duration
}

// newGate lets atOnce requests work, and all that are under way hold room bytes of bodies together.
func newGate(atOnce int, room int64) gate {
	g := gate{working: make(chan struct{}, atOnce), waiting: make(chan struct{}, maxWaiting), room: &atomic.Int64{}, stall: stall}
	g.room.Store(room)
	return g
}

// limited wraps a handler that computes. Whoever hangs up while waiting is let go.
func (g gate) limited(h handler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		line := http.NewResponseController(w)
		body := held{from: r.Body, room: g.room, more: func() { _ = line.SetReadDeadline(time.Now().Add(g.stall)) }} // where there is a line
		defer body.free()
		data, err := io.ReadAll(&body)
		_ = line.SetWriteDeadline(time.Now().Add(patience + stall))
		if err != nil {
			refuseBody(w, err)
			return
		}
		ctx, stop := context.WithTimeout(r.Context(), patience)
		defer stop()
		select {
		case g.waiting <- struct{}{}:
			defer func() { <-g.waiting }()
		default:
			refuseBody(w, errBusy)
			return
		}
		select {
		case g.working <- struct{}{}:
			defer func() { <-g.working }()
		case <-ctx.Done():
			http.Error(w, "waited too long for a turn; try again", http.StatusServiceUnavailable)
			return
		}
		h(Request{Context: ctx, Method: r.Method, Path: r.URL.Path, Query: r.URL.Query(), Body: data}).send(w)
	}
}

// errBusy is told where no more can wait or be held.
var errBusy = errors.New("too many requests at once; try again")

// refuseBody answers a request whose body was not read whole.
func refuseBody(w http.ResponseWriter, err error) {
	var tooLarge *http.MaxBytesError
	switch {
	case errors.Is(err, errBusy):
		w.Header().Set("Retry-After", "1")
		http.Error(w, err.Error(), http.StatusServiceUnavailable)
	case errors.As(err, &tooLarge):
		http.Error(w, fmt.Sprintf("what was sent is larger than the %d kB that are read", tooLarge.Limit>>10), http.StatusRequestEntityTooLarge)
	case errors.Is(err, os.ErrDeadlineExceeded):
		http.Error(w, "what was sent stopped half-way; send it again", http.StatusRequestTimeout)
	default:
		http.Error(w, "what was sent did not arrive whole", http.StatusBadRequest)
	}
}

// held is a body that takes room as it comes in, and gives it back when it is let go of.
type held struct {
	from io.Reader
	room *atomic.Int64
	size int64
	// more is told before more is waited for.
	more func()
}

func (b *held) Read(p []byte) (int, error) {
	b.more()
	n, err := b.from.Read(p)
	b.size += int64(n)
	if b.room.Add(int64(-n)) < 0 {
		err = errBusy
	}
	return n, err
}

func (b *held) free() { b.room.Add(b.size) }
