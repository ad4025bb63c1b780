package mesh

// Words and lines of a text, taken off a stream: lines end with LF, CR or both.

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
)

// longestWord is the most letters that are taken for a word.
const longestWord = 4 << 10

// words takes words off a text and counts its lines.
type words struct {
	from *bufio.Reader
	word []byte // the last word; empty at the end of a line
	line int    // the line on which it stands
	err  error  // what ended the text; io.EOF for its end
}

func newWords(from *bufio.Reader) *words {
	if head, _ := from.Peek(len(byteOrderMark)); bytes.Equal(head, byteOrderMark) {
		_, _ = from.Discard(len(byteOrderMark)) // it is there
	}
	return &words{from: from, line: 1}
}

// space says what stands between words.
func space(b byte) bool { return b == ' ' || b >= '\t' && b <= '\r' }

func lineEnd(b byte) bool { return b == '\n' || b == '\r' }

// chunk is what is read already and not yet taken, nil at the end.
func (w *words) chunk() []byte {
	if w.from.Buffered() == 0 && w.err == nil {
		_, w.err = w.from.Peek(1)
	}
	if w.err != nil && !errors.Is(w.err, io.EOF) {
		return nil
	}
	head, _ := w.from.Peek(w.from.Buffered()) // no more than there is
	return head
}

// inLine reads the next word of the line; at its end it is empty.
func (w *words) inLine() []byte {
	w.word = w.word[:0]
	for {
		head := w.chunk()
		from := 0
		for len(w.word) == 0 && from < len(head) && space(head[from]) && !lineEnd(head[from]) {
			from++
		}
		to := from
		for to < len(head) && !space(head[to]) && head[to] != 0 {
			to++
		}
		w.word = append(w.word, head[from:min(to, from+longestWord+1-len(w.word))]...)
		_, _ = w.from.Discard(to) // they are there
		if to < len(head) || len(head) == 0 || len(w.word) > longestWord {
			w.refuseZero()
			return w.word
		}
	}
}

// endLine passes over the rest of the line, and says whether there is another.
func (w *words) endLine() bool {
	head := w.chunk()
	for len(head) > 0 && !lineEnd(head[0]) && head[0] != 0 {
		n := 1
		for n < len(head) && !lineEnd(head[n]) && head[n] != 0 {
			n++
		}
		_, _ = w.from.Discard(n) // they are there
		head = w.chunk()
	}
	w.refuseZero()
	if len(head) == 0 || head[0] == 0 {
		return false
	}
	_, _ = w.from.Discard(1)
	if next := w.chunk(); head[0] == '\r' && len(next) > 0 && next[0] == '\n' {
		_, _ = w.from.Discard(1)
	}
	w.line++
	return true
}

// refuseZero ends the text at a zero byte.
func (w *words) refuseZero() {
	if head := w.chunk(); len(head) > 0 && head[0] == 0 {
		w.err = fmt.Errorf("%w: line %d has zero bytes in it, so it is no text", ErrNotPart, w.line)
	}
}

// next reads the next word of the text; at its end it is empty.
func (w *words) next() []byte {
	for len(w.inLine()) == 0 && w.endLine() {
	}
	return w.word
}

// number reads the last word as a number; out of range is infinite.
func (w *words) number() (float32, error) {
	x, err := strconv.ParseFloat(string(w.word), 32)
	if len(w.word) == 0 || len(w.word) > longestWord || err != nil && !errors.Is(err, strconv.ErrRange) {
		return 0, w.fault("a number")
	}
	return float32(x), nil
}

// fault tells the line, the last word, which is wrong, and what would be right; or what broke the text off.
func (w *words) fault(want string) error {
	switch {
	case w.err != nil && !errors.Is(w.err, io.EOF):
		return w.err
	case len(w.word) == 0 && w.err != nil:
		return fmt.Errorf("%w: line %d ends the text where %s should stand", ErrTruncated, w.line, want)
	case len(w.word) == 0:
		return fmt.Errorf("%w: line %d ends where %s should stand", ErrNotPart, w.line, want)
	case w.err != nil && len(w.chunk()) == 0 && bytes.IndexByte(w.word, 0) < 0:
		return fmt.Errorf("%w: line %d ends the text with %.40q where %s should stand", ErrTruncated, w.line, w.word, want)
	}
	return fmt.Errorf("%w: line %d has %.40q where %s should stand", ErrNotPart, w.line, w.word, want)
}
