package mesh

// Reading ASCII STL word by word.

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
)

// longestNumber is the most letters that are taken for a number.
const longestNumber = 4 << 10

// readASCII reads the solids of an ASCII file one after the other into one mesh.
//
// The library's ASCII reader is not used: it drops every solid after the first, refuses a nameless "solid" line and
// capitals, takes 4 KiB of garbage a line, and collects a message for every fault. The tests hold this reader
// against it on files that both can read.
func readASCII(r io.Reader, into *stlWelder) error {
	text, err := readText(r)
	if err != nil {
		return err
	}
	s := &asciiReader{rest: bytes.TrimPrefix(text, []byte("\ufeff")), line: 1}
	for first := true; ; first = false {
		switch word := s.next(); {
		case len(word) == 0 && !first:
			return nil
		case !bytes.EqualFold(word, []byte("solid")):
			return s.fault("solid")
		}
		if err := s.solid(into); err != nil {
			return err
		}
	}
}

// readText reads a text as far as it is one: a piece with a zero byte in it is the last.
func readText(r io.Reader) ([]byte, error) {
	const piece = 64 << 10
	var text bytes.Buffer
	for {
		n, err := io.CopyN(&text, r, piece)
		switch {
		case errors.Is(err, io.EOF) || bytes.IndexByte(text.Bytes()[text.Len()-int(n):], 0) >= 0:
			return text.Bytes(), nil
		case err != nil:
			return nil, err
		}
	}
}

// asciiReader takes words off a text and counts its lines.
type asciiReader struct {
	rest []byte // what is still to be read
	word []byte // the last word; empty at the end of the text
	line int    // the line on which it stands
}

// space says what stands between words.
func space(b byte) bool { return b == ' ' || b >= '\t' && b <= '\r' }

// next reads a word; at the end of the text it is empty.
func (s *asciiReader) next() []byte {
	from := 0
	for ; from < len(s.rest) && space(s.rest[from]); from++ {
		if s.rest[from] == '\n' {
			s.line++
		}
	}
	to := from
	for to < len(s.rest) && !space(s.rest[to]) {
		to++
	}
	s.word, s.rest = s.rest[from:to], s.rest[to:]
	return s.word
}

// endLine skips the rest of a line, a solid's name.
func (s *asciiReader) endLine() error {
	name, rest, found := bytes.Cut(s.rest, []byte("\n"))
	if bytes.IndexByte(name, 0) >= 0 {
		return fmt.Errorf("%w: line %d has zero bytes in it, so it is no text", ErrNotSTL, s.line)
	}
	s.rest = rest
	if found {
		s.line++
	}
	return nil
}

// solid reads from a solid's name to its endsolid, behind which the name may follow.
func (s *asciiReader) solid(into *stlWelder) error {
	if err := s.endLine(); err != nil {
		return err
	}
	for into.err == nil {
		switch word := s.next(); {
		case bytes.EqualFold(word, []byte("endsolid")):
			return s.endLine()
		case !bytes.EqualFold(word, []byte("facet")):
			return s.fault("facet or endsolid")
		}
		if err := s.facet(into); err != nil {
			return err
		}
	}
	return into.err
}

// facet reads what follows the word facet.
func (s *asciiReader) facet(into *stlWelder) error {
	var corners [3]Vec
	if err := s.expect("normal"); err != nil {
		return err
	}
	for range 3 { // not kept, and some writers put nan there
		if len(s.next()) == 0 {
			return s.fault("a number")
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
			word := s.next()
			x, err := strconv.ParseFloat(string(word[:min(len(word), longestNumber)]), 32)
			if len(word) > longestNumber || err != nil && !errors.Is(err, strconv.ErrRange) {
				return s.fault("a number")
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
		if !bytes.EqualFold(s.next(), []byte(want)) {
			return s.fault(want)
		}
	}
	return nil
}

// fault tells the line, the last word, which is wrong, and what would be right.
func (s *asciiReader) fault(want string) error {
	switch {
	case len(s.word) == 0:
		return fmt.Errorf("%w: line %d ends the text where %s should stand", ErrTruncated, s.line, want)
	case len(s.rest) == 0 && bytes.IndexByte(s.word, 0) < 0:
		return fmt.Errorf("%w: line %d ends the text with %.40q where %s should stand", ErrTruncated, s.line, s.word, want)
	}
	return fmt.Errorf("%w: line %d has %.40q where %s should stand", ErrNotSTL, s.line, s.word, want)
}
