package thread

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/unit"
)

func TestParseWaysOfWriting(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"1 3/4-12 UN", "1 3/4-12 UN"},
		{"1.75-12", "1 3/4-12 UN"},
		{"1-3/4-12", "1 3/4-12 UN"},
		{"1¾-12un", "1 3/4-12 UN"},
		{`1 3/4" - 12 TPI UN`, "1 3/4-12 UN"},
		{"1,75-12 UN", "1 3/4-12 UN"},
		{"UN 1 3/4-12", "1 3/4-12 UN"},
		{"1 3/4-12 UN-2A LH", "1 3/4-12 UN-2A LH"},
		{"1 3/4-12 un 2a left hand", "1 3/4-12 UN-2A LH"},
		{"1 3/4-12-2B", "1 3/4-12 UN-2B"},
		{"1 3/4-12 UN RH", "1 3/4-12 UN"},
		{"5/8-11", "5/8-11 UNC"},
		{"5/8-11 UN", "5/8-11 UNC"},
		{"1-12 UN", "1-12 UNF"},
		{"1/2 UNC", "1/2-13 UNC"},
		{"UNF 1/2", "1/2-20 UNF"},
		{"10-24", "#10-24 UNC"},
		{"#10-32 UNF-3A", "#10-32 UNF-3A"},
		{"No. 8-32", "#8-32 UNC"},
		{"8-16 UN", "8-16 UNS"},
		{"5 3/4-16 UN", "5 3/4-16 UN"},
		{"1.9-16 UN", "1.9-16 UNS"},
		{"15/16-27", "15/16-27 UNS"},
		{"G 1 1/2", "G 1 1/2"},
		{"G1-1/2 A", "G 1 1/2 A"},
		{"g1½b", "G 1 1/2 B"},
		{"R 1/2", "R 1/2"},
		{"Rp 3/4 LH", "Rp 3/4 LH"},
		{"rc1/2", "Rc 1/2"},
		{"1/2-14 NPT", "1/2-14 NPT"},
		{"NPT 1/2", "1/2-14 NPT"},
		{"1-11 1/2 NPT", "1-11.5 NPT"},
		{"1 1/2-11.5 NPSM", "1 1/2-11.5 NPSM"},
		{"1-1/2-11-1/2 npsm", "1 1/2-11.5 NPSM"},
		{"3/4-11.5 NH", "3/4-11.5 NH"},
		{"3/4-11.5", "3/4-11.5 NH"},
		{"M45x1.5", "M45x1.5"},
		{"M 45 × 1,5", "M45x1.5"},
		{"M45x1.5mm", "M45x1.5"},
		{"M45x1.5-6g", "M45x1.5-6g"},
		{"M45x1.5 5g6g", "M45x1.5-5g6g"},
		{"M20", "M20x2.5"},
		{"M20x1.5-6H LH", "M20x1.5-6H LH"},
		{"M20-6g-LH", "M20x2.5-6g LH"},
		{"M16xPh3P1.5", "M16x1.5 2start"},
		{"M16x1.5 double start left", "M16x1.5 2start LH"},
		{"M43x1.5", "M43x1.5"},
		{"44.4mm x 12tpi", "44.4mm x 12tpi"},
		{"Ø44,4 x 12 tpi", "44.4mm x 12tpi"},
		{"48.2mm x 2.309mm 55deg", "48.2mm x 2.309mm 55deg"},
		{"48.2mm x 2.309mm 55°", "48.2mm x 2.309mm 55deg"},
		{"1.9in x 16tpi 2start", "1.9in x 16tpi 2start"},
		{"1.9in x 16tpi 2 starts LH 60deg", "1.9in x 16tpi 2start LH"},
		{`1 7/8" x 1/16in`, "1.875in x 16tpi"},
		{"40 x 3", "40mm x 3mm"},
		{"30mm x 5mm 29deg", "30mm x 5mm 29deg"},
		{"60mm x 6mm 3/30deg", "60mm x 6mm 3/30deg"},
		{"60mm x 6mm, 3 / 30 degrees LH", "60mm x 6mm 3/30deg LH"},
		{"60mm x 6mm 10/40deg 2.5 mm deep", "60mm x 6mm 10/40deg 2.5mm deep"},
		{"60mm x 6mm 2.5mm deep 10/40deg", "60mm x 6mm 10/40deg 2.5mm deep"},
		{"20mm x 4mm 30deg trapezoidal", "20mm x 4mm 30deg trapezoidal"},
		{"20mm x 4mm trapezoidal 30deg 2start", "20mm x 4mm 30deg trapezoidal 2start"},
		{"40mm x 6tpi 30deg round", "40mm x 6tpi 30deg round"},
		{"40mm x 3mm 30/30deg", "40mm x 3mm"},
		{"S 60x9 3/30deg", "S 60x9"},
		{"Tr 40 x 7", "Tr 40x7"},
		{"trapezoidal 40x7-7e", "Tr 40x7-7e"},
		{"Tr 40x14(P7)", "Tr 40x7 2start"},
		{"rd 44x1/6", "Rd 44x1/6"},
		{"2 ba", "2 BA"},
		{"BA 2", "2 BA"},
		{"1/2 Whitworth", "1/2-12 BSW"},
		{"Pg13.5", "Pg 13.5"},
		{"28/400", "28-400"},
		{"w 21.8 x 1/14 left", "W21.8x1/14 LH"},
		// As people in the trade say it.
		{"3/4 MIP", "3/4-14 NPT"},
		{"FIP 3/4", "3/4-14 NPT"},
		{"3/4 MNPT", "3/4-14 NPT"},
		{"3/4 FNPT", "3/4-14 NPT"},
		{"male 3/4 NPT", "3/4-14 NPT"},
		{"3/4 NPT female thread", "3/4-14 NPT"},
		{"1/2 BSPP", "G 1/2"},
		{"PF 1/2", "G 1/2"},
		{"1/2 BSPT", "R 1/2"},
		{"PT 1/2", "R 1/2"},
		{"male BSPT 1/2", "R 1/2"},
		{"DIN 513 S 60x9", "S 60x9"},
		{"DIN ISO 2904 Tr 40x7", "Tr 40x7"},
		{"ISO 228-1 G 1/2", "G 1/2"},
		{"3/4 NHR", "3/4-11.5 NH"},
		{"M24 P1", "M24x1"},
		{"M24 P 1", "M24x1"},
		{"M20 pitch 1.5", "M20x1.5"},
		{"M20-1.5", "M20x1.5"},
		{"M20-1.5-6g", "M20x1.5-6g"},
		{"M20-1.5 6g", "M20x1.5-6g"},
		{"metric 24x3", "M24x3"},
		{"metric 24", "M24x3"},
		{"3/4x16 UNF", "3/4-16 UNF"},
		{"5/16 x 18 UNC", "5/16-18 UNC"},
		{"5/16 x 18 UNC-2A", "5/16-18 UNC-2A"},
		{"1/4-20 UNR", "1/4-20 UNC"},
		{"1/4-20 UNRC-2A", "1/4-20 UNC-2A"},
		{"M45x3(P1.5)", "M45x1.5 2start"},
		{"M45 x 3 (P1.5) - 6g LH", "M45x1.5-6g 2start LH"},
		{"1 / 2 NPT", "1/2-14 NPT"},
		{"G 1 1 / 2 A", "G 1 1/2 A"},
	} {
		t.Run(c.text, func(t *testing.T) {
			got, err := Parse(c.text)
			require.NoError(t, err)
			assert.Equal(t, c.want, got.Designation)
			again, err := Parse(got.Designation)
			require.NoError(t, err)
			assert.Equal(t, got, again, "the normal form stands for the same thread")
		})
	}
}

