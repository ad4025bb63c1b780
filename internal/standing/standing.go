package standing

// This file gathers what a job's document says, and what it stands on: the tables, the parts list, the ring, the drawer.

import (
	"encoding/json"
	"errors"
	"io/fs"
	"strings"

	"tryring/internal/fault"
	"tryring/internal/fit"
	"tryring/internal/gauge"
	"tryring/internal/identity"
	"tryring/internal/job"
	"tryring/internal/parts"
	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/trial"
)

// settled is the chance from which a thread counts as found, and a part as one that joins: nine in ten. A decision below it
// is said to be doubtful wherever it is used.
const settled = 0.9

// likely is the chance from which something is likelier than not.
const likely = 0.5

// Around is what a document does not hold itself.
type Around struct {
	Tables  *thread.Tables
	Printer printer.Profile
	// Drawers are folders that each hold a drawer of gauges.
	Drawers []string
	// Read returns the content of a file; its error is fs.ErrNotExist where there is none.
	Read func(name string) ([]byte, error)
}

// Side is what is known of one of the two threads.
type Side struct {
	// Name is job.Stays or job.Goes.
	Name    string
	Records []reading.Record
	// Answer is what all readings and tries say; nil where nothing was read, or where it cannot be read together.
	Answer *reading.Answer
	// Thread is the thread that was decided on, nil for none. Decision says how; it is empty for one that was named only.
	Thread   *thread.Thread
	Decision job.Decision
	// Tries are the rings that were tried on it.
	Tries []job.Try
}

// Standing is where a job stands.
type Standing struct {
	// Sides are what stays and what goes.
	Sides [2]Side
	// Fit is how the two go together as they are, by the likeliest threads; nil where one is not known.
	Fit *fit.Result
	// List is the name of the parts list, Parts are its parts, best first.
	List  string
	Parts []parts.Ranked
	// Contradictions are what cannot all be right, each with what would mend it.
	Contradictions []Contradiction
	// Order is the part to order, nil where none is likely to join both.
	Order *Order
	// Next is the one next step.
	Next Step

	ring    made
	named   job.Ring
	around  Around
	drawers []drawer
}

// made is the ring that was made for the job, as far as its own file tells; nothing is made where name is "".
type made struct {
	name  string
	Inner struct {
		Designation string `json:"designation"`
	} `json:"inner"`
	Outer struct {
		Designation string `json:"designation"`
	} `json:"outer"`
}

// on is the ring's thread that meets a side.
func (m made) on(side string) string {
	if side == job.Stays {
		return m.Outer.Designation
	}
	return m.Inner.Designation
}

// Of says where the job d stands. Errors are those of files that cannot be read; what is missing is part of the answer.
func Of(d *job.Document, around Around) (Standing, error) {
	s := Standing{around: around, named: d.Ring}
	if _, err := reading.ParseAmong(d.Among); err != nil {
		return s, fault.In("among", err)
	}
	if err := thread.RefusedUse(d.Use); err != nil {
		return s, fault.In("use", err)
	}
	var err error
	for _, folder := range around.Drawers {
		one, err := gauge.OpenDrawer(folder, around.Read)
		if err != nil {
			return s, fault.In("drawer", err)
		}
		s.drawers = append(s.drawers, drawer{folder, one})
	}
	if s.ring, err = s.findRing(d); err != nil {
		return s, err
	}
	for i, name := range []string{job.Stays, job.Goes} {
		if s.Sides[i], err = s.side(name, d); err != nil {
			return s, err
		}
	}
	if err := s.meet(); err != nil {
		return s, err
	}
	if err := s.shortlist(d); err != nil {
		return s, err
	}
	s.contradict()
	s.Order = s.order()
	s.Next = s.next()
	return s, nil
}

// Mates are the threads that a side of d could be, with their chances; none where nothing is known of it.
func Mates(d *job.Document, name string, tables *thread.Tables) ([]parts.Mate, error) {
	s := Standing{around: Around{Tables: tables}}
	side, err := s.side(name, d)
	return side.mates(), err
}

