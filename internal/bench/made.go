package bench

// This file holds the ring that was made last: what is tried is that ring, whatever the fields ask for by then.

import (
	"errors"
	"fmt"
	"net/url"

	"tryring/internal/build"
	"tryring/internal/job"
	"tryring/internal/trial"
)

const (
	// madeKey is the field that holds the JSON file of the ring that was made last, packed.
	madeKey = "made"
	// gaugeKey is the field that holds the gauge which is tried in the ring's place: the folder of its drawer, and its name there.
	gaugeKey = "gauge"
	// madeHeader hands it over with each file of a ring.
	madeHeader = "Tryring-Made"
	// maxMade bounds it, in bytes.
	maxMade = 16 << 10
)

// madeRing is a ring that was made, with its JSON file and its digest.
type madeRing struct {
	build.Result
	text   []byte
	digest string
}

// made is the ring that was made last; nil for none.
func (f form) made() (*madeRing, error) {
	text, err := unpack(f[madeKey])
	if err != nil || text == nil {
		return nil, err
	}
	m := madeRing{text: text}
	m.Result, m.digest, err = trial.ParseResult("the ring that was made", text)
	return &m, err
}

// file is what its JSON file is called.
func (m madeRing) file() string { return m.Name + ".json" }

// words tell which ring it is.
func (m madeRing) words() string {
	return fmt.Sprintf("%s: %s inside, %s outside, a gap of %.2f mm, for printer %s", m.Name, m.Inner.Designation, m.Outer.Designation, m.ClearanceMM, m.Printer)
}

// noteMade notes in the document that a ring was made, and takes it for the one that is tried.
func noteMade(d *job.Document, f form, query url.Values) []fault {
	f[madeKey] = query.Get("ring")
	m, err := f.made()
	if err != nil || m == nil {
		return []fault{{"tries", "the file of that ring did not arrive whole"}}
	}
	d.Made(job.File{Name: m.file(), Digest: m.digest, When: f[todayKey]})
	return nil
}

// packed is the answer to a ring's JSON file.
type packed struct {
	Faults []fault `json:"faults"`
	Made   string  `json:"made"`
}

// openRing answers POST /api/made: the JSON file of a ring is the body.
func (s *site) openRing(r Request) Answer {
	made := pack(r.Body)
	_, _, err := trial.ParseResult("the file", r.Body)
	if err == nil && len(made) > maxMade {
		err = errors.New("it holds more than a ring's file does")
	}
	if err != nil {
		return answer(packed{Faults: laid(err, func(string) string { return "tries" })})
	}
	return answer(packed{Faults: []fault{}, Made: made})
}
