package thread

// This file takes apart the ways in which people write a thread.

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"tryring/internal/unit"
)

// MaxStarts is the largest number of starts that is taken.
const MaxStarts = 6

const (
	sizePattern   = `\d+[ -]\d+/\d+|\d+/\d+|\d+[.,]\d+|\d+|[.,]\d+`
	figurePattern = `\d+(?:[.,]\d+)?`
	numberPattern = `\d+[ -]\d+/\d+|\d+[.,]\d+|\d+`
	unitPattern   = `mm|inch(?:es)?|in|"`
)

// The words that may follow any thread, each taken off the end of the text.
var (
	handWords  = regexp.MustCompile(`(?i)[\s,-]+(LH|RH|left(?:[ -]?hand(?:ed)?)?|right(?:[ -]?hand(?:ed)?)?)$`)
	startWords = regexp.MustCompile(`(?i)[\s,-]+(\d+|single|double|triple|quadruple)[\s-]*starts?$`)
	angleWords = regexp.MustCompile(`(?i)[\s,]+(?:(` + figurePattern + `)\s*/\s*)?(` + figurePattern + `)\s*(?:deg(?:rees?)?|°)$`)
	// The words that only a free thread may have.
	profileWords = regexp.MustCompile(`(?i)[\s,]+(` + trapezoidal + `|` + roundProfile + `)$`)
	depthWords   = regexp.MustCompile(`(?i)[\s,]+(` + figurePattern + `)\s*mm\s*deep$`)
)

// The profiles of a free thread: half a pitch deep, with flat or with round crests and roots.
const (
	trapezoidal  = "trapezoidal"
	roundProfile = "round"
)

// The forms of a designation, tried in this order.
var (
	// "M45x1.5-6g", "M20", "M16xPh3P1.5", "M45x3(P1.5)", "M24 P1", "M20-1.5", "Tr 40x7", "W21.8x1/14"
	pitchForm = regexp.MustCompile(`(?i)^([A-Z]+)[\s-]*(` + figurePattern + `)(?:(?:\s*x\s*|\s*-\s*|[\s-]*pitch\s*|[\s-]*(P)\s*)(?:Ph\s*(` + figurePattern + `)\s*P\s*)?(` + figurePattern + `|1/\d+)(?:\s*mm)?(?:\s*\(\s*P\s*(` +
		figurePattern + `)\s*\))?)?(?:[\s-]+([A-Z\d]\S*))?$`)
	// "3/4x16 UNF", "5/16 x 18 UNC"
	countForm = regexp.MustCompile(`(?i)^(` + sizePattern + `)\s*(` + unitPattern + `)?\s*x\s*(` + numberPattern + `)(?:\s*tpi\b)?[\s-]*([A-Z]+)((?:[\s-].*)?)$`)
	// "44.4mm x 12tpi"
	freeForm = regexp.MustCompile(`(?i)^([\d.,#].*?)\s*x\s*(\S.*)$`)
	// "1 3/4-12 UN-2A", "1.75-12", "1/2 NPT"
	sizeForm = regexp.MustCompile(`(?i)^(#\s*|no\.?\s*)?(` + sizePattern + `)\s*(` + unitPattern + `)?(?:\s*-\s*(` + numberPattern + `)(?:\s*tpi\b)?)?(?:[\s-]*([A-Z].*|\d[A-Z].*))?$`)
	// "G 1 1/2 A", "NPT 1/2-14"
	wordForm = regexp.MustCompile(`(?i)^([A-Z]+)[\s-]*(` + sizePattern + `)\s*(` + unitPattern + `)?(?:\s*-\s*(` + numberPattern + `)(?:\s*tpi\b)?)?(?:[\s-]*([A-Z].*|\d[A-Z].*))?$`)
	// "UN-2A", "UN 2A", "2A", "NPT"
	tailForm  = regexp.MustCompile(`(?i)^([A-Z]+)?(?:[\s-]*(\d[A-Z]\w*))?$`)
	tailClass = regexp.MustCompile(`(?i)^([A-Z]+)[\s-]+([A-Z])$`)
)

// normalSeries is the normal spelling of a series word, or the word itself where no table has it.
func (ts *Tables) normalSeries(word string) string {
	if normal, known := ts.words[strings.ToLower(word)]; known {
		return normal
	}
	return word
}

// written is a Name with what only the notation needs to know of it.
type written struct {
	Name
	// free is set for "44.4mm x 12tpi".
	free bool
	// side is that of "male" or "female", "" when neither was written.
	side string
}

