package printer

// This file keeps what was tried on a printer: a history beside its profile, written whole or not at all. The profile
// itself is never rewritten; Load works its figures out from the history each time.

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"tryring/internal/datafile"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// historyEnding is what the history of the printer NAME is called behind NAME.
const historyEnding = ".trials.toml"

// History is all that was tried on one printer, first to last.
type History struct {
	// Printer is the name of the profile.
	Printer string  `toml:"printer"`
	Trials  []Trial `toml:"trials"`
	// End closes the file: one that was cut short does not have it.
	End struct {
		Trials int `toml:"trials"`
	} `toml:"end"`

	path string
	// read is the file as it was read, nil for none.
	read []byte
}

// The errors of histories.
var (
	// ErrCutShort says that a history ends in the middle.
	ErrCutShort = errors.New("the history of trials is cut short")
	// ErrChanged says that somebody else wrote the history meanwhile.
	ErrChanged = errors.New("the history of trials changed while this was worked out; run it again")
	// ErrNoTrials says that there is nothing to take back.
	ErrNoTrials = errors.New("no trials are kept of this printer")
)

// OpenHistory reads the history of a printer in the folder dir; one that does not exist yet is empty.
func OpenHistory(dir, name string) (*History, error) {
	path := filepath.Join(dir, name+historyEnding)
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return &History{Printer: name, path: path}, nil
	}
	if err != nil {
		return nil, fmt.Errorf("history of trials: %w", err)
	}
	h, err := parseHistory(path, text)
	if err != nil {
		return nil, err
	}
	h.path, h.read = path, text
	return h, nil
}

// parseHistory reads text, the content of the file called name. All faults are reported at once.
func parseHistory(name string, text []byte) (*History, error) {
	h := &History{}
	lines, err := datafile.Decode(name, text, h)
	if err != nil && !bytes.Contains(text, []byte("\n[end]")) {
		return nil, cutShort(name, err)
	}
	if err != nil {
		return nil, err
	}
	if lines["end.trials"] == 0 || h.End.Trials != len(h.Trials) {
		return nil, cutShort(name, fmt.Errorf("it holds %d trials and does not end with that number under [end]", len(h.Trials)))
	}
	var faults []error
	if printer := strings.TrimSuffix(filepath.Base(name), historyEnding); h.Printer != printer {
		faults = append(faults, fmt.Errorf("%s:%d: it is the history of printer %q in a file of another name", name, lines["printer"], h.Printer))
	}
	for i, t := range h.Trials {
		if err := t.Validate(); err != nil {
			faults = append(faults, fmt.Errorf("%s: trial %d: %w", name, i+1, err))
		}
	}
	return h, errors.Join(faults...)
}

func cutShort(name string, why error) error {
	return fmt.Errorf("%s: %w: %w. Nothing was changed. Put a whole copy in its place, or move the file away to begin anew; the printer's profile is untouched", name, ErrCutShort, why)
}

// The ranges of what a trial may say, mm: wide ones, that catch a wrong unit.
const (
	mostClearanceMM = 4.0
	mostRoomMM      = 0.8
	mostDiameterMM  = 300.0
	mostPitchMM     = 30.0
)

// Validate reports all that is wrong with t at once.
func (t Trial) Validate() error {
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	within := func(what string, x, low, high float64) {
		if !(x >= low && x <= high) { // NaN is outside every range
			fault("%s is %v mm; it lies between %v and %v", what, x, low, high)
		}
	}
	side := func(s Side, sides ...Side) {
		if !slices.Contains(sides, s) {
			fault("side is %q; it is one of %q", s, sides)
		}
	}
	if len(t.Rungs)+len(t.Readings) == 0 {
		fault("nothing was tried: it has neither rungs nor readings")
	}
	parts := map[string]bool{}
	for _, p := range t.Parts {
		side(p.Side, Inside, Outside, Pair)
		within("the part's room", p.LeastMM, -mostRoomMM, mostRoomMM)
		within("the part's room", p.MostMM, p.LeastMM, mostRoomMM)
		within("the part's uncertainty", p.UMM, 0, mostRoomMM/4)
		parts[string(p.Side)+p.Name] = true
	}
	for _, r := range t.Rungs {
		side(r.Side, Inside, Outside, Pair)
		within("rung "+r.Rung+": the modelled clearance", r.ModelledMM, -mostClearanceMM, mostClearanceMM)
		within("rung "+r.Rung+": the pitch", r.PitchMM, 0, mostPitchMM)
		if _, err := ParseOutcome(string(r.Outcome)); err != nil {
			fault("rung %s: %w", r.Rung, err)
		}
		if !parts[string(r.Side)+r.Part] {
			fault("rung %s: its part %q is not described", r.Rung, r.Part)
		}
	}
	for _, r := range t.Readings {
		side(r.Side, Inside, Outside)
		within("the modelled diameter", r.ModelledMM, 0.5, mostDiameterMM)
		within("the measured diameter", r.MeasuredMM, r.ModelledMM+gridLow, r.ModelledMM+gridHigh)
		within("the instrument's uncertainty", r.UMM, 0, 1)
	}
	return errors.Join(faults...)
}

