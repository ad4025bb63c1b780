package bench

// This file hands out files: those of a proved ring, made in memory.

import (
	"fmt"
	"mime"
	"net/http"
	"strings"

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
func (s *site) ringFile(out file) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		f, faults := readForm(r.URL.Query())
		a, p, more := s.settle(f)
		if refuse(w, append(faults, more...)) {
			return
		}
		sh, _ := f.sheet() // of which the ring was settled
		a.Read = sh.Told()
		var made whole.Memory
		if _, err := build.Make(r.Context(), &made, a, p); err != nil {
			http.Error(w, fmt.Sprintf("%s cannot be made: %v", a.Name+out.ending, err), http.StatusUnprocessableEntity)
			return
		}
		w.Header().Set(madeHeader, pack(made.Bytes(a.Name+".json")))
		send(w, a.Name+out.ending, out.mediaType, made.Bytes(a.Name+out.ending))
	}
}

// refuse answers with the faults, if there are any.
func refuse(w http.ResponseWriter, faults []fault) bool {
	if len(faults) == 0 {
		return false
	}
	var b strings.Builder
	for _, f := range faults {
		if f.Field != "" {
			b.WriteString(f.Field + ": ")
		}
		b.WriteString(f.Text + "\n")
	}
	http.Error(w, b.String(), http.StatusUnprocessableEntity)
	return true
}

// send hands out a file to save under the given name.
func send(w http.ResponseWriter, name, mediaType string, data []byte) {
	head := w.Header()
	head.Set("Content-Type", mediaType)
	head.Set("Content-Length", fmt.Sprint(len(data)))
	head.Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	_, _ = w.Write(data) // the other end is gone
}
