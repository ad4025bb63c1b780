//go:build !js

package bench

// This file holds what a shared bench adds: the addresses for other machines and their code, and the one job that desk and phone have open.

import (
	"bytes"
	"errors"
	"fmt"
	"html/template"
	"net"
	"net/http"
	"net/url"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/skip2/go-qrcode"
)

// others are the addresses under which other machines reach the port, with the key; none where there is no key.
func (c Config) others(port string) []string {
	var out []string
	for _, one := range c.Networks {
		out = append(out, "http://"+net.JoinHostPort(one, port)+"/?key="+c.Key)
	}
	return out
}

// Networks are the addresses of this machine in its networks, the one that the system takes to go far before all; at least one.
func Networks() ([]string, error) {
	all, _ := net.InterfaceAddrs()
	var out []string
	// This sends nothing: it asks the system which way it would go to an address that stands for none (RFC 5737).
	if far, err := net.Dial("udp4", "192.0.2.1:9"); err == nil {
		out = append(out, far.LocalAddr().(*net.UDPAddr).IP.String())
		_ = far.Close()
	}
	for _, a := range all {
		if one, _, _ := net.ParseCIDR(a.String()); one.IsGlobalUnicast() && !slices.Contains(out, one.String()) {
			out = append(out, one.String())
		}
	}
	if out == nil {
		return nil, errors.New("this machine is in no network that a phone could be in")
	}
	return out, nil
}

// Code is the code of an address as text, two squares in a character, in colours of its own on whatever a terminal has.
func Code(address string) (string, error) {
	code, err := qrcode.New(address, qrcode.Medium)
	if err != nil {
		return "", err
	}
	var out strings.Builder
	for line := range strings.Lines(code.ToSmallString(false)) {
		out.WriteString("\x1b[38;5;231;48;5;16m" + strings.TrimSuffix(line, "\n") + "\x1b[0m\n") // light squares are the characters' ink
	}
	return out.String(), nil
}

// entry is what a field holds, and the version of the job in which it came to.
type entry struct {
	text    string
	version int
}

// shared is the job that all screens have open. It lives as long as the desk runs, and stays in memory.
type shared struct {
	version int
	fields  map[string]entry
}

// sharePage is what the page of a shared job holds more than others; the code of the first address is shown at the desk alone.
type sharePage struct {
	Desk, TakeAway bool
	Others         []string
	// Squares are those of the code, row by row with its quiet zone; true is dark.
	Squares [][]bool
}

// share puts onto mux what a shared site answers beside the rest.
func (c Config) share(mux *http.ServeMux, page []byte, port string) error {
	words, err := template.ParseFS(Files, "page/share.html")
	if err != nil {
		return err
	}
	others := c.others(port)
	code, err := qrcode.New(others[0], qrcode.Medium) // ISO/IEC 18004
	if err != nil {
		return err
	}
	squares := code.Bitmap()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) {
		_, err := os.Stat(c.TakeAway)
		var added bytes.Buffer
		if err := words.Execute(&added, sharePage{atDesk(r), err == nil, others, squares}); err != nil {
			panic(err) // the template is our own
		}
		shown("text/html; charset=utf-8", bytes.Replace(page, []byte(`<div id="shared"></div>`), added.Bytes(), 1)).send(w)
	})
	mux.HandleFunc("GET /tryring.html", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", takeAwayPolicy)
		http.ServeFile(w, r, c.TakeAway)
	})
	meet := newGate(1, maxHeld).limited((&shared{fields: map[string]entry{}}).meet) // one at a time
	mux.HandleFunc("GET /api/shared", meet)
	mux.HandleFunc("POST /api/shared", meet)
	return nil
}

// takeAwayPolicy lets the one file that needs no desk run what stands in itself, and ask nobody.
const takeAwayPolicy = "default-src 'none'; script-src 'unsafe-inline' 'wasm-unsafe-eval'; worker-src blob:; style-src 'unsafe-inline'; img-src data: blob:; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// met is the shared job as a screen is told it: Lost says that what the screen sent was not taken, since another had changed it.
type met struct {
	Version int    `json:"version"`
	Query   string `json:"query"`
	Lost    bool   `json:"lost"`
}

// meet answers /api/shared?version=N: whatever is newer than the version that a screen knows. With POST the body holds the fields that
// were changed there since, as a query. Of two who change one field at once the first is right, and all that the other sent is dropped.
func (s *shared) meet(r Request) Answer {
	sent, err := url.ParseQuery(string(r.Body))
	known, wrong := strconv.Atoi(r.Query.Get("version"))
	_, faults := readForm(sent)
	if err := errors.Join(err, wrong); err != nil || len(faults) > 0 {
		return says(badRequest, fmt.Sprint("the shared job takes a version and fields: ", err, faults))
	}
	out := met{}
	for key := range sent {
		out.Lost = out.Lost || s.fields[key].version > known || s.fields["unit"].version > known // which says what numbers mean
	}
	next := s.version + 1
	for _, key := range formKeys() {
		if text := strings.TrimSpace(sent.Get(key)); sent.Has(key) && text != s.fields[key].text && !out.Lost {
			s.fields[key], s.version = entry{text, next}, next
		}
	}
	if s.version == known {
		return Answer{Status: noContent}
	}
	query := url.Values{}
	for key, one := range s.fields {
		if one.text != "" {
			query.Set(key, one.text)
		}
	}
	out.Version, out.Query = s.version, query.Encode()
	return answer(out)
}