// What a free thread says of its profile is what its diameters are.
func TestFreeProfiles(t *testing.T) {
	for _, c := range []struct {
		text            string
		pitchDia, minor float64
		round           bool
	}{
		{"60mm x 6mm 10/40deg 2.5mm deep", 57.5, 55, false},
		{"20mm x 4mm 30deg trapezoidal", 18, 16, false}, // ISO 2904: d - P/2, d - P
		{"44mm x 6tpi 30deg round", 41.883, 39.767, true},
		{"60mm x 9mm 3/30deg", 53.25, 46.5, false}, // DIN 513: d - 0.75 P, d - 1.5 P
	} {
		th, err := Parse(c.text)
		require.NoError(t, err)
		assert.InDelta(t, c.pitchDia, th.Basic.Pitch.MM(), 0.001, c.text)
		assert.InDelta(t, c.minor, th.Basic.Minor.MM(), 0.001, c.text)
		assert.Equal(t, c.round, th.Form.RoundPerPitch > 0, c.text)
	}
}

func TestParseSaysWhatWouldBeRight(t *testing.T) {
	for _, c := range []struct{ text, says string }{
		{"", "empty thread"},
		{"1 3/4-12 UNF", `did you mean "1 3/4-12 UN"?`},
		{"5/8-11 UNF", `did you mean "5/8-11 UNC"?`},
		{"5/8-18 UNC", `did you mean "5/8-18 UNF"?`},
		{"5/8-17 UNC", `did you mean "5/8-11 UNC"?`},
		{"1 3/4-12 UNN", `did you mean "1 3/4-12 UN"?`},
		{"M45*1.5", `did you mean "M45x1.5"?`},
		{"N45x1.5", `did you mean "M45x1.5"?`},
		{"M25", `did you mean "M25x2"?`},
		{"M45x7", "no pitch of 7 mm"},
		{"G 1 9/16", `did you mean "G 1 1/2"?`},
		{"1/2-13 NPT", `did you mean "1/2-14 NPT"?`},
		{"1/2-14", "write which"},
		{"1 3/4 x 12", "write 12tpi or 12mm"},
		{"40 x 12", "write 12tpi or 12mm"},
		{"1 3/4", "gives no pitch"},
		{"12 tpi", "gives no diameter"},
		{"1 3/4 UN", "no single thread"},
		{"1 3/4-12 UN-4A", "1A, 2A, 3A"},
		{"1 3/4-12 UN-6g", "1A, 2A, 3A"},
		{"M45x1.5-6z", "not of ISO 965-1"},
		{"M45x1.5-5g", "grades 4, 6 and 8"},
		{"M45x1.5-6g6H", "mixes"},
		{"M45x1.5-9H", "grades 4 to 8"},
		{"G 1/2 C", "A or B"},
		{"1 3/4-0 UN", "must be above 0"},
		{"1/4-3 UN", "too coarse"},
		{"1 3/4-12 UN 7start", "1 to 6"},
		{"44.4mm x 12tpi 0start", "1 to 6"},
		{"44.4mm x 12tpi 15deg", "20 to 90"},
		{"1 3/4-12 UN 55deg", "60 degrees"},
		{"400mm x 3mm", "300.000 mm"},
		{"0.2mm x 0.2mm", "0.500 mm"},
		{"10mm x 9", "write 9tpi"},
		{"20mm x 30mm", "25.400 mm"},
		{"20mm x 0.01mm", "0.100 mm"},
		{"10mm x 7mm", "too coarse"},
		{"M16xPh4P1.5", "times the pitch"},
		{"44mm-12", "44.4mm x 12tpi"},
		{"1/0-12 UN", "divides by zero"},
		{"M24/1", `did you mean "M24x1"?`},
		{"M20/2", `"24mm x 1mm"`},
		{"M 20/2 LH", `"24mm x 1mm"`},
		{"M3/4", `"24mm x 1mm"`},
		{"24/1 M", `"24mm x 1mm"`},
		{"20-1.5 M", `"24mm x 1mm"`},
		{"M20in", `"24mm x 1mm"`},
		{"60mm x 6mm 30/3deg 10mm deep", "inside the sharp triangle"},
		{"60mm x 6mm 1/30deg", "flanks of 1 degrees"},
		{"S 60x9 30/3deg", "flanks of 3/30 degrees"},
		{"S 60x9 4mm deep", "its own profile"},
		{"Tr 40x6", "Tr 40x7 has"},
		{"11/4-16 UN", `"11/4" is no size in inches`},
		{"G 2/4", `"2/4" is no size in inches`},
		{"1/2 BSP", `"G 1/2", "R 1/2", "Rc 1/2"`},
		{"BSP", "parallel (G) or taper"},
		{"IPS 1/2", `"1/2-14 NPT", "1/2-14 NPSM"`},
		{"3/4 GHT", `"3/4-11.5 NH"`},
		{"DN 15", `"G 1/2", "R 1/2", "1/2-14 NPT"`},
		{"DN40", `"G 1 1/2"`},
		{"1 1/2 tubular", `"1 1/2-11.5 NPSM"`},
		{"1-1/2 slip joint", `"1 1/2-11.5 NPSM"`},
		{"32 mm tube", `"G 1 1/4"`},
		{"1 1/2 PVC", "44.4mm x 12tpi"},
		{"M24x1/14", "pitch in mm"},
		{"M24 1", `did you mean "M24x1"?`},
		{"female R 1/2", "R 1/2 is an external thread"},
		{"M45x4(P1.5)", "times the pitch"},
	} {
		t.Run(c.text, func(t *testing.T) {
			_, err := Parse(c.text)
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.says)
		})
	}
}

