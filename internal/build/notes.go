package build

// This file keeps readings in the job file: what was read, with which instrument and when, so that nothing is typed twice.

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"tryring/internal/datafile"
	"tryring/internal/reading"
	"tryring/internal/whole"
)

// The two sides of a job. What was read off the part that goes in decides the ring's inner thread, what was read off the
// fitting that stays its outer one.
const (
	Goes  = "goes"
	Stays = "stays"
)

// ErrSide is returned for a side that is neither of the two.
var ErrSide = errors.New("it is goes (the part that goes into the ring) or stays (the fitting that the ring goes into)")

// threadKey is the key of the job's thread that belongs to a side.
func threadKey(side string) (string, error) {
	switch side {
	case Goes:
		return "inner", nil
	case Stays:
		return "outer", nil
	}
	return "", fmt.Errorf("side %q: %w", side, ErrSide)
}

// ReadingsOf returns what was read of one side, in the order of the file.
func (r Ring) ReadingsOf(side string) ([]reading.Batch, error) {
	if _, err := threadKey(side); err != nil {
		return nil, err
	}
	if side == Goes {
		return r.Goes, nil
	}
	return r.Stays, nil
}

// told says what was read, a sentence for each time, the part that goes in first.
func (r Ring) told() []string {
	var out []string
	for _, side := range []struct {
		name    string
		records []reading.Batch
	}{{"The part that goes in", r.Goes}, {"The fitting that stays", r.Stays}} {
		for _, rec := range side.records {
			out = append(out, side.name+": "+rec.String()+".")
		}
	}
	return out
}

// ReadingsIn returns what the job file at path holds of a side; nothing when there is no such file yet.
func ReadingsIn(path, side string) ([]reading.Batch, error) {
	r, err := LoadRing(path)
	if errors.Is(err, fs.ErrNotExist) {
		err = nil
	}
	if err != nil {
		return nil, err
	}
	return r.ReadingsOf(side)
}

// Note adds what was read of a side to the job file at path, which is made when it is missing. All that stands in the file
// stays, comments included.
func Note(path, side string, read reading.Batch) error {
	if _, err := threadKey(side); err != nil {
		return err
	}
	table, err := toml.Marshal(map[string][]reading.Batch{side: {read}})
	if err != nil {
		return err
	}
	return Rewrite(path, func(text []byte, _ datafile.Lines) []byte {
		if len(text) > 0 {
			text = append(bytes.TrimRight(text, "\n"), "\n\n"...)
		}
		return append(text, table...)
	})
}

// Take writes the thread that was decided on for a side into the job file, so that `ring` and the other commands use it.
func Take(path, side, designation string) error {
	key, err := threadKey(side)
	if err != nil {
		return err
	}
	return set(path, key, designation)
}

// KeepFiles writes the name and the folder that were asked for into the job file at path, so that whoever tries the ring
// finds its files; "" leaves what stands there. A job that keeps no readings is somebody's own file, and stays as it is.
func KeepFiles(path, name, out string) error {
	r, err := LoadRing(path)
	if err != nil || len(r.Goes)+len(r.Stays) == 0 {
		return err
	}
	if name != "" && name != r.Name {
		if err := set(path, "name", name); err != nil {
			return err
		}
	}
	if out != "" && out != r.Out {
		return set(path, "out", out)
	}
	return nil
}

// set writes the value of a top-level key into the job file at path.
func set(path, key, value string) error {
	line := key + " = " + strconv.Quote(value)
	return Rewrite(path, func(text []byte, lines datafile.Lines) []byte {
		all := strings.Split(string(text), "\n")
		if at, ok := lines[key]; ok {
			all[at-1] = line
		} else {
			if strings.HasPrefix(all[0], "[") {
				line += "\n"
			}
			all = append([]string{line}, all...) // before the first table, where top-level keys belong
		}
		return []byte(strings.Join(all, "\n"))
	})
}

// Rewrite replaces the file at path by what change makes of it, whole or not at all. A result that would not read back as
// a job is refused, so that no edit can spoil a file.
func Rewrite(path string, change func(text []byte, lines datafile.Lines) []byte) error {
	text, err := os.ReadFile(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("job file: %w", err)
	}
	var r Ring
	lines, err := datafile.Decode(path, text, &r)
	if err != nil {
		return err
	}
	changed := change(text, lines)
	if _, err := ParseRing(path, changed); err != nil {
		return fmt.Errorf("job file: the change would spoil it: %w", err)
	}
	return whole.Write(path, true, func(w io.Writer) error {
		_, err := w.Write(changed)
		return err
	})
}
