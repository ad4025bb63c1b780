package trial

// This file writes a try in one line, for places that hold no tables (an address), and reads it again.

import (
	"fmt"
	"strconv"
	"strings"

	"tryring/internal/job"
	"tryring/internal/thread"
)

// The cells of a line, and what stands between them; none of a try's words holds the mark.
const (
	lineCells = 10
	lineMark  = "|"
	// lineEnd stands between lines, and never in one.
	lineEnd = ";"
)

// Line writes t in one line, such as "outer|1 7/8-14 UNS|47.325|46.1|45.2|16.5|filament-0.4|0.1 0.05|goes|May 4". ParseLine
// reads it.
func Line(t job.Try) string {
	n := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	date := strings.NewReplacer(lineMark, "/", lineEnd, "/").Replace(t.When)
	return strings.Join([]string{t.Side, t.Thread, n(t.MajorMM), n(t.PitchDMM), n(t.MinorMM), n(t.EngagedMM), t.Printer, n(t.OffMM) + " " + n(t.UMM), t.Result, date}, lineMark)
}

// ParseLine reads what Line wrote. It is strict: a line may have come from anywhere.
func ParseLine(text string, tables *thread.Tables) (job.Try, error) {
	cells := strings.Split(text, lineMark)
	if len(cells) != lineCells {
		return job.Try{}, fmt.Errorf("%q is no try: it has %d parts and not %d", text, len(cells), lineCells)
	}
	if strings.Contains(text, lineEnd) {
		return job.Try{}, fmt.Errorf("%q is no try: it holds %q", text, lineEnd)
	}
	t := job.Try{Side: cells[0], Thread: cells[1], Printer: cells[6], Result: cells[8], When: cells[9]}
	off, u, _ := strings.Cut(cells[7], " ")
	for _, cell := range []struct {
		text string
		to   *float64
	}{{cells[2], &t.MajorMM}, {cells[3], &t.PitchDMM}, {cells[4], &t.MinorMM}, {cells[5], &t.EngagedMM}, {off, &t.OffMM}, {u, &t.UMM}} {
		x, err := strconv.ParseFloat(cell.text, 64)
		if err != nil {
			return job.Try{}, fmt.Errorf("%q is no try: %q is no number", text, cell.text)
		}
		*cell.to = x
	}
	return t, Check(t, tables)
}

// Lines writes tries one after another, and ParseLines reads them.
func Lines(tries []job.Try) string {
	var lines []string
	for _, t := range tries {
		lines = append(lines, Line(t))
	}
	return strings.Join(lines, lineEnd)
}

// ParseLines reads what Lines wrote; nothing holds no tries.
func ParseLines(text string, tables *thread.Tables) ([]job.Try, error) {
	var out []job.Try
	for line := range strings.SplitSeq(text, lineEnd) {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		t, err := ParseLine(line, tables)
		if err != nil {
			return nil, err
		}
		out = append(out, t)
	}
	return out, nil
}

// Check reports what cannot be in a try that was read from a file or an address.
func Check(t job.Try, tables *thread.Tables) error {
	if err := checkTry(t); err != nil {
		return err
	}
	if _, err := tables.Parse(t.Thread); err != nil {
		return fmt.Errorf("thread of a try: %w", err)
	}
	return nil
}
