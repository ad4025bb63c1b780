package mesh

// Reading ASCII STL word by word.

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"unicode/utf8"
)

// maxWord is the longest run of letters without white space that is taken for a word, in bytes.
const maxWord = 4 << 10

// readASCII reads the solids of an ASCII file one after the other into one mesh.
//
// The library's ASCII reader is not used: it drops every solid after the first, refuses a nameless "solid" line and
// capitals, takes 4 KiB of garbage a line, and collects a message for every fault. The tests hold this reader
// against it on files that both can read.
func readASCII(r io.Reader, into *stlWelder) error {
	s := &asciiReader{r: r, buffer: make([]byte, 0, int(min(into.size+1, stlReadBuffer))), line: 1}
	if err := s.fill(); err != nil {
		return s.fault(err, "solid")
	}
	s.rest = bytes.TrimPrefix(s.rest, []byte("\ufeff"))
	for first := true; ; first = false {
		word, err := s.next()
		if errors.Is(err, io.EOF) && !first {
			return nil
		}
		if err != nil {
			return s.fault(err, "solid")
		}
		if !bytes.EqualFold(word, []byte("solid")) {
			return s.fault(nil, "solid")
		}
		if err := s.solid(into); err != nil {
			return err
		}
	}
}

// asciiReader takes words off a text and counts its lines.
type asciiReader struct {
	r      io.Reader
	buffer []byte
	rest   []byte // the part of buffer that is still to be read
	err    error  // what the last Read gave beside its bytes
	line   int
	word   []byte // the last word, good until the next fill
	at     int    // the line on which it stands
	last   bool   // whether the text ends with it
}

// errLongWord says that a text runs on without white space.
var errLongWord = fmt.Errorf("more than %d letters without a space", maxWord)

// fill moves what is left to the front of the buffer and reads on behind it.
func (s *asciiReader) fill() error {
	n := copy(s.buffer[:cap(s.buffer)], s.rest)
	for tries := 0; s.err == nil && tries < 100; tries++ {
		var more int
		more, s.err = s.r.Read(s.buffer[n:cap(s.buffer)])
		if more > 0 {
			s.buffer = s.buffer[:n+more]
			s.rest = s.buffer
			return nil
		}
	}
	s.buffer = s.buffer[:n]
	s.rest = s.buffer
	if s.err == nil {
		return io.ErrNoProgress
	}
	return s.err
}

// space says what stands between words.
func space(b byte) bool { return b == ' ' || b >= '\t' && b <= '\r' }

// next reads a word; it stays good until the next call. At the end of the text the error is io.EOF.
func (s *asciiReader) next() ([]byte, error) {
	s.word = nil
	for {
		i := 0
		for ; i < len(s.rest) && space(s.rest[i]); i++ {
			if s.rest[i] == '\n' {
				s.line++
			}
		}
		s.rest = s.rest[i:]
		if len(s.rest) > 0 {
			break
		}
		s.at = s.line
		if err := s.fill(); err != nil {
			return nil, err
		}
	}
	s.at = s.line
	for i := 0; ; i++ {
		if i == len(s.rest) {
			err := s.fill()
			if err != nil && !errors.Is(err, io.EOF) {
				return nil, err
			}
			s.last = err != nil
		}
		if i == len(s.rest) || space(s.rest[i]) {
			s.word, s.rest = s.rest[:i], s.rest[i:]
			return s.word, nil
		}
		if i == maxWord {
			return nil, errLongWord
		}
	}
}

// endLine skips the rest of a line, a solid's name, whatever its length.
func (s *asciiReader) endLine() error {
	for {
		name, rest, found := bytes.Cut(s.rest, []byte("\n"))
		if bytes.IndexByte(name, 0) >= 0 {
			return fmt.Errorf("%w: line %d has zero bytes in it, so it is no text", ErrNotSTL, s.line)
		}
		s.rest = rest
		if found {
			s.line++
			return nil
		}
		if err := s.fill(); err != nil {
			return s.fault(err, "facet")
		}
	}
}

// solid reads from a solid's name to its endsolid.
func (s *asciiReader) solid(into *stlWelder) error {
	if err := s.endLine(); err != nil {
		return err
	}
	for {
		word, err := s.next()
		switch {
		case err != nil:
			return s.fault(err, "facet or endsolid")
		case bytes.EqualFold(word, []byte("endsolid")):
			// The name may follow; a file may end without a new line.
			if err := s.endLine(); err != nil && !errors.Is(err, ErrTruncated) {
				return err
			}
			return nil
		case !bytes.EqualFold(word, []byte("facet")):
			return s.fault(nil, "facet or endsolid")
		}
		if err := s.facet(into); err != nil {
			return err
		}
		if into.err != nil {
			return into.err
		}
	}
}

// facet reads what follows the word facet.
func (s *asciiReader) facet(into *stlWelder) error {
	var corners [3]Vec
	if err := s.expect("normal"); err != nil {
		return err
	}
	for range 3 { // not kept, and some writers put nan there
		if _, err := s.next(); err != nil {
			return s.fault(err, "a number")
		}
	}
	if err := s.expect("outer", "loop"); err != nil {
		return err
	}
	for i := range corners {
		if err := s.expect("vertex"); err != nil {
			return err
		}
		for k := range corners[i] {
			word, err := s.next()
			if err != nil {
				return s.fault(err, "a number")
			}
			x, err := strconv.ParseFloat(string(word), 32)
			if err != nil && !errors.Is(err, strconv.ErrRange) {
				return s.fault(nil, "a number")
			}
			corners[i][k] = float32(x) // out of range is infinite, which add refuses by its name
		}
	}
	if err := s.expect("endloop", "endfacet"); err != nil {
		return err
	}
	into.add(corners[0], corners[1], corners[2])
	return nil
}

// expect reads the words given.
func (s *asciiReader) expect(words ...string) error {
	for _, want := range words {
		word, err := s.next()
		if err != nil {
			return s.fault(err, want)
		}
		if !bytes.EqualFold(word, []byte(want)) {
			return s.fault(nil, want)
		}
	}
	return nil
}

// fault tells the line, what was read and what would be right. err is what reading gave, or nil when the word itself
// is wrong.
func (s *asciiReader) fault(err error, want string) error {
	switch {
	case errors.Is(err, io.EOF):
		return fmt.Errorf("%w: line %d ends the text where %s should stand", ErrTruncated, s.line, want)
	case errors.Is(err, errLongWord):
		return fmt.Errorf("%w: line %d has %w where %s should stand", ErrNotSTL, s.at, err, want)
	case err != nil:
		return err
	case s.last:
		return fmt.Errorf("%w: line %d ends the text with %q where %s should stand", ErrTruncated, s.at, shorten(s.word), want)
	default:
		return fmt.Errorf("%w: line %d has %q where %s should stand", ErrNotSTL, s.at, shorten(s.word), want)
	}
}

// shorten cuts a word for a message.
func shorten(word []byte) []byte {
	const most = 40
	if len(word) <= most {
		return word
	}
	cut := most
	for cut > 0 && !utf8.RuneStart(word[cut]) {
		cut--
	}
	return append(word[:cut:cut], "..."...)
}
