package main

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/check"
)

func TestWrapped(t *testing.T) {
	for _, c := range []struct {
		name, text string
		width      int
		want       []string
	}{
		{"fits", "a wall of 2 mm", 20, []string{"a wall of 2 mm"}},
		{"between words", "the wall is thin", 9, []string{"the wall", "is thin"}},
		{"not before a unit", "a wall of 2.35 mm", 14, []string{"a wall of", "2.35 mm"}},
		{"not before per cent", "a chance of 98 %", 14, []string{"a chance of", "98 %"}},
		{"not within a mixed number", "goes into 1 7/8-14 UNS", 16, []string{"goes into", "1 7/8-14 UNS"}},
		{"not before the unit of a mixed number", "throat 1 1/2 in wide", 13, []string{"throat", "1 1/2 in wide"}},
		{"a long word stands alone", "see out/a-very-long-name.stl there", 10, []string{"see", "out/a-very-long-name.stl", "there"}},
		{"nothing", "", 10, []string{""}},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, wrapped(c.text, c.width)) })
	}
}

// Whatever is wrapped keeps its words, and no line of several words is too long.
func TestWrappedKeepsAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.SampledFrom([]string{"wall", "1", "7/8-14", "2.5", "mm", "±", "%", "in", "degrees,", "stands"})).Draw(t, "words")
		width := rapid.IntRange(8, 40).Draw(t, "width")
		lines := wrapped(strings.Join(words, " "), width)
		if got := strings.Fields(strings.Join(lines, " ")); strings.Join(got, " ") != strings.Join(words, " ") {
			t.Fatalf("%q became %q", words, lines)
		}
		for _, l := range lines {
			if utf8.RuneCountInString(l) > width && !regexp.MustCompile(`^\S+( (7/8-14|mm|in|%|degrees,))*$`).MatchString(l) {
				t.Fatalf("%q is longer than %d", l, width)
			}
		}
	})
}

func TestTableFitsTheScreen(t *testing.T) {
	head, rows := []string{"", "basic", "limits"}, [][]string{{"major", "47.625", "47.320 to 47.582"}, {"common practice"}, {"minor", "45.661", "open"}}
	s := screen{width: 40}
	s.table(head, rows...)
	assert.Equal(t, "         basic   limits\n  major  47.625  47.320 to 47.582\n    common practice\n  minor  45.661  open\n", s.text.String())
	s = screen{width: 30}
	s.table(head, rows...)
	assert.Equal(t, "  major: basic 47.625; limits\n  47.320 to 47.582\n    common practice\n  minor: basic 45.661; limits\n  open\n", s.text.String(), "no number is broken")
	s = screen{width: 12}
	s.table(nil, []string{"right outline", "16"})
	assert.Equal(t, "  right\n  outline:\n  16\n", s.text.String())
}

func TestChecksCountWhatIsOK(t *testing.T) {
	findings := []check.Finding{
		{ID: "caution", Level: check.Note, Text: check.Caution},
		{ID: "a", Level: check.OK, Text: "Closed."},
		{ID: "b", Level: check.Warn, Text: "The wall is 0.8 mm thin, less than the printer needs."},
		{ID: "c", Level: check.Note, Text: "Short."},
		{ID: "d", Level: check.Stop, Text: "Open."},
	}
	s := screen{width: 40}
	s.checks(findings)
	assert.Equal(t, "  warn  The wall is 0.8 mm thin, less\n        than the printer needs.\n  stop  Open.\n1 check is ok, 1 has a note; --details\nlists them.\n", s.text.String())
	s = screen{width: 80, details: true, colours: true}
	s.checks(findings)
	assert.Equal(t, "  \x1b[32mok\x1b[0m    Closed.\n  \x1b[33mwarn\x1b[0m  The wall is 0.8 mm thin, less than the printer needs.\n  note  Short.\n  \x1b[31mstop\x1b[0m  Open.\n", s.text.String())
}

func TestCommandIsAsAShellTakesIt(t *testing.T) {
	assert.Equal(t, `tryring ring --inner "1 5/8-16 UN" --height 14mm --label '3/4" pipe' ""`, command("ring", "--inner", "1 5/8-16 UN", "--height", "14mm", "--label", `3/4" pipe`, ""))
	require.Equal(t, `tryring photo "a b.jpg"`, command("photo", "a b.jpg"))
}
