//go:build !js

package bench

// This file runs the site over net/http: listens, serves with time-outs, and stops cleanly.

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"syscall"
	"time"
)

// DefaultAddr is this machine only, on a port that nothing common uses.
const DefaultAddr = "127.0.0.1:8137"

var (
	// ErrOthers is the fault of an address that is not this machine's alone.
	ErrOthers = errors.New("other machines would read and change everything")
	// ErrTaken is the fault of a port that another program listens on.
	ErrTaken = errors.New("is in use")
)

// goodbye is how long requests under way may take to end when the site stops.
const goodbye = 3 * time.Second

// Serve listens on c.Addr, and with a key on all networks, and serves until ctx is done; then it lets requests under way end. Once the
// page is served it tells the addresses for this machine and for others, which come with the key. Port 0 takes any free port.
func Serve(ctx context.Context, c Config, told func(here string, others []string) error) error {
	host, port, err := net.SplitHostPort(c.Addr)
	if err := errors.Join(c.Validate(), err); err != nil {
		return err
	}
	addr := c.Addr
	if c.Key != "" {
		addr = net.JoinHostPort("", port)
	}
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", addr)
	if err != nil {
		return inUse(c.Addr, err)
	}
	if _, port, err = net.SplitHostPort(listener.Addr().String()); err != nil {
		return errors.Join(err, listener.Close())
	}
	c.Addr = net.JoinHostPort(host, port)
	handler, err := New(c)
	if err == nil {
		err = told("http://"+c.Addr+"/", c.others(port))
	}
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	return serve(ctx, listener, handler)
}

// otherAddress is what windows says of a port that is in use (WSAEADDRINUSE).
const otherAddress = syscall.Errno(10048)

// inUse says who holds an address that cannot be listened on.
func inUse(addr string, err error) error {
	if !errors.Is(err, syscall.EADDRINUSE) && !errors.Is(err, otherAddress) {
		return err
	}
	who := "another program holds it"
	client := http.Client{Timeout: time.Second}
	if answer, err := client.Get("http://" + addr + "/"); err == nil {
		_ = answer.Body.Close()
		if answer.Header.Get("Server") == serverName {
			who = "another tryring bench runs there: open http://" + addr + "/"
		}
	}
	return fmt.Errorf("%s %w; %s", addr, ErrTaken, who)
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
