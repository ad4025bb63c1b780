package parts

import (
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

func TestCut(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []Row
	}{
		{"commas", "a,b\nc,d", []Row{{1, []string{"a", "b"}}, {2, []string{"c", "d"}}}},
		{"comments and blanks", "# x\n\na,b\n  \nc,d\n", []Row{{3, []string{"a", "b"}}, {5, []string{"c", "d"}}}},
		{"quoted comma", "a,\"b,c\"\n", []Row{{1, []string{"a", "b,c"}}}},
		{"inch mark", "a,1 3/4\",b\n", []Row{{1, []string{"a", "1 3/4\"", "b"}}}},
		{"quoted inch mark", "a,\"1 3/4\"\"\",b\n", []Row{{1, []string{"a", "1 3/4\"", "b"}}}},
		{"cell over lines", "a,\"b\nc\"\nd,e\n", []Row{{1, []string{"a", "b\nc"}}, {3, []string{"d", "e"}}}},
		{"old line ends", "a,b\rc,d\r", []Row{{1, []string{"a", "b"}}, {2, []string{"c", "d"}}}},
		{"semicolons", "a;b\n1,5;2,5\n", []Row{{1, []string{"a", "b"}}, {2, []string{"1,5", "2,5"}}}},
		{"tabs from a page", "a\tb\n1,6\t2  x\n", []Row{{1, []string{"a", "b"}}, {2, []string{"1,6", "2  x"}}}},
		{"several blanks", "All sizes, in inches\na   b    c\nx y  1,6   2\n", []Row{{1, []string{"All sizes, in inches"}}, {2, []string{"a", "b", "c"}}, {3, []string{"x y", "1,6", "2"}}}},
		{"pipes", "| a | b |\n|---|:-:|\n| x | 1 3/4\" |\n", []Row{{1, []string{" a ", " b "}}, {3, []string{"x ", "1 3/4\" "}}}},
		{"pipes without ends", "a|b\nx|\n", []Row{{1, []string{"a", "b"}}, {2, []string{"x", ""}}}},
		{"a title with commas above tabs", "sizes, in inches\na\tb\nx\t1,6\n", []Row{{1, []string{"sizes, in inches"}}, {2, []string{"a", "b"}}, {3, []string{"x", "1,6"}}}},
		{"blanks behind commas", "a,  b,  c\nx,  1.6,  2\n", []Row{{1, []string{"a", "  b", "  c"}}, {2, []string{"x", "  1.6", "  2"}}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, faults := Cut(c.text)
			assert.Empty(t, faults)
			assert.Equal(t, c.want, got)
		})
	}
	rows, faults := Cut("a,b\n\"c,d\ne,f\n")
	assert.Len(t, rows, 2, "an open quote costs its own line only")
	require.Len(t, faults, 1)
	assert.Equal(t, 2, faults[0].Line)
	rows, faults = Cut("a  b  c\nx  1  2\ny  3\nz  4  5\n")
	assert.Len(t, rows, 3)
	require.Len(t, faults, 1, "between blanks it cannot be told which cell is missing")
	assert.Equal(t, 3, faults[0].Line)
}

// A number stands for the sizes that print so: "1.6" in inches.
func TestNumberStandsFor(t *testing.T) {
	n, err := readSize("1.6", 0)
	require.NoError(t, err)
	for _, c := range []struct {
		inches float64
		h      Habit
		want   bool
	}{
		{1.6, Exact, true},
		{1.625, Exact, false},
		{1.6, Rounds, true},
		{1.625, Rounds, true},
		{1.6875, Rounds, false},
		{1.5625, Rounds, true},
		{1.65, Rounds, false},
		{1.6, CutsOff, true},
		{1.625, CutsOff, true},
		{1.6875, CutsOff, true},
		{1.5625, CutsOff, false},
		{1.7, CutsOff, false},
	} {
		assert.Equal(t, c.want, n.holds(c.inches*25.4, c.h), "%v in printed as 1.6 by a list that is %s", c.inches, c.h)
	}
	low, high := n.span()
	assert.InDelta(t, 1.55*25.4, low, 1e-9)
	assert.InDelta(t, 1.7*25.4, high, 1e-9)
	fraction, err := readSize("1 5/8", 0)
	require.NoError(t, err)
	assert.True(t, fraction.holds(1.625*25.4, CutsOff))
	assert.False(t, fraction.holds(1.626*25.4, CutsOff))
	for _, c := range []struct {
		text string
		in   unit.Length
		mm   float64
	}{
		{"1,6", 0, 40.64},
		{"41.3", 0, 41.3},
		{"1.6 mm", 0, 1.6},
		{"2", 0, 50.8},
		{"2", unit.Millimetre, 2},
		{"4.5", unit.Inch, 4.5 * 25.4},
		{"41.3", unit.Inch, 41.3}, // a size in millimetres in a column of inches
		{"1 5/8", unit.Millimetre, 41.275},
		{`1-5/8"`, 0, 41.275},
	} {
		n, err := readSize(c.text, c.in)
		require.NoError(t, err, c.text)
		assert.InDelta(t, c.mm, n.value, 1e-9, c.text)
	}
	count, err := readPerInch("11")
	require.NoError(t, err)
	assert.True(t, count.holds(11.5, CutsOff))
	assert.False(t, count.holds(11.5, Rounds))
	pitch, err := readPitch("1.814 mm", 0)
	require.NoError(t, err)
	assert.True(t, pitch.holds(14, Exact))
	assert.False(t, pitch.holds(13.5, Exact))
}

