package draw

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"pgregory.net/rapid"

	"tryring/internal/unit"
)

// capHeight is the height of capitals per font size in the plain sans-serif faces (Liberation Sans 0.73, DejaVu Sans 0.73, Noto Sans 0.71).
const capHeight = 0.71

// TestTextWidthIsNotTooSmall compares words of drawings with a real sans-serif face, which is wider than most.
func TestTextWidthIsNotTooSmall(t *testing.T) {
	for _, face := range []struct {
		name string
		ttf  []byte
		bold bool
	}{{"regular", goregular.TTF, false}, {"bold", gobold.TTF, true}} {
		f, err := sfnt.Parse(face.ttf)
		require.NoError(t, err)
		var buf sfnt.Buffer
		const em = 1000
		for _, text := range []string{
			"major 123.45 [4.860 in]", "M120x1.5-6g", "1 7/8-14 UNS-2A LH", "Flange, wrench flats", "WWW MMM mmm @@@", "3/4-11.5 NPSM",
			"abcdefghijklmnopqrstuvwxyz", "ABCDEFGHIJKLMNOPQRSTUVWXYZ", "0123456789", "[]()/,.:;-+°", "detail, 10 : 1",
		} {
			width := 0.0
			for _, r := range text {
				index, err := f.GlyphIndex(&buf, r)
				require.NoError(t, err)
				advance, err := f.GlyphAdvance(&buf, index, fixed.I(em), font.HintingNone)
				require.NoError(t, err)
				width += float64(advance) / 64 / em
			}
			assert.GreaterOrEqual(t, textWidth(text, face.bold), width, "%s: %q", face.name, text)
			assert.Less(t, textWidth(text, face.bold), 1.5*width, "%s: %q is estimated far too wide", face.name, text)
		}
	}
}

func TestWrap(t *testing.T) {
	assert.Equal(t, []string{"full thread", "11.19\u00a0[0.440\u00a0in]"}, wrap("full thread 11.19\u00a0[0.440\u00a0in]", 9, false))
	assert.Equal(t, []string{"one"}, wrap("one", 1000, false))
	assert.Empty(t, wrap("", 10, false))
	words := 0
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-zA-Zé0-9 ]{0,60}`).Draw(t, "text")
		width := rapid.Float64Range(1.2, 30).Draw(t, "width")
		lines := wrap(text, width, false)
		words += len(lines)
		for _, l := range lines {
			if textWidth(l, false) > width {
				t.Fatalf("line %q is %v wide, at most %v asked", l, textWidth(l, false), width)
			}
		}
		squeeze := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		if got := squeeze(strings.Join(lines, "")); got != squeeze(text) {
			t.Fatalf("wrap(%q) lost words: %q", text, got)
		}
	})
	assert.Greater(t, words, 100)
}

func TestLengthWords(t *testing.T) {
	// 1 in = 25.4 mm exactly (international inch, 1959)
	assert.Equal(t, "44.45\u00a0[1.750\u00a0in]", both(unit.Inches(1.75)))
	assert.Equal(t, "0.00\u00a0[0.000\u00a0in]", both(unit.MM(-0.0001)))
}

func TestEscaped(t *testing.T) {
	assert.Equal(t, "a&lt;b&gt;&amp;&#34;", escaped(`a<b>&"`))
	assert.Equal(t, "a\ufffdb", escaped("a\x01b"))
}
