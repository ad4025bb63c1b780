//go:build !js

package bench

// This file runs the site over net/http: listens, serves with time-outs, and stops cleanly.

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"time"
)

// DefaultAddr is this machine only, on a port that nothing common uses.
const DefaultAddr = "127.0.0.1:8137"

// goodbye is how long requests under way may take to end when the site stops.
const goodbye = 3 * time.Second

// Serve listens on c.Addr and serves until ctx is done, then lets requests under way end. It tells the page's address
// once it is served, and says on warned when it reaches further than this machine. Port 0 takes any free port.
func Serve(ctx context.Context, c Config, told func(address string) error, warned io.Writer) error {
	host, _, err := net.SplitHostPort(c.Addr)
	if err != nil {
		return fmt.Errorf("address %q: %w; write it like %s", c.Addr, err, DefaultAddr)
	}
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", c.Addr)
	if err != nil {
		return err
	}
	_, port, err := net.SplitHostPort(listener.Addr().String())
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	c.Addr = net.JoinHostPort(host, port)
	handler, err := New(c)
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	if !loopback(host) {
		fmt.Fprintf(warned, "tryring: warning: %s can be reached from other machines, and there is no password; %s is for this machine only\n", c.Addr, DefaultAddr)
	}
	if host == "" || net.ParseIP(host) != nil && net.ParseIP(host).IsUnspecified() {
		host = "localhost"
	}
	if err := told("http://" + net.JoinHostPort(host, port) + "/"); err != nil {
		return errors.Join(err, listener.Close())
	}
	return serve(ctx, listener, handler)
}

// serve serves h on listener, which it closes, until ctx is done.
func serve(ctx context.Context, listener net.Listener, h http.Handler) error {
	server := &http.Server{
		Handler:           h,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       stall, // each answer, and each body as it comes, sets its own (gate)
		WriteTimeout:      patience + stall,
		IdleTimeout:       time.Minute,
		MaxHeaderBytes:    2 * maxQuery,
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	// Of its own, since ctx is done.
	last, stop := context.WithTimeout(context.Background(), goodbye)
	defer stop()
	err := server.Shutdown(last)
	if errors.Is(err, context.DeadlineExceeded) {
		err = server.Close()
	}
	if served := <-ended; !errors.Is(served, http.ErrServerClosed) {
		err = errors.Join(err, served)
	}
	return err
}