// Rows without a quote are split without the CSV reader; it would say the same. No text, however broken, loses a line.
func FuzzCut(f *testing.F) {
	for _, s := range []string{"a,b\nc", "\"", "a;\"b\nc\"", "\xff,\x00\n", "a\t\"b\"\t\n#x\n\"\"\"\n", "\ufeffx,\ufeffy\r\r\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		rows, faults := Cut(text)
		last := 0
		for _, r := range rows {
			if r.Line <= last || len(r.Cells) == 0 {
				t.Fatalf("row %+v after line %d", r, last)
			}
			last = r.Line
		}
		plain := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.TrimPrefix(text, "\ufeff"))
		lines := strings.Split(plain, "\n")
		comma := separator(lines)
		seen := 0
		for _, line := range lines {
			if !passed(line) && !strings.Contains(line, `"`) {
				seen++
				r := csv.NewReader(strings.NewReader(line))
				r.Comma, r.FieldsPerRecord = comma, -1
				want, err := r.Read()
				got, _ := parseRow(line, comma, false)
				if err == nil && comma != blanks && comma != '|' && strings.Join(want, "\x00") != strings.Join(got, "\x00") {
					t.Fatalf("%q is %q, the CSV reader says %q", line, got, want)
				}
			}
		}
		if seen > 0 && len(rows)+len(faults) == 0 {
			t.Fatalf("%d lines, none told of", seen)
		}
	})
}

func TestReadThreadText(t *testing.T) {
	tables := thread.BuiltIn()
	for _, c := range []struct {
		text    string
		mm      float64
		perInch float64
	}{
		{"1 5/8-16", 41.275, 16},
		{"1-5/8-16", 41.275, 16},
		{`1 5/8" - 16`, 41.275, 16},
		{"1.6 x 16 tpi", 40.64, 16},
		{"44.4mm x 12tpi", 44.4, 12},
		{"42x1.5", 42, 25.4 / 1.5},
		{"42 x 1,5 mm", 42, 25.4 / 1.5},
		{"1-8", 25.4, 8},
		{"1 1/2-11 1/2", 38.1, 11.5},
		{"1 5/8", 41.275, 0},
	} {
		s, err := readThreadText(tables, c.text, 0)
		require.NoError(t, err, c.text)
		require.NotNil(t, s.size, c.text)
		assert.InDelta(t, c.mm, s.size.value, 1e-9, c.text)
		if c.perInch == 0 {
			assert.Nil(t, s.perInch, c.text)
			continue
		}
		require.NotNil(t, s.perInch, c.text)
		assert.InDelta(t, c.perInch, s.perInch.value, 1e-9, c.text)
	}
	for text, want := range map[string]string{
		"M42x1.5-6g": "M42x1.5-6g", "1 1/2 NPSM": "1 1/2-11.5 NPSM", `1-1/2" NPT`: "1 1/2-11.5 NPT", "G1-1/2 A": "G 1 1/2 A", "1 1/2 BSPP": "G 1 1/2",
		"1 5/8-16 UN LH": "1 5/8-16 UN LH",
	} {
		s, err := readThreadText(tables, text, 0)
		require.NoError(t, err, text)
		require.NotNil(t, s.named, text)
		assert.Equal(t, want, s.named.Designation)
	}
}
