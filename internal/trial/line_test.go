package trial

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/job"
	"tryring/internal/thread"
)

func TestTryLine(t *testing.T) {
	tables := thread.NewTables()
	for _, designation := range []string{"M45x1.5", "1 7/8-14 UNS", "G 1 1/2", "1/2-14 NPT", "48.2mm x 2.309mm 55deg", "1.9in x 16tpi 2start LH"} {
		for _, side := range []string{innerSide, outerSide} {
			want := ringTry(t, designation, side, 0.3, 0.05)
			want.OffMM, want.Printer, want.Result = 0.1, "filament-0.4", "stops after 2.5 turns"
			want.When = "the 4th of May"
			got, err := ParseLine(Line(want), tables)
			require.NoError(t, err, Line(want))
			assert.Equal(t, want, got)
			two, err := ParseLines(Lines([]job.Try{want, want}), tables)
			require.NoError(t, err)
			assert.Equal(t, []job.Try{want, want}, two)
		}
	}
	odd := ringTry(t, "M45x1.5", innerSide, 0.3, 0.05)
	odd.When = "4|5; noon"
	got, err := ParseLine(Line(odd), tables)
	require.NoError(t, err)
	assert.Equal(t, "4/5/ noon", got.When, "a date cannot break a line")
	none, err := ParseLines("", tables)
	require.NoError(t, err)
	assert.Empty(t, none)
}

func TestTryLineFaults(t *testing.T) {
	tables := thread.NewTables()
	good := "outer|M45x1.5|44.7|43.7|42.8|12|none|0 0.05|goes|"
	_, err := ParseLine(good, tables)
	require.NoError(t, err)
	for _, c := range []struct{ name, from, to, says string }{
		{"too few parts", "|goes", "", "9 parts"},
		{"two lines", "goes|", "goes|;", `holds ";"`},
		{"side", "outer", "top", "inner or outer"},
		{"thread", "M45x1.5", "wide", "wide"},
		{"diameters that cross", "43.7", "47", "order"},
		{"no number", "43.7", "x", `"x" is no number`},
		{"not a number", "43.7", "NaN", "order"},
		{"endless", "12", "+Inf", "engaged"},
		{"far off", "0 0.05", "5 0.05", "1 mm"},
		{"one number of two", "0 0.05", "0", "no number"},
		{"result", "goes", "went", "no result"},
		{"turns", "goes", "stops after 900 turns", "at most"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ParseLine(strings.Replace(good, c.from, c.to, 1), tables)
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.says)
		})
	}
}

func FuzzParseLine(f *testing.F) {
	f.Add("outer|M45x1.5|44.7|43.7|42.8|12|none|0 0.05|goes|")
	f.Add("inner|G 1/2|20|19|18|5||0 0|stops after 4 turns|May 4")
	tables := thread.NewTables()
	f.Fuzz(func(t *testing.T, text string) {
		try, err := ParseLine(text, tables)
		if err != nil {
			return
		}
		again, err := ParseLine(Line(try), tables)
		if err != nil || again != try {
			t.Fatalf("%q is read as %+v and again as %+v (%v)", text, try, again, err)
		}
	})
}
