//go:build !js

package main

// This file writes the one file.

import (
	"flag"
	"fmt"
	"io"
	"os"
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
	page, err := assemble()
	if err == nil && len(page) > mostBytes {
		err = fmt.Errorf("the page has %d bytes, more than %d", len(page), mostBytes)
	}
	if err == nil {
		err = os.MkdirAll(filepath.Dir(*out), 0o777)
	}
	if err == nil {
		err = whole.Write(*out, true, func(w io.Writer) error { _, err := io.WriteString(w, page); return err })
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "page:", err)
		os.Exit(1)
	}
	fmt.Printf("%s has %d bytes. Open it in a browser.\n", *out, len(page))
}