// side gathers what is known of a side.
func (s *Standing) side(name string, d *job.Document) (Side, error) {
	side := Side{Name: name, Records: *d.Readings(name), Tries: trial.Of(name, d.Tries)}
	side.Decision, _ = d.Decision(name)
	for _, text := range []string{side.Decision.Designation, *d.Thread(name)} {
		if text == "" {
			continue
		}
		t, err := s.around.Tables.Parse(text)
		if err == nil {
			err = t.HandsOff()
		}
		if err != nil {
			return side, fault.In(job.RingSide[name], err)
		}
		if text == *d.Thread(name) {
			side.Thread = &t
		}
	}
	found, err := identity.Of(d, name, s.around.Tables)
	switch {
	case err == nil:
		side.Answer = &found.Answer
	case errors.Is(err, reading.ErrNothing):
	default:
		s.unreadable(side, err)
	}
	return side, nil
}

// top is the likeliest thread of a side with its chance and the next one; ok is false where none is known.
func (side Side) top() (first, second reading.Candidate, ok bool) {
	switch {
	case side.Answer != nil && side.Answer.Candidates[0].Thread != nil:
		return side.Answer.Candidates[0], side.Answer.Candidates[1], true
	case side.Answer == nil && side.Thread != nil:
		return reading.Candidate{Designation: side.Thread.Designation, Weight: 1, Thread: side.Thread}, second, true
	}
	return first, second, false
}

// weight is the chance now that a side is the thread with that designation.
func (side Side) weight(designation string) float64 {
	if side.Answer == nil {
		return side.Decision.Weight
	}
	for _, c := range side.Answer.Candidates {
		if c.Designation == designation {
			return c.Weight
		}
	}
	return 0
}

// likeliestMates bounds how many threads of a side are weighed against a list, leastMate how likely each is.
const (
	likeliestMates = 20
	leastMate      = 0.001
)

// mates are the threads that a side could be, with their chances.
func (side Side) mates() []parts.Mate {
	if side.Answer == nil {
		if side.Thread == nil {
			return nil
		}
		return parts.Sure(*side.Thread)
	}
	var out []parts.Mate
	for _, c := range side.Answer.Candidates {
		if c.Thread != nil && c.Weight >= leastMate && len(out) < likeliestMates {
			out = append(out, parts.Mate{Thread: *c.Thread, Weight: c.Weight})
		}
	}
	return out
}

// meet judges how the two go together as they are.
func (s *Standing) meet() error {
	stays, _, known := s.Sides[0].top()
	goes, _, both := s.Sides[1].top()
	if !known || !both {
		return nil
	}
	r, err := fit.Judge(*goes.Thread, *stays.Thread, fit.Options{})
	s.Fit = &r
	return err
}

// shortlist ranks the last parts list of the job by all that both threads could be.
func (s *Standing) shortlist(d *job.Document) error {
	if len(d.Parts) == 0 {
		return nil
	}
	last := d.Parts[len(d.Parts)-1]
	s.List = last.File
	text, err := s.around.Read(s.List)
	if errors.Is(err, fs.ErrNotExist) {
		s.spoiledList(errors.New("it is not there any more"))
		return nil
	}
	if err != nil {
		return err
	}
	goes, stays := s.Sides[1].mates(), s.Sides[0].mates()
	if len(goes) == 0 || len(stays) == 0 {
		return nil
	}
	options, err := parts.ReadOptions(last.Columns, last.Unit)
	if err != nil {
		return err
	}
	options.Tables = s.around.Tables
	list, err := parts.Read(string(text), options)
	if err != nil {
		s.spoiledList(err)
		return nil
	}
	s.Parts, err = list.Shortlist(goes, stays)
	return err
}

// findRing reads the file of the ring that was made for the job, the last one that is still there.
func (s *Standing) findRing(d *job.Document) (made, error) {
	var names []string
	for _, f := range d.Files {
		if strings.HasSuffix(f.Name, ".json") {
			names = append([]string{f.Name}, names...)
		}
	}
	for _, name := range append(names, trial.RingFile(d.Ring, s.around.Tables)) {
		text, err := s.around.Read(name)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return made{}, err
		}
		m := made{name: name}
		if json.Unmarshal(text, &m) == nil && m.Inner.Designation != "" && m.Outer.Designation != "" {
			return m, nil
		}
	}
	return made{}, nil
}