// readName takes a designation apart. Of the tables it knows the words for series alone.
func (ts *Tables) readName(text string) (written, error) {
	s := plainWords(text)
	n := written{Name: Name{Text: text, Starts: 1, Hand: Right}, side: writtenSide(text)}
	if s == "" {
		return n, fmt.Errorf(`empty thread; write one like "1 3/4-12 UN", "G 1 1/2", "M45x1.5" or "44.4mm x 12tpi"`)
	}
	s, err := n.takeWords(s)
	if err != nil {
		return n, err
	}
	if m := pitchForm.FindStringSubmatch(s); m != nil && ts.inPitches(m[1]) {
		n.Series = ts.normalSeries(m[1])
		return n, n.readPitch(m)
	}
	if m := countForm.FindStringSubmatch(s); m != nil && ts.words[strings.ToLower(m[4])] != "" && !ts.inPitches(m[4]) {
		if err := n.readSize(m[1], m[2], m[3]); err != nil {
			return n, err
		}
		return n, ts.readTail(&n, m[4]+m[5])
	}
	if m := freeForm.FindStringSubmatch(s); m != nil {
		n.free = true
		return n, n.readFree(m[1], m[2])
	}
	if m := sizeForm.FindStringSubmatch(s); m != nil {
		if err := errors.Join(ts.readTail(&n, m[5]), n.metricInFull()); err != nil {
			return n, err
		}
		if err := n.readSize(m[2], m[3], m[4]); err != nil {
			return n, err
		}
		if m[1] != "" {
			n.Size = "#" + n.Size
		}
		return n, nil
	}
	if m := wordForm.FindStringSubmatch(s); m != nil {
		n.Series, n.Class = ts.normalSeries(m[1]), m[5]
		if err := n.metricInFull(); err != nil {
			return n, err
		}
		return n, n.readSize(m[2], m[3], m[4])
	}
	return n, errors.New(`it is written in no form known here; write one like "1 3/4-12 UN", "G 1 1/2", "1/2-14 NPT", "M45x1.5" or "44.4mm x 12tpi"`)
}

// takeWords takes hand, starts and angle off the end of s, in any order, each at most once.
func (n *written) takeWords(s string) (string, error) {
	var hand, starts, angle bool
	for {
		if m := handWords.FindStringSubmatchIndex(s); m != nil && !hand {
			if word := s[m[2]:m[3]]; word[0] == 'l' || word[0] == 'L' {
				n.Hand = Left
			}
			s, hand = s[:m[0]], true
			continue
		}
		if m := startWords.FindStringSubmatchIndex(s); m != nil && !starts {
			word := strings.ToLower(s[m[2]:m[3]])
			count, known := map[string]int{"single": 1, "double": 2, "triple": 3, "quadruple": 4}[word]
			if !known {
				count, _ = strconv.Atoi(word)
			}
			if count < 1 || count > MaxStarts {
				return s, fmt.Errorf("%s starts; a thread here has 1 to %d", word, MaxStarts)
			}
			n.Starts = count
			s, starts = s[:m[0]], true
			continue
		}
		if m := angleWords.FindStringSubmatchIndex(s); m != nil && !angle {
			deg, err := unit.ParseNumber(s[m[4]:m[5]])
			if m[2] >= 0 && err == nil {
				n.FlanksDeg[1] = deg
				n.FlanksDeg[0], err = unit.ParseNumber(s[m[2]:m[3]])
				deg += n.FlanksDeg[0]
			}
			if err != nil {
				return s, fmt.Errorf("angle: %w", err)
			}
			n.AngleDeg = deg
			if !(deg >= MinAngleDeg && deg <= MaxAngleDeg) {
				return s, fmt.Errorf("the angle between the flanks is %v degrees; it must be %d to %d", deg, MinAngleDeg, MaxAngleDeg)
			}
			s, angle = s[:m[0]], true
			continue
		}
		if m := profileWords.FindStringSubmatchIndex(s); m != nil && n.Profile == "" {
			s, n.Profile = s[:m[0]], strings.ToLower(s[m[2]:m[3]])
			continue
		}
		if m := depthWords.FindStringSubmatchIndex(s); m != nil && n.Depth == 0 {
			deep, err := unit.ParseNumber(s[m[2]:m[3]])
			if n.Depth = unit.MM(rounded(deep)); err != nil || !(n.Depth > 0) {
				return s, fmt.Errorf("%s mm deep; the depth is above 0", s[m[2]:m[3]])
			}
			s = s[:m[0]]
			continue
		}
		return strings.TrimSpace(s), nil
	}
}

