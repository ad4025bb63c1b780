// Package job holds the document of a job: what was read of both threads, what was decided, made and tried. The file, the
// command line and the page are three views of it.
//
// A document is changed as plain data. Every entry has a number that is unique in the document and never given twice; an entry
// that is added with number 0 gets the next one when the document is written. Writing keeps every byte of what was not changed,
// comments included. No clock is asked: whoever adds an entry says when.
package job

import (
	"errors"
	"slices"

	"tryring/internal/fault"
	"tryring/internal/reading"
)

// Version is the newest layout of files that is known; a file without a version has the first.
const Version = 1

// The two sides of a job. What was read off the part that goes in decides the ring's inner thread, what was read off the
// fitting that stays its outer one.
const (
	Stays = "stays"
	Goes  = "goes"
)

// RingSide is the side of the ring that meets a side of the job, which names its thread too.
var RingSide = map[string]string{Stays: "outer", Goes: "inner"}

// ErrSide is the cause of a fault about a side that is neither of the two.
var ErrSide = errors.New("no side of a job")

// ErrNoEntry is the cause of a fault about a number that no entry has.
var ErrNoEntry = errors.New("no such entry")

// Document is one job.
type Document struct {
	// Version is that of the file's layout; 0 in a file that does not say.
	Version int `toml:"version" json:"version,omitempty"`
	// Use is what the ring is for, in the person's own words; Among what both threads belong to (see reading.Among).
	Use   string `toml:"use" json:"use"`
	Among string `toml:"among" json:"among"`
	// Ring is the ring as asked.
	Ring
	// Dropped are the numbers of entries that were taken back; they are not given again.
	Dropped []int `toml:"dropped" json:"dropped,omitempty"`

	// Stays is what was read off the fitting that the ring goes into, Goes off the part that goes into the ring.
	Stays []reading.Record `toml:"-" json:"stays"`
	Goes  []reading.Record `toml:"-" json:"goes"`
	// Questions are what a person was asked, and Decided which thread each side was said to be: the last of a side holds.
	Questions []Question `toml:"-" json:"questions"`
	Decided   []Decision `toml:"-" json:"decided"`
	// Parts are the parts lists that were looked at, the last one first in mind.
	Parts []PartsList `toml:"-" json:"parts"`
	Files []File      `toml:"-" json:"files"`
	Tries []Try       `toml:"-" json:"tries"`
	Notes []Note      `toml:"-" json:"notes"`

	// read is the file that the document was read from; nil for a new one.
	read *source
}

// Question is what a person was asked about a side, and the answer.
type Question struct {
	ID     int    `toml:"id" json:"id"`
	Side   string `toml:"side" json:"side"`
	Text   string `toml:"text" json:"text"`
	Answer string `toml:"answer" json:"answer"`
	When   string `toml:"when" json:"when"`
}

// Decision is the thread that a side was said to be, at which chance (0 to 1; 0 when nothing was read) and against which second.
type Decision struct {
	ID           int     `toml:"id" json:"id"`
	Side         string  `toml:"side" json:"side"`
	Designation  string  `toml:"thread" json:"designation"`
	Weight       float64 `toml:"chance" json:"weight"`
	Second       string  `toml:"second" json:"second"`
	SecondWeight float64 `toml:"second_chance" json:"second_weight"`
	// Sure is set when the person kept to it although it was not the likely one.
	Sure bool   `toml:"sure" json:"sure,omitempty"`
	When string `toml:"when" json:"when"`
}

// PartsList is a shop's list, and the figures of it that an answer stands on: "D: inner 1 5/8-16". Columns are the names of its
// columns where it has no header, Unit that of its bare sizes (see parts.ReadOptions).
type PartsList struct {
	ID      int      `toml:"id" json:"id"`
	File    string   `toml:"file" json:"file"`
	Columns string   `toml:"columns" json:"columns,omitempty"`
	Unit    string   `toml:"unit" json:"unit,omitempty"`
	Gave    []string `toml:"gave" json:"gave"`
	When    string   `toml:"when" json:"when"`
}

// File is a file that was made, with the SHA-256 of its bytes in hexadecimal.
type File struct {
	ID     int    `toml:"id" json:"id"`
	Name   string `toml:"name" json:"name"`
	Digest string `toml:"sha256" json:"sha256"`
	When   string `toml:"when" json:"when"`
}

