package toolpath

// This file reads G-code line by line, in bounded memory, and takes lines apart into a command and its numbers.

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"

	"tryring/internal/datafile"
	"tryring/internal/fault"
)

// Causes of refusals, beside those of datafile.
var (
	// ErrNotGCode says that a file is something else, or lays nothing.
	ErrNotGCode = errors.New("not the G-code of a print")
	// ErrBroken says that a line cannot be run.
	ErrBroken = errors.New("line of G-code cannot be run")
	// ErrNoRing says that the paths are not the layers of one ring that stands upright.
	ErrNoRing = errors.New("no ring stands upright in it")
)

const (
	// longestLine is the most bytes of a line that is no comment.
	longestLine = 4 << 10
	// mostShown is the most bytes of a wrong line that are shown.
	mostShown = 60
)

// Load reads the G-code file at path. Errors: those of datafile.Open, and as faults with their cause ErrNotGCode, ErrBroken,
// ErrNoRing and datafile.ErrTooLarge.
func Load(ctx context.Context, path string) (*Print, error) {
	f, err := datafile.Open(ctx, path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	p, err := Read(f)
	if wrong, is := errors.AsType[fault.Fault](err); is && wrong.Read == "" {
		wrong.Read = path
		err = wrong
	}
	return p, err
}

// Read is Load for a stream.
func Read(r io.Reader) (*Print, error) {
	m := newMachine()
	in := bufio.NewReaderSize(r, longestLine)
	for number := 1; ; number++ {
		line, err := in.ReadSlice('\n')
		line = bytes.TrimLeft(line, " \t\ufeff")
		tooLong := errors.Is(err, bufio.ErrBufferFull)
		switch comment := len(line) > 0 && line[0] == ';'; {
		case err != nil && !tooLong && !errors.Is(err, io.EOF):
			return nil, err
		case bytes.IndexByte(line, 0) >= 0:
			return nil, refuse(ErrNotGCode, "", "this is no text; let the slicer write G-code as plain text, not binary")
		case comment:
			m.remark(line)
			for errors.Is(err, bufio.ErrBufferFull) {
				_, err = in.ReadSlice('\n')
			}
		case tooLong:
			return nil, refuse(ErrNotGCode, shown(line), "line %d has more than %d letters, and lines of G-code are short", number, longestLine)
		default:
			if want, cause := m.run(line); cause != nil {
				return nil, refuse(cause, shown(line), "line %d: %s", number, want)
			}
		}
		switch {
		case errors.Is(err, io.EOF):
			return m.print()
		case err != nil:
			return nil, err
		}
	}
}

func refuse(cause error, read, want string, args ...any) error {
	return fault.Fault{Read: read, Want: fmt.Sprintf(want, args...), Cause: cause}
}

func shown(line []byte) string {
	line = bytes.TrimSpace(line)
	return string(bytes.ToValidUTF8(line[:min(len(line), mostShown)], []byte("?")))
}

var toldFilament = regexp.MustCompile(`(?i)filament.?diameter\D*(\d\.\d+)`)

// remark takes the filament's diameter from a comment that tells it.
func (m *machine) remark(text []byte) {
	if len(text) > longestLine/4 || !bytes.Contains(text, []byte("iameter")) {
		return // the pattern takes its time
	}
	if found := toldFilament.FindSubmatch(text); found != nil {
		if d, err := strconv.ParseFloat(string(found[1]), 64); err == nil && d > 1 && d < 4 {
			m.filamentMM = d
		}
	}
}

// words are the letters of a line and their numbers.
type words struct {
	value ['Z' + 1]float64
	has   ['Z' + 1]bool
}

// lexer goes along a line.
type lexer struct {
	line []byte
	at   int
}

// next returns the next letter, a capital, 0 at the end of the line, at a comment or at a checksum.
func (l *lexer) next() byte {
	for ; l.at < len(l.line); l.at++ {
		switch c := l.line[l.at]; {
		case c == ' ' || c == '\t' || c == '\r' || c == '\n':
		case c == '(':
			end := bytes.IndexByte(l.line[l.at:], ')')
			if end < 0 {
				return 0
			}
			l.at += end
		case c == ';' || c == '*':
			return 0
		default:
			l.at++
			if c >= 'a' && c <= 'z' {
				c -= 'a' - 'A'
			}
			return c
		}
	}
	return 0
}

// number returns the number here, and whether there is one: digits with a sign and a point, no exponent.
func (l *lexer) number() (value float64, ok bool) {
	for l.at < len(l.line) && l.line[l.at] == ' ' {
		l.at++
	}
	from := l.at
	for l.at < len(l.line) && (l.line[l.at] >= '0' && l.line[l.at] <= '9' || bytes.IndexByte([]byte("+-."), l.line[l.at]) >= 0) {
		l.at++
	}
	value, err := strconv.ParseFloat(string(l.line[from:l.at]), 64)
	return value, err == nil
}

// command returns the command of a line, "G" and 92; 0 where it has none that concerns the way of the nozzle.
func (l *lexer) command() (letter byte, code float64) {
	letter = l.next()
	if letter == 'N' {
		if _, ok := l.number(); ok {
			letter = l.next()
		}
	}
	if letter != 'G' && letter != 'M' {
		return 0, 0
	}
	code, ok := l.number()
	if !ok {
		return 0, 0
	}
	return letter, code
}

// words returns the words up to the end of the line; bare says that letters may stand without a number.
func (l *lexer) words(bare bool) (w words, why string) {
	for c := l.next(); c != 0; c = l.next() {
		if c < 'A' || c > 'Z' {
			return w, fmt.Sprintf("a letter is wanted where %q stands", c)
		}
		v, ok := l.number()
		switch {
		case !ok && !bare:
			return w, fmt.Sprintf("a number is wanted after %c", c)
		case w.has[c]:
			return w, fmt.Sprintf("%c stands twice", c)
		case math.Abs(v) > farthestMM && c != 'F' && c != 'E':
			return w, fmt.Sprintf("%c%.6g is farther than any printer goes", c, v)
		}
		w.value[c], w.has[c] = v, true
	}
	return w, ""
}
