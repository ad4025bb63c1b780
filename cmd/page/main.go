//go:build !js

package main

// This file writes the one file.

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"

	"tryring/internal/whole"
)

// mostBytes is the most that the file may have.
const mostBytes = 8_000_000

func main() {
	out := flag.String("out", filepath.Join("out", "tryring.html"), "`FILE` to write")
	flag.Parse()
	if flag.NArg() > 0 {
		fmt.Fprintf(os.Stderr, "page: %q is not read; write go run ./cmd/page --out FILE.html\n", flag.Args())
		os.Exit(2)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	size, err := save(ctx, *out)
	if err != nil {
		fmt.Fprintln(os.Stderr, "page:", err)
		os.Exit(1)
	}
	fmt.Printf("%s has %d bytes. Open it in a browser.\n", *out, size)
}

// save makes the page as the file at path, and tells its size.
func save(ctx context.Context, path string) (int, error) {
	page, err := assemble(ctx)
	switch {
	case err != nil:
		return 0, err
	case len(page) > mostBytes:
		return 0, fmt.Errorf("the page has %d bytes; at most %d may be sent by people to each other", len(page), mostBytes)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return 0, err
	}
	return len(page), whole.Write(path, true, func(w io.Writer) error {
		_, err := w.Write(page)
		return err
	})
}
