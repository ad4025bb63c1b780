package printer

// This file keeps what was tried on a printer: a journal beside its profile, one entry a line, each with a number by which it
// can be taken back. Nothing in it is ever changed: taking back is one more line. The profile itself is never rewritten; Load
// works its figures out from the journal each time.

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"tryring/internal/whole"
)

const (
	// journalEnding is what the journal of the printer NAME is called behind NAME.
	journalEnding = ".trials.jsonl"
	// mostLine is the most bytes of one entry: those of a thousand rungs.
	mostLine = 256 << 10
)

// Entry is one trial as a journal keeps it.
type Entry struct {
	// ID is the entry's number, from 1.
	ID int `json:"id,omitempty"`
	Trial
	// Dropped is set where a later line takes the entry back.
	Dropped bool `json:"-"`
}

// line is one line of a journal: an entry, or the number of one that is taken back.
type line struct {
	Entry
	Drop int `json:"drop,omitempty"`
}

// Journal is all that was tried on one printer.
type Journal struct {
	// Path is the file of the journal.
	Path string
	// Entries are those that hold, first to last, with those that were taken back.
	Entries []Entry
	// Bad tells of each line that does not count, with its number in the file.
	Bad []error

	// text is the file as it was read, lines how many it has.
	text  []byte
	lines int
	// memory, if there is one, holds it in the file's place, by the name that Path is then.
	memory *Memory
}

// ErrNoEntry says that there is no such entry to take back.
var ErrNoEntry = errors.New("no such trial is kept of this printer")

// OpenJournal reads the journal of a printer in the folder dir, which may not exist yet.
func OpenJournal(dir, name string) (*Journal, error) {
	j := &Journal{Path: filepath.Join(dir, name+journalEnding)}
	return j, j.read()
}

// read takes in the file as it stands now.
func (j *Journal) read() error {
	if j.memory != nil {
		j.parse([]byte(j.memory.Journals[j.Path]))
		return nil
	}
	text, err := os.ReadFile(j.Path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("journal of trials: %w", err)
	}
	j.parse(text)
	return nil
}

// parse takes in text. A line that does not hold spoils only itself.
func (j *Journal) parse(text []byte) {
	j.text, j.Entries, j.Bad, j.lines = text, nil, nil, 0
	at := map[int]int{} // where the entry of a number stands in Entries
	for text := range bytes.Lines(text) {
		j.lines++
		if text = bytes.TrimSpace(text); len(text) == 0 {
			continue
		}
		l, err := parseLine(text)
		i, known := at[max(l.ID, l.Drop)]
		switch {
		case err != nil:
		case l.Drop > 0 && !known:
			err = fmt.Errorf("it takes back trial %d: %w", l.Drop, ErrNoEntry)
		case l.Drop > 0:
			j.Entries[i].Dropped = true
		case known:
			err = fmt.Errorf("trial %d stands further up already", l.ID)
		default:
			at[l.ID] = len(j.Entries)
			j.Entries = append(j.Entries, l.Entry)
		}
		if err != nil {
			j.Bad = append(j.Bad, fmt.Errorf("the line %s:%d does not count: %w", j.Path, j.lines, err))
		}
	}
}

// parseLine reads one line that is not empty.
func parseLine(text []byte) (line, error) {
	if len(text) > mostLine {
		return line{}, fmt.Errorf("%d bytes; an entry has at most %d", len(text), mostLine)
	}
	var l line
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&l); err != nil {
		return line{}, fmt.Errorf("it is no entry: %w", err)
	}
	switch {
	case d.InputOffset() < int64(len(text)):
		return line{}, errors.New("more stands behind the entry")
	case l.Drop > 0 && l.ID == 0:
		return l, nil
	case l.ID < 1 || l.Drop != 0:
		return line{}, errors.New("it has neither the number of an entry (id) nor of one taken back (drop)")
	}
	return l, l.Validate()
}

// Counting are the trials of entries that were not taken back.
func Counting(entries []Entry) []Trial {
	var out []Trial
	for _, e := range entries {
		if !e.Dropped {
			out = append(out, e.Trial)
		}
	}
	return out
}

// Lines is how many lines the journal has by now; UpTo takes one of that many back to what counted then.
func (j *Journal) Lines() int { return j.lines }

// UpTo are the trials that counted when the journal had so many lines.
func (j *Journal) UpTo(lines int) []Trial {
	var then Journal
	end := 0
	for line := range bytes.Lines(j.text) {
		if lines--; lines < 0 {
			break
		}
		end += len(line)
	}
	then.parse(j.text[:end])
	return Counting(then.Entries)
}

// Append keeps one more trial and returns its entry. The journal is locked and read anew first; agree is then given the entry
// to be, and its error leaves everything as it was.
func (j *Journal) Append(ctx context.Context, t Trial, agree func(Entry) error) (e Entry, err error) {
	if err := t.Validate(); err != nil {
		return Entry{}, err
	}
	return e, j.add(ctx, func() (line, error) {
		e = Entry{ID: j.lines + 1, Trial: t} // no entry has a higher number than its line, unless it was given one by hand
		for _, x := range j.Entries {
			e.ID = max(e.ID, x.ID+1)
		}
		return line{Entry: e}, agree(e)
	})
}

// Drop takes the entry with the given number back at a date, and returns it; ErrNoEntry when there is none that counts.
func (j *Journal) Drop(ctx context.Context, id int, date string) (e Entry, err error) {
	return e, j.add(ctx, func() (line, error) {
		for _, e = range j.Entries {
			if e.ID == id && !e.Dropped {
				return line{Entry{Trial: Trial{Date: date}}, id}, nil
			}
		}
		return line{}, fmt.Errorf("trial %d: %w", id, ErrNoEntry)
	})
}

// add writes the line that next makes of the journal as it stands under the lock.
func (j *Journal) add(ctx context.Context, next func() (line, error)) error {
	unlock, err := j.hold(ctx)
	if err != nil {
		return err
	}
	defer func() { _ = unlock() }()
	if err := j.read(); err != nil {
		return err
	}
	l, err := next()
	if err != nil {
		return err
	}
	more, err := json.Marshal(l)
	if err != nil {
		return err
	}
	text := bytes.Clone(j.text)
	if len(text) > 0 && !bytes.HasSuffix(text, []byte("\n")) {
		text = append(text, '\n')
	}
	text = append(append(text, more...), '\n')
	if j.memory != nil {
		j.memory.Journals[j.Path] = string(text)
		j.memory.Changed(j.Path, string(text))
	} else if err := whole.Rewrite(j.Path, func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
		return err
	}
	j.parse(text)
	return nil
}

// hold keeps others from the journal; one in memory has no others.
func (j *Journal) hold(ctx context.Context) (unlock func() error, err error) {
	if j.memory != nil {
		return func() error { return nil }, nil
	}
	if err := os.MkdirAll(filepath.Dir(j.Path), 0o777); err != nil {
		return nil, fmt.Errorf("printers folder: %w", err)
	}
	return whole.Lock(ctx, j.Path)
}