// classesOf are classes to write on a thread of each series.
var classesOf = map[string][]string{
	"UN": {"", "1A", "2A", "3A", "1B", "2B", "3B"},
	"M":  {"", "6g", "6h", "6e", "4h", "5g6g", "8g", "6H", "5H", "6G", "7H"},
	"G":  {"", "A", "B"},
}

// Parse of every normal form gives the thread whose normal form it is: all tabulated threads, classes, starts and hands.
func TestNormalFormsAreFixedPoints(t *testing.T) {
	count := 0
	for i, listed := range All() {
		series := listed.Series
		if strings.HasPrefix(series, "UN") {
			series = "UN"
		}
		classes := classesOf[series]
		if classes == nil {
			classes = []string{""}
		}
		class := classes[i%len(classes)]
		for _, words := range []string{"", " LH", " 2start", " 6start LH"} {
			if listed.Hand == Left && words != "" {
				continue // a row that is left-hand itself
			}
			text := listed.Designation + words
			if class != "" {
				separator := "-"
				if series == "G" {
					separator = " "
				}
				text = listed.Designation + separator + class + words
			}
			first, err := Parse(text)
			if err != nil && strings.Contains(words, "start") && series != "UN" && series != "M" {
				continue // pipe and hose threads have one start
			}
			require.NoError(t, err, text)
			require.Equal(t, text, first.Designation)
			require.Equal(t, class, first.Class, text)
			second, err := Parse(first.Designation)
			require.NoError(t, err, text)
			require.Equal(t, first, second)
			if words == "" && class == "" {
				require.Equal(t, listed, first, "the table's thread and the parsed one")
			}
			count++
		}
	}
	assert.Greater(t, count, 3000)
}