// inPitches says whether word is a series whose threads are written with their pitch.
func (ts *Tables) inPitches(word string) bool { return ts.pitched[ts.normalSeries(word)] }

// readPitch reads a size, and the pitch or the lead with the pitch.
func (n *written) readPitch(m []string) error {
	n.Class = m[7]
	var err error
	if n.Size, err = normalSize(m[2]); err != nil {
		return fmt.Errorf("size: %w", err)
	}
	if n.Series == seriesMetric {
		n.SizeUnit = unit.Millimetre
	}
	pitch, lead := m[5], m[4]
	if m[6] != "" { // "45x3(P1.5)"
		pitch, lead = m[6], m[5]
	}
	if count, ok := strings.CutPrefix(pitch, "1/"); ok {
		n.PerInch, err = unit.ParseNumber(count)
		return err
	}
	if pitch == "" {
		return nil
	}
	p, err := unit.ParseNumber(pitch)
	if err != nil {
		return fmt.Errorf("pitch: %w", err)
	}
	if !(p > 0) {
		return errors.New("the pitch must be above 0")
	}
	n.Pitch = unit.MM(p)
	if lead == "" {
		return nil
	}
	l, err := unit.ParseNumber(lead)
	if err != nil {
		return fmt.Errorf("lead: %w", err)
	}
	for starts := 1; starts <= MaxStarts; starts++ {
		if nearly(l, p*float64(starts)) {
			if n.Starts != 1 && n.Starts != starts {
				return fmt.Errorf("lead and pitch say %d starts, the words say %d", starts, n.Starts)
			}
			n.Starts = starts
			return nil
		}
	}
	return fmt.Errorf("the lead must be 1 to %d times the pitch", MaxStarts)
}

func (n *written) readSize(size, unitWord, perInch string) error {
	whole, err := normalSize(size)
	if err != nil {
		return fmt.Errorf("size: %w", err)
	}
	n.Size = whole
	switch {
	case unitWord == "":
	case strings.EqualFold(unitWord, "mm"):
		n.SizeUnit = unit.Millimetre
	default:
		n.SizeUnit = unit.Inch
	}
	if perInch == "" {
		return nil
	}
	if n.PerInch, err = unit.ParseNumber(perInch); err != nil {
		return fmt.Errorf("threads per inch: %w", err)
	}
	if !(n.PerInch > 0 && n.PerInch <= maxPerInch) {
		return fmt.Errorf("%s threads per inch; it must be above 0 and at most %d", perInch, maxPerInch)
	}
	return nil
}

// maxPerInch bounds the threads per inch that are read.
const maxPerInch = 200

// rulerFraction is a fraction of an inch as rulers have it.
var rulerFraction = regexp.MustCompile(`(?:^|[ -])\d*[13579]/(?:2|4|8|16|32|64)$`)

// normalSize writes "1-3/4" as "1 3/4", and "1,75" as "1.75". A fraction that no ruler has is a slip and refused:
// "2/4" may have been 2 1/4, "11/4" 1 1/4, and "24/1" a pitch.
func normalSize(text string) (string, error) {
	x, err := unit.ParseNumber(text)
	if err != nil {
		return "", err
	}
	if !strings.Contains(text, "/") {
		return unit.Short(x), nil
	}
	if !rulerFraction.MatchString(text) || x >= 1 && !strings.ContainsAny(text, " -") {
		return "", fmt.Errorf("%q is no size in inches; write a fraction like 1/2 or 1 3/4", text)
	}
	if fraction, exact := unit.Inches(x).Fraction(); exact {
		return strings.TrimSuffix(fraction, " in"), nil
	}
	return unit.Short(x), nil
}

// readTail reads what follows the threads per inch: series, class or both.
func (ts *Tables) readTail(n *written, tail string) error {
	tail = strings.TrimSpace(tail)
	if m := tailForm.FindStringSubmatch(tail); m != nil {
		n.Series, n.Class = ts.normalSeries(m[1]), m[2]
		return nil
	}
	if m := tailClass.FindStringSubmatch(tail); m != nil {
		n.Series, n.Class = ts.normalSeries(m[1]), m[2]
		return nil
	}
	return fmt.Errorf(`%q is neither a series like "UN" or "NPT" nor one with a class like "UN-2A"`, tail)
}
