package draw

import (
	"bytes"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pointMM is a point of PDF: 1/72 in (ISO 32000-1:2008, 8.3.2.3).
const pointMM = 25.4 / 72

func pdfOf(t testing.TB, sheets ...*sheet) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, writePDF(&b, "a title", sheets...))
	return b.Bytes()
}

// poppler runs a tool of poppler-utils, a reader that knows nothing of ours, on a file.
func poppler(t testing.TB, file []byte, tool string, args ...string) []byte {
	t.Helper()
	if _, err := exec.LookPath(tool); err != nil {
		t.Skip("no " + tool)
	}
	name := filepath.Join(t.TempDir(), "sheets.pdf")
	require.NoError(t, os.WriteFile(name, file, 0o644))
	args = append(args, name)
	if tool == "pdftotext" {
		args = append(args, "-") // the others write to standard output unless told otherwise
	}
	out, err := exec.Command(tool, args...).Output()
	require.NoError(t, err)
	return out
}

// word is a word on a page as another reader finds it, in millimetres from the upper left corner.
type word struct {
	page int
	text string
	box  box
}

// wordsOf has pdftotext find the words of each page.
func wordsOf(t testing.TB, file []byte) (words []word, pages [][2]float64) {
	t.Helper()
	number := func(s string) float64 {
		f, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return f * pointMM
	}
	page := regexp.MustCompile(`<page width="([\d.]+)" height="([\d.]+)">`)
	at := regexp.MustCompile(`<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*)</word>`)
	for _, line := range strings.Split(string(poppler(t, file, "pdftotext", "-bbox")), "\n") {
		if m := page.FindStringSubmatch(line); m != nil {
			pages = append(pages, [2]float64{number(m[1]), number(m[2])})
		}
		if m := at.FindStringSubmatch(line); m != nil {
			words = append(words, word{len(pages), m[5], box{number(m[1]), number(m[2]), number(m[3]), number(m[4])}})
		}
	}
	return words, pages
}

// begin is where the words of a box begin, with room for a face that runs narrower than the box was made for.
func begin(b box) box {
	if b.X1-b.X0 > b.Y1-b.Y0 {
		return box{b.X0, b.Y0 + 1, b.X0 + 0.3*(b.X1-b.X0), b.Y1 - 1}
	}
	return box{b.X0 + 1, b.Y1 - 0.3*(b.Y1-b.Y0), b.X1 - 1, b.Y1}
}

// TestPDFIsThatDrawing has another reader find every word of the drawing where it was put, on a page of the paper's size.
func TestPDFIsThatDrawing(t *testing.T) {
	p := samples[7].plan(t)
	var sheets []*sheet
	for _, paper := range []Paper{A4, Letter} {
		s, err := newSection(p, paper)
		require.NoError(t, err)
		sheets = append(sheets, &s.sheet)
	}
	file := pdfOf(t, sheets...)
	keep(t, "section.pdf", file)
	assert.Equal(t, file, pdfOf(t, sheets...), "the same sheets must give the same bytes")
	words, pages := wordsOf(t, file)
	require.Equal(t, len(sheets), len(pages))
	for i, s := range sheets {
		// ISO 216: A4 is 210 by 297 mm; Letter is 8.5 by 11 in (ANSI/ASME Y14.1, size A).
		size := [][2]float64{{297, 210}, {11 * 25.4, 8.5 * 25.4}}[i]
		assert.InDelta(t, size[0], pages[i][0], 0.002)
		assert.InDelta(t, size[1], pages[i][1], 0.002)
		found := 0
		for _, l := range s.labels {
			first := strings.Fields(inFace(l.text))[0]
			for _, w := range words {
				if w.page == i+1 && html.UnescapeString(w.text) == first && w.box.overlaps(begin(l.box)) {
					found++
					break
				}
			}
		}
		assert.Equal(t, len(s.labels), found, "words found where they were put")
	}
}

// TestPDFAsksForItsSize: the wish for no scaling is in the catalog, and the table of objects is where the file says.
func TestPDFAsksForItsSize(t *testing.T) {
	s := newSheet(A4)
	s.open("", wide, at{10, 10}, at{110, 10})
	s.text(at{10, 20}, "⌀ ± × ° ½ … – ≤", plain)
	file := pdfOf(t, &s)
	keep(t, "signs.pdf", file)
	assert.Regexp(t, `/Type /Catalog\n/ViewerPreferences << /PrintScaling /None >>\n`, string(file))
	start := regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`).FindSubmatch(file)
	require.NotNil(t, start)
	place, err := strconv.Atoi(string(start[1]))
	require.NoError(t, err)
	require.True(t, bytes.HasPrefix(file[place:], []byte("xref\n")))
	objects := 0
	for i, row := range regexp.MustCompile(`(\d{10}) 00000 n `).FindAllSubmatch(file[place:], -1) {
		from, err := strconv.Atoi(string(row[1]))
		require.NoError(t, err)
		assert.True(t, bytes.HasPrefix(file[from:], []byte(fmt.Sprintf("%d 0 obj", i+1))), "object %d", i+1)
		objects++
	}
	assert.Greater(t, objects, 5)
	assert.Contains(t, string(poppler(t, file, "pdftotext", "-raw")), "Ø ± × ° ½ … – ≤")
	s.text(at{10, 30}, "漢字 😀 \x01 \xff é Ж", plain) // what a person's own tables may hold
	assert.Contains(t, string(poppler(t, pdfOf(t, &s), "pdftotext", "-raw")), "漢字 ? \x01 \ufffd é Ж")
	assert.Error(t, printUnscaled(&bytes.Buffer{}, []byte("no PDF")))
}