// However a Unified thread is written, it is the same thread.
func TestSloppyWritingMeansTheSame(t *testing.T) {
	rows := Unified{}.Threads()
	samples := 0
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SampledFrom(rows).Draw(t, "thread")
		size, rest, _ := strings.Cut(want.Designation, "-")
		perInch, series, _ := strings.Cut(rest, " ")
		if strings.HasPrefix(size, "#") {
			return
		}
		samples++
		sizes := []string{size, strings.Replace(size, " ", "-", 1), size + `"`, size + " in", unit.Short(want.Basic.Major.Inches()), unit.Short(want.Basic.Major.Inches()) + "in"}
		text := rapid.SampledFrom(sizes).Draw(t, "size") + rapid.SampledFrom([]string{"-", " - ", "–"}).Draw(t, "dash") + perInch +
			rapid.SampledFrom([]string{" " + series, series, " " + strings.ToLower(series), " UN", "-UNS", ""}).Draw(t, "series")
		got, err := Parse(text)
		if err != nil || got != want {
			t.Fatalf("Parse(%q) = %q, %v, want %q", text, got.Designation, err, want.Designation)
		}
	})
	require.Positive(t, samples)
}

// A free thread is what its designation says, whatever numbers it was given.
func TestFreeThreadsAreFixedPoints(t *testing.T) {
	samples := 0
	rapid.Check(t, func(t *rapid.T) {
		samples++
		d := rapid.Float64Range(4, 150).Draw(t, "diameter")
		p := rapid.Float64Range(0.35, d/8).Draw(t, "pitch")
		text := fmt.Sprintf("%.7fmm x %.7fmm", d, p)
		switch rapid.IntRange(0, 2).Draw(t, "system") {
		case 1:
			text = fmt.Sprintf("%.7fin x %.7ftpi", d/unit.MMPerInch, unit.MMPerInch/p)
		case 2:
			text = fmt.Sprintf("%.7fmm x %.7ftpi", d, unit.MMPerInch/p)
		}
		text += fmt.Sprintf(" %ddeg %dstart %s", rapid.IntRange(45, 90).Draw(t, "angle"), rapid.IntRange(1, MaxStarts).Draw(t, "starts"),
			rapid.SampledFrom([]string{"LH", "RH"}).Draw(t, "hand"))
		if p > 18 {
			return
		}
		first, err := Parse(text)
		if err != nil {
			t.Fatalf("Parse(%q): %v", text, err)
		}
		const near = 1e-4 // mm: a designation's six decimals of an inch, or of a count on the coarsest pitch
		if got := first.Basic.Major.MM(); got < d-near || got > d+near {
			t.Fatalf("Parse(%q): major %v, want %v", text, got, d)
		}
		if got := first.Pitch.MM(); got < p-near || got > p+near {
			t.Fatalf("Parse(%q): pitch %v, want %v", text, got, p)
		}
		second, err := Parse(first.Designation)
		if err != nil || first != second {
			t.Fatalf("Parse(%q) = %+v, %v, want %+v", first.Designation, second, err, first)
		}
	})
	require.Positive(t, samples)
}

