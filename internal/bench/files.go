package bench

// This file hands out files: those of a proved ring, made in memory.

import (
	"fmt"

	"tryring/internal/build"
	"tryring/internal/whole"
)

// file is one of a ring's files and the address it has.
type file struct {
	path, ending, mediaType string
}

// ringFiles are the files of a ring.
var ringFiles = []file{
	{path: "ring.stl", ending: ".stl", mediaType: "model/stl"},
	{path: "ring.3mf", ending: ".3mf", mediaType: "model/3mf"},
	{path: "ring.pdf", ending: ".pdf", mediaType: "application/pdf"},
	{path: "ring.html", ending: ".html", mediaType: "text/html; charset=utf-8"},
	{path: "ring.json", ending: ".json", mediaType: "application/json"},
	{path: "ring.svg", ending: ".svg", mediaType: "image/svg+xml"},
}

// ringFile answers GET /file/ring.ENDING: builds the ring, proves it, and hands out one file. It is refused as a whole
// when anything is wrong.
func (s *site) ringFile(out file) handler {
	return func(r Request) Answer {
		f, faults := readForm(r.Query)
		a, p, more := s.settle(f)
		if faults = append(faults, more...); len(faults) > 0 {
			return refuse(faults)
		}
		sh, _ := f.sheet() // of which the ring was settled
		a.Read = sh.Told()
		var made whole.Memory
		if _, err := build.Make(r.Context, &made, a, p); err != nil {
			return says(unprocessable, fmt.Sprintf("%s cannot be made: %v", a.Name+out.ending, err))
		}
		return Answer{
			Status: okay, Type: out.mediaType, File: a.Name + out.ending, Body: made.Bytes(a.Name + out.ending),
			Own: map[string]string{madeHeader: pack(made.Bytes(a.Name + ".json"))},
		}
	}
}