// Try is one ring tried on the real thread. Lengths in mm.
type Try struct {
	ID int `toml:"id" json:"id"`
	// Side is the side of the ring that was tried: inner or outer.
	Side string `toml:"side" json:"side"`
	When string `toml:"when" json:"when"`
	// Ring names the ring that was really printed, Digest is that of its NAME.json.
	Ring   string `toml:"ring" json:"ring"`
	Digest string `toml:"sha256" json:"sha256"`
	// Thread is the ring's thread on that side, its diameters as measured in the ring's file.
	Thread   string  `toml:"thread" json:"thread"`
	MajorMM  float64 `toml:"major_mm" json:"major_mm"`
	PitchDMM float64 `toml:"pitch_diameter_mm" json:"pitch_diameter_mm"`
	MinorMM  float64 `toml:"minor_mm" json:"minor_mm"`
	// EngagedMM is how much thread the ring has there.
	EngagedMM float64 `toml:"engaged_mm" json:"engaged_mm"`
	// Printer made it in layers of LayerMM; OffMM is what it adds to an outside diameter, or takes from an inside one, FlanksMM what its
	// layers add to, or take from, the pitch diameter beside that, UMM the standard uncertainty of both together.
	Printer  string  `toml:"printer" json:"printer"`
	LayerMM  float64 `toml:"layer_mm" json:"layer_mm"`
	OffMM    float64 `toml:"off_mm" json:"off_mm"`
	FlanksMM float64 `toml:"flanks_mm" json:"flanks_mm"`
	UMM      float64 `toml:"u_mm" json:"u_mm"`
	// Result is what happened: "goes", "snug", "rattles", "does not start" or "stops after N turns".
	Result string `toml:"result" json:"result"`
	// Doubt is what could not be right about it when it was kept all the same.
	Doubt string `toml:"doubt" json:"doubt,omitempty"`
	Note  string `toml:"note" json:"note,omitempty"`
}

// Note is a remark.
type Note struct {
	ID   int    `toml:"id" json:"id"`
	Text string `toml:"text" json:"text"`
	When string `toml:"when" json:"when"`
}

// CheckSide reports a side that is neither of the two.
func CheckSide(side string) error {
	if side == Stays || side == Goes {
		return nil
	}
	return fault.Fault{Field: "side", Read: side, Want: "it is goes (the part that goes into the ring) or stays (the fitting that the ring goes into)", Cause: ErrSide}
}

// Readings are those of a side, to read and to change; nil for no side.
func (d *Document) Readings(side string) *[]reading.Record {
	return map[string]*[]reading.Record{Stays: &d.Stays, Goes: &d.Goes}[side]
}

// Thread is the ring's thread that meets a side, to read and to change: the inner one goes, the outer one stays; nil for no side.
func (d *Document) Thread(side string) *string {
	return map[string]*string{Stays: &d.Outer, Goes: &d.Inner}[side]
}

// Decision returns the decision that holds for a side, if there is one.
func (d *Document) Decision(side string) (Decision, bool) {
	for _, one := range slices.Backward(d.Decided) {
		if one.Side == side {
			return one, true
		}
	}
	return Decision{}, false
}

// Decide notes that a side is the given thread, and asks the ring for it.
func (d *Document) Decide(one Decision) error {
	if err := CheckSide(one.Side); err != nil {
		return err
	}
	d.Decided = append(slices.DeleteFunc(d.Decided, func(old Decision) bool { return old.Side == one.Side }), one)
	*d.Thread(one.Side) = one.Designation
	return nil
}

// Made notes that a file was made, once for the same bytes.
func (d *Document) Made(one File) {
	if !slices.ContainsFunc(d.Files, func(old File) bool { return old.Name == one.Name && old.Digest == one.Digest }) {
		d.Files = append(d.Files, one)
	}
}

// Told tells what was read of both threads, a sentence each, the part that goes in first.
func (d *Document) Told() []string {
	var out []string
	for _, side := range []struct {
		name    string
		records []reading.Record
	}{{"The part that goes in", d.Goes}, {"The fitting that stays", d.Stays}} {
		for _, told := range reading.Told(side.records) {
			out = append(out, side.name+": "+told+".")
		}
	}
	return out
}
