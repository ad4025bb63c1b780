// Command tryring makes threaded test rings: from two threads that do not match it builds, proves and measures
// a printable ring with one thread inside and the other outside, to try by hand before money is spent.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"slices"
	"syscall"
	"time"
)

// grace is how long a command may take to end by itself after a signal, and leave nothing half-written. One that waits for
// input, or counts, is ended then.
const grace = 400 * time.Millisecond

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	ended := make(chan int, 1)
	go func() { ended <- run(ctx, os.Args[1:], os.Stdout, os.Stderr) }()
	select {
	case code := <-ended:
		os.Exit(code)
	case <-ctx.Done():
		stop() // a second signal ends the program at once
	}
	select {
	case code := <-ended:
		os.Exit(code)
	case <-time.After(grace):
		os.Exit(report(os.Stderr, forScripts(os.Args[1:]), ctx.Err()))
	}
}

// run carries out one command line and returns its exit code.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	root := newRoot(stdout, stderr)
	root.SetArgs(jobFirst(args, commandNames(root)))
	err := unquoted(args)
	if err == nil {
		err = root.ExecuteContext(ctx)
	}
	return report(stderr, forScripts(args), err)
}

// forScripts says whether args ask for JSON; args that cannot be read do too.
func forScripts(args []string) bool { return slices.Contains(args, "--json") }