// Append keeps one more trial. The file is replaced in one step, or left as it was.
func (h *History) Append(t Trial) error {
	if err := t.Validate(); err != nil {
		return err
	}
	return h.write(append(append([]Trial{}, h.Trials...), t))
}

// Undo takes the last trial back and returns it.
func (h *History) Undo() (Trial, error) {
	n := len(h.Trials)
	if n == 0 {
		return Trial{}, fmt.Errorf("%s: %w", h.Printer, ErrNoTrials)
	}
	last := h.Trials[n-1]
	return last, h.write(h.Trials[:n-1])
}

// Path is the file of the history.
func (h *History) Path() string { return h.path }

// write puts trials in place of those in the file, which must be as it was read.
func (h *History) write(trials []Trial) error {
	next := *h
	next.Trials, next.End.Trials = trials, len(trials)
	body, err := toml.Marshal(next)
	if err != nil {
		return err
	}
	text := append([]byte("# What printer "+h.Printer+" did, trial by trial. `tryring trial --undo` takes the last one back.\n"), body...)
	if len(text) > datafile.MaxBytes {
		return fmt.Errorf("%s: %d trials need %d bytes, more than the %d that are read back", h.path, len(trials), len(text), datafile.MaxBytes)
	}
	if _, err := parseHistory(h.path, text); err != nil {
		return fmt.Errorf("the history would not read back: %w", err)
	}
	if err := os.MkdirAll(filepath.Dir(h.path), 0o777); err != nil {
		return fmt.Errorf("printers folder: %w", err)
	}
	if h.read != nil {
		now, err := os.ReadFile(h.path)
		if err != nil || !bytes.Equal(now, h.read) {
			return errors.Join(fmt.Errorf("%s: %w", h.path, ErrChanged), err)
		}
	}
	// Without a file before, force is off: one that has appeared meanwhile is not replaced.
	if err := whole.Write(h.path, h.read != nil, func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
		return err
	}
	h.Trials, h.End, h.read = trials, next.End, text
	return nil
}

// After returns p with the figures that trials have taught. A side that no trial touched stays as it is. The uncertainty
// holds the scatter from print to print as well, since the next print is one more.
func (p Profile) After(trials []Trial) Profile {
	sources := map[string]string{}
	for key, s := range p.Sources {
		sources[key] = s
	}
	for _, s := range []Side{Inside, Outside} {
		n := 0
		for _, t := range trials {
			if t.touches(s) {
				n++
			}
		}
		if n == 0 {
			continue
		}
		b := p.Learn(s, trials)
		value, u := roundedMM(b.Mean()), max(roundedMM(Combine(b.SD(), Scatter)), leastU)
		from := fmt.Sprintf("learned from %d trial", n)
		if n > 1 {
			from += "s"
		}
		if s == Inside {
			p.InsideTakes, p.InsideU = value, u
			sources["inside_takes_mm"], sources["inside_u_mm"] = from, from
		} else {
			p.OutsideAdds, p.OutsideU = value, u
			sources["outside_adds_mm"], sources["outside_u_mm"] = from, from
		}
	}
	p.Sources = sources
	return p
}

// leastU is the least uncertainty that a profile may state.
const leastU = 0.001 * unit.Millimetre

// roundedMM rounds to a thousandth of a millimetre, which is more than a printer knows of itself.
func roundedMM(l unit.Length) unit.Length { return unit.MM(math.Round(l.MM()*1000)/1000 + 0) }

// learn applies the histories in the folder dir to the profiles of list. Faults of all are reported at once.
func (ps Profiles) learn(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	var faults []error
	for _, e := range entries {
		name, is := strings.CutSuffix(e.Name(), historyEnding)
		if !is || e.IsDir() {
			continue
		}
		h, err := OpenHistory(dir, name)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		known := false
		for i := range ps {
			if ps[i].Name == name {
				ps[i], known = ps[i].After(h.Trials), true
			}
		}
		if !known {
			faults = append(faults, fmt.Errorf("%s: there is no printer profile %q that these trials belong to", h.path, name))
		}
	}
	return errors.Join(faults...)
}
