package thread

// This file asks back where a person's word names several threads ("1/2 BSP", "DN 15", "1 1/2 tubular"): none of them
// is taken.

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"sync"

	"tryring/internal/unit"
)

// ErrWhich is wrapped by the error about a word that leaves the thread open.
var ErrWhich = errors.New("write which")

// askedRow is a word that names several threads.
type askedRow struct {
	Word string `toml:"word"`
	// Why says what the word leaves open, Offers what it may be, and Sizes the size that each number after the word
	// stands for.
	Why    string            `toml:"why"`
	Offers []string          `toml:"offers"`
	Sizes  map[string]string `toml:"sizes"`
}

// stands says whether the word stands in text before or after a size, or alone.
func (r askedRow) stands(text string) (size string, ok bool) {
	if first, _, _ := strings.Cut(r.Word, " "); !strings.Contains(strings.ToLower(text), strings.ToLower(first)) {
		return "", false // most threads, without the time that an expression takes
	}
	word := strings.ReplaceAll(regexp.QuoteMeta(r.Word), " ", `[\s-]*`)
	form := fmt.Sprintf(`(?i)^(?:(%s)\s*(?:%s)?[\s-]*%s|%s[\s-]*(%s)?\s*(?:%s)?)$`, sizePattern, unitPattern, word, word, sizePattern, unitPattern)
	m := regexp.MustCompile(form).FindStringSubmatch(text)
	if m == nil {
		return "", false
	}
	return m[1] + m[2], true
}

var asked = sync.OnceValue(func() []askedRow { return embedded[askedRow]("asked.toml").Rows })

// askBack returns the question that text raises, nil where it is no such word.
func (ts *Tables) askBack(text string) error {
	n := written{Name: Name{Text: text}}
	bare, err := n.takeWords(plainWords(text))
	if err != nil {
		return nil
	}
	for _, w := range asked() {
		size, stands := w.stands(bare)
		if !stands {
			continue
		}
		if named, ok := w.Sizes[size]; ok {
			size = named
		}
		var could []Thread
		for _, offer := range w.Offers {
			if t, err := ts.Parse(strings.ReplaceAll(offer, "{size}", size)); err == nil {
				could = append(could, t)
			}
		}
		offers := fmt.Sprintf("%q", strings.TrimSpace(strings.ReplaceAll(w.Offers[0], "{size}", "1/2")))
		if len(could) > 0 {
			offers = listed(could)
		}
		return fmt.Errorf("%s %s; %w, like %s, or measure it and write a free one, like %q", w.Word, w.Why, ErrWhich, offers, "20.9mm x 14tpi")
	}
	return nil
}

// plainWords is text as the forms of notation read it: plain figures and fractions without spaces about their stroke,
// and no words for the side of a thread, nor for the standard before a name, which are said elsewhere.
func plainWords(text string) string {
	s := strings.NewReplacer("Ø", "", "ø", "", "⌀", "", "°", "deg").Replace(unit.Plain(text))
	s = strokeSpaces.ReplaceAllString(s, "$1/$2")
	s = sideWords.ReplaceAllString(" "+s+" ", " ")
	s = standardWords.ReplaceAllString(s, "$1")
	return strings.Join(strings.Fields(s), " ")
}

// writtenSide is the side that text says, "" for none.
func writtenSide(text string) string {
	switch words := sideWords.FindString(" " + strings.ToLower(text) + " "); {
	case strings.Contains(words, "female"):
		return internalSide
	case strings.Contains(words, "male"):
		return externalSide
	}
	return ""
}

var (
	strokeSpaces = regexp.MustCompile(`(\d)\s*/\s*(\d)`)
	// standardWords are a standard and its number before a name: "DIN 513 S 60x9", "ISO 228-1 G 1/2".
	standardWords = regexp.MustCompile(`(?i)^\s*(?:DIN|ISO|EN|BS|JIS|ANSI|ASME)(?:[ /]+(?:ISO|EN|ASME))?\s+[A-Z]?\d[\d.:-]*\s+([A-Z].*)$`)
	sideWords     = regexp.MustCompile(`(?i)[\s,](?:(?:male|female|thread)[\s,]+)+`)
)
