// Command page makes the bench page as one file that needs no server, no network and no install:
//
//	go run ./cmd/page [-out FILE.html]
//
// Compiled for a browser it is the service within that file.
package main

// This file sets up the service that answers the page.

import (
	"tryring/internal/bench"
	"tryring/internal/printer"
	"tryring/internal/thread"
)

// service answers the page. Journals of trials, by their printers' names, are what the browser keeps; changed is told of each that is
// another now.
func service(journals map[string]string, changed func(printer, text string)) (func(bench.Request) bench.Answer, printer.Profiles, error) {
	shelf := &printer.Memory{Journals: journals, Changed: changed}
	printers, err := shelf.Load()
	return bench.Service(bench.Config{Tables: thread.NewTables(), Printers: printers, Shelf: shelf}), printers, err
}