// Whatever is struck, doubled or swapped in a thread's name, what is read is never another thread: each number of the
// text is one that the thread goes by, and each that tells it from others is in the text or follows from its series.
func TestMisspeltNamesAreNeverAnotherThread(t *testing.T) {
	all := All()
	numbers := regexp.MustCompile(`\d+(?:[.,]\d+)?`)
	read, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SampledFrom(all).Draw(t, "thread")
		text := []rune(want.Designation)
		at := rapid.IntRange(0, len(text)-1).Draw(t, "at")
		other := []rune(" x-/.,()P1M")[rapid.IntRange(0, 10).Draw(t, "other")]
		switch rapid.IntRange(0, 3).Draw(t, "slip") {
		case 0:
			text = slices.Delete(text, at, at+1)
		case 1:
			text[at] = other
		case 2:
			text = slices.Insert(text, at, other)
		case 3:
			if at+1 < len(text) {
				text[at], text[at+1] = text[at+1], text[at]
			}
		}
		got, err := Parse(string(text))
		if err != nil {
			refused++
			return
		}
		read++
		have := map[string]bool{}
		// A space within a figure, "2 .6" or "13. 5", makes no second one.
		for _, x := range numbers.FindAllString(spaceInFigure.ReplaceAllString(unit.Plain(string(text)), "$1$2$3"), -1) {
			have[plainFigure(x)] = true
		}
		goesBy := map[string]bool{unit.Short(float64(got.Starts)): true, unit.Short(rounded(got.Lead().MM())): true, unit.Short(rounded(got.Pitch.MM())): true}
		for _, x := range append(numbers.FindAllString(got.Designation, -1), numbers.FindAllString(unit.Short(rounded(unit.MMPerInch/got.Pitch.MM())), -1)...) {
			goesBy[plainFigure(x)] = true
		}
		for x := range have {
			if !goesBy[x] && !sameSize(string(text), got) && !strings.HasPrefix(got.Designation, "#") {
				t.Fatalf("Parse(%q), from %q, is %q: %s was written", string(text), want.Designation, got.Designation, x)
			}
		}
		for _, x := range numbers.FindAllString(got.Designation, -1) {
			if have[plainFigure(x)] {
				continue
			}
			// A number that was not written is the pitch that the series has for the size, or the same size as a fraction.
			pitch := plainFigure(x) == unit.Short(rounded(got.Pitch.MM())) || plainFigure(x) == unit.Short(rounded(unit.MMPerInch/got.Pitch.MM()))
			if !pitch && !sameSize(string(text), got) && !strings.HasPrefix(got.Designation, "#") { // 1/8 in is #5
				t.Fatalf("Parse(%q), from %q, is %q: %s was not written", string(text), want.Designation, got.Designation, x)
			}
		}
	})
	require.Positive(t, read)
	require.Positive(t, refused)
}

var spaceInFigure = regexp.MustCompile(`(\d)\s*([.,])\s*(\d)`)

// plainFigure is a figure without needless zeros.
func plainFigure(text string) string {
	x, err := unit.ParseNumber(text)
	if err != nil {
		return text
	}
	return unit.Short(x)
}

// sameSize says whether text begins with, or has behind its word, a number that is the size of got.
func sameSize(text string, got Thread) bool {
	for _, m := range regexp.MustCompile(sizePattern).FindAllString(unit.Plain(text), -1) {
		x, err := unit.ParseNumber(m)
		if err != nil {
			continue
		}
		for _, size := range regexp.MustCompile(sizePattern).FindAllString(got.Designation, -1) {
			if y, err := unit.ParseNumber(size); err == nil && nearly(x, y) {
				return true
			}
		}
	}
	return false
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{
		"1 3/4-12 UN-2A LH", "G1-1/2 A", "R 1/2", "1/2-14 NPT", "M45x1.5-6g", "M16xPh3P1.5", "44.4mm x 12tpi", "48.2mm x 2.309mm 55deg",
		"1.9in x 16tpi 2start", "#10-24", "1¾-12", "x", "M", "-", "1/0-12", "1e9-12 UN", "99999999999999999999-1 UN", "1in x 1e-9mm",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		first, err := Parse(s)
		if err != nil {
			if err.Error() == "" {
				t.Fatal("an error says nothing")
			}
			return
		}
		b := first.Basic
		if !(b.Major > b.Pitch && b.Pitch > b.Minor && b.Minor > 0 && first.Pitch > 0 && first.Starts >= 1 && first.Starts <= MaxStarts) {
			t.Fatalf("Parse(%q) = %+v", s, first)
		}
		second, err := Parse(first.Designation)
		if err != nil || first != second {
			t.Fatalf("Parse(%q) = %q, which reads back as %+v, %v", s, first.Designation, second, err)
		}
	})
}
