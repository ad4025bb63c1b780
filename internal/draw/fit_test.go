package draw

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/check"
	"tryring/internal/fit"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// couple is a pair of threads by name.
type couple struct {
	name, external, internal string
	options                  fit.Options
}

var couples = []couple{
	{"goes", "1 3/4-12 UN-2A", "1 3/4-12 UN-2B", fit.Options{}},
	{"goes at most material", "M45x1.5-6g", "M45x1.5-6H", fit.Options{External: fit.Side{At: fit.MaxMaterial}, Internal: fit.Side{At: fit.MaxMaterial}}},
	{"pipe round", "G 1 1/2 A", "G 1 1/2", fit.Options{}},
	{"pitch 11.5 in 14", "1 7/8-11.5 UNS", "1 7/8-14 UNS", fit.Options{}},
	{"pitch 14 in 11.5", "1 7/8-14 UNS", "1 7/8-11.5 UNS", fit.Options{}},
	{"pitch 11.5 in 11", "1 1/2-11.5 NPSM", "G 1 1/2", fit.Options{}},
	{"pitch 11 in 11.5", "G 1 1/2", "1 1/2-11.5 NPSM", fit.Options{}},
	{"55 and 60 degrees", "1/2-14 NPSM", "G 1/2", fit.Options{}},
	{"60 and 55 degrees", "20mm x 1.5mm", "20.4mm x 1.5mm 55deg", fit.Options{}},
	{"taper", "1/2-14 NPT", "1/2-14 NPT", fit.Options{}},
	{"taper in straight", "R 1", "Rp 1", fit.Options{}},
	{"taper unlike", "3/4-14 NPT", "G 3/4", fit.Options{}},
	{"large taper", "2-11.5 NPT", "2-11.5 NPT", fit.Options{}},
	{"over size", "1.9in x 14tpi", "1 7/8-14 UNS", fit.Options{}},
	{"far over size", "2-14 UNS", "1 7/8-14 UNS", fit.Options{}},
	{"under size", "1.85in x 14tpi", "1 7/8-14 UNS", fit.Options{}},
	{"do not meet", "1 5/8-14 UNS", "1 7/8-14 UNS", fit.Options{}},
	{"far apart", "M6", "M120x2", fit.Options{}},
	{"far over", "M120x2", "M6", fit.Options{}},
	{"left in right", "1 3/4-12 UN LH", "1 3/4-12 UN", fit.Options{}},
	{"two starts", "1 3/4-12 UN 2start", "1 3/4-12 UN 2start", fit.Options{}},
	{"two starts in one", "1 3/4-12 UN 2start LH", "1 3/4-12 UN", fit.Options{}},
	{"no allowance", "1.75in x 14tpi", "1.75in x 14tpi", fit.Options{}},
	{"smallest", "M3x0.5-6g", "M3x0.5-6H", fit.Options{}},
	{"large coarse", "M120x6-6g", "M120x6-6H", fit.Options{}},
	{"metric in inch", "M10x1.25-6g", "3/8-20 UN", fit.Options{}},
	{"measured", "1 7/8-14 UNS", "1 7/8-14 UNS", fit.Options{External: fit.Side{Given: &thread.Diameters{Major: unit.Inches(1.86)}, U: 0.05}}},
	{"coarse in fine", "5.5mm x 1.25mm", "5.5mm x 0.5mm", fit.Options{}},
	{"slowly apart", "45mm x 1.51mm", "45.3mm x 1.5mm", fit.Options{}},
}

func (c couple) data(t require.TestingT) FitData {
	d := FitData{Options: c.options}
	var err error
	d.External, err = thread.BuiltIn().Parse(c.external)
	require.NoError(t, err)
	d.Internal, err = thread.BuiltIn().Parse(c.internal)
	require.NoError(t, err)
	d.Result, err = fit.Judge(d.External, d.Internal, d.Options)
	require.NoError(t, err)
	return d
}

func fitBytes(t testing.TB, d FitData) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, FitSection(&b, d, A4))
	return b.Bytes()
}

// fitClashes lists labels that overlap, leave the frame, stand in a window or are crossed by a line.
func fitClashes(t require.TestingT, d FitData, paper Paper) []string {
	f, err := newFitDrawing(d, paper)
	require.NoError(t, err)
	f.titleBlock()
	require.Greater(t, len(f.labels), 20)
	var found []string
	for i, a := range f.labels {
		if !a.box.within(f.frame) {
			found = append(found, fmt.Sprintf("label %q leaves the frame: %v", a.text, a.box))
		}
		for _, v := range f.views {
			if a.box.overlaps(box{v.left, f.top, v.right, f.bottom}) {
				found = append(found, fmt.Sprintf("label %q stands in a window", a.text))
			}
		}
		for _, b := range f.labels[:i] {
			if a.box.overlaps(b.box) {
				found = append(found, fmt.Sprintf("labels %q and %q overlap: %v, %v", a.text, b.text, a.box, b.box))
			}
		}
		for _, line := range f.strokes() {
			for k := 1; k < len(line); k++ {
				if a.box.crossedBy(line[k-1], line[k]) {
					found = append(found, fmt.Sprintf("label %q %v is crossed by the line from %v to %v", a.text, a.box, line[k-1], line[k]))
				}
			}
		}
	}
	return found
}

func TestFitLabelsKeepApart(t *testing.T) {
	for _, c := range append(couples, couple{name: "a third of the pitch", external: "12.5mm x 3mm", internal: "13.5mm x 1mm"}) {
		t.Run(c.name, func(t *testing.T) {
			d := c.data(t)
			keep(t, "fit "+c.name+".svg", fitBytes(t, d))
			for _, paper := range []Paper{A4, Letter} {
				assert.Empty(t, fitClashes(t, d, paper), paper.Name)
			}
		})
	}
}

// TestFitLabelsKeepApartOnAnyPair draws random pairs of 3 to 120 mm.
func TestFitLabelsKeepApartOnAnyPair(t *testing.T) {
	drawn := map[fit.Verdict]int{}
	rapid.Check(t, func(t *rapid.T) {
		d := math.Round(rapid.Float64Range(3, 120).Draw(t, "diameter")*100) / 100
		off := rapid.SampledFrom([]float64{0, 0.1, 0.2, 0.3, 1, -0.1, -1, 8}).Draw(t, "off")
		pitch := rapid.SampledFrom([]float64{0.5, 0.75, 1, 1.25, 1.5, 1.51, 2, 3, 6}).Filter(func(p float64) bool { return p < d/4 })
		tail := rapid.SampledFrom([]string{"", "", "", " 55deg", " 2start", " LH"})
		p := pitch.Draw(t, "pitch")
		q := p
		if rapid.Bool().Draw(t, "other pitch") {
			q = pitch.Draw(t, "internal pitch")
		}
		c := couple{external: fmt.Sprintf("%vmm x %vmm%s", d, p, tail.Draw(t, "external tail")), internal: fmt.Sprintf("%vmm x %vmm%s", d+off, q, tail.Draw(t, "internal tail"))}
		pair := c.data(t)
		drawn[pair.Result.Verdict]++
		if found := fitClashes(t, pair, rapid.SampledFrom([]Paper{A4, Letter}).Draw(t, "paper")); len(found) > 0 {
			t.Fatalf("%s in %s: %s", c.external, c.internal, strings.Join(found, "; "))
		}
	})
	assert.Greater(t, drawn[fit.Binds], 2, "pairs that bind")
	assert.Greater(t, drawn[fit.Goes]+drawn[fit.Loose]+drawn[fit.Snug], 2, "pairs that go")
}

// heightAt reads the height of a line at x.
func heightAt(line []at, x float64) float64 {
	for i := 1; i < len(line); i++ {
		if a, b := line[i-1], line[i]; a.X <= x && x <= b.X && b.X > a.X {
			return a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X)
		}
	}
	return math.NaN()
}

// extremes returns the highest and the lowest place of a line on the sheet.
func extremes(line []at) (high, low float64) {
	high, low = math.Inf(1), math.Inf(-1)
	for _, p := range line {
		high, low = math.Min(high, p.Y), math.Max(low, p.Y)
	}
	return high, low
}

// TestFitToScale reads the file back and compares the drawn gaps with the figures of the verdict.
func TestFitToScale(t *testing.T) {
	const toleranceMM = 0.003 // on the diameter of the part; the file rounds to 0.001 mm of the sheet, arcs to fitChordMM
	straight, played := 0, 0
	for _, c := range couples {
		t.Run(c.name, func(t *testing.T) {
			d := c.data(t)
			svg := fitBytes(t, d)
			drawn := readDrawing(t, svg)
			k := scaleOf(t, drawn.texts)
			if k < 2 || d.External.Taper > 0 || d.Internal.Taper > 0 || d.External.Hand != d.Internal.Hand || d.External.Starts != d.Internal.Starts {
				return // too coarse to measure, no single clearance, or not judged by the sizes drawn
			}
			straight++
			external, internal := drawn.paths["external"][0], drawn.paths["internal"][0]
			eTop, eBottom := extremes(external)
			iTop, iBottom := extremes(internal)
			assert.InDelta(t, d.Result.CrestClearance.MM(), 2*(eTop-iTop)/k, toleranceMM, "at the external crest")
			assert.InDelta(t, d.Result.RootClearance.MM(), 2*(eBottom-iBottom)/k, toleranceMM, "at the external root")
			ePitch, iPitch := drawn.paths["pitch external"][0], drawn.paths["pitch internal"][0]
			assert.InDelta(t, d.Result.PitchClearance.MM(), 2*(ePitch[0].Y-iPitch[0].Y)/k, toleranceMM, "at the pitch line")

			if d.Result.AxialPlay == nil || *d.Result.AxialPlay < 0.01 || d.External.Pitch != d.Internal.Pitch ||
				d.Result.CrestClearance < 0 || d.Result.RootClearance < 0 {
				return
			}
			played++
			// The external line slides outward by the play and no farther, and not inward at all.
			least := func(by float64) float64 {
				gap := math.Inf(1)
				for _, p := range external {
					if y := heightAt(internal, p.X+by); !math.IsNaN(y) {
						gap = math.Min(gap, p.Y-y)
					}
				}
				for _, p := range internal {
					if y := heightAt(external, p.X-by); !math.IsNaN(y) {
						gap = math.Min(gap, y-p.Y)
					}
				}
				return gap / k
			}
			play := d.Result.AxialPlay.MM() * k
			assert.InDelta(t, 0, least(0), toleranceMM, "it rests on one flank")
			assert.InDelta(t, 0, least(-play), toleranceMM, "moved by the play it rests on the other")
			assert.Greater(t, least(-play/2), toleranceMM, "half way it is free")
			assert.Less(t, least(-1.2*play), -toleranceMM, "moved farther it overlaps")
			assert.Less(t, least(0.2*play), -toleranceMM, "moved inward it overlaps")
		})
	}
	assert.Greater(t, straight, 15, "pairs measured")
	assert.Greater(t, played, 4, "plays measured")
}

// TestFitOverlapStartsWhereItBinds holds the drawn overlap against the turns of the verdict.
func TestFitOverlapStartsWhereItBinds(t *testing.T) {
	bound, free := 0, 0
	for _, c := range couples {
		t.Run(c.name, func(t *testing.T) {
			d := c.data(t)
			f, err := newFitDrawing(d, A4)
			require.NoError(t, err)
			first := math.Inf(1)
			for _, v := range f.views {
				for _, p := range v.places {
					if p.gap() < -2*fitChordMM {
						first = math.Min(first, p.z)
					}
				}
			}
			black := len(readDrawing(t, fitBytes(t, d)).paths["overlap"])
			switch {
			case d.Result.Verdict.Usable() || d.Result.Verdict == fit.Loose:
				assert.True(t, math.IsInf(first, 1), "overlap at %v mm of a pair that goes", first)
				free++
			case d.External.Hand != d.Internal.Hand || d.External.Starts != d.Internal.Starts || d.External.Taper+d.Internal.Taper > 0:
			default:
				require.NotNil(t, d.Result.Turns)
				assert.Positive(t, black)
				at := *d.Result.Turns * d.Internal.Lead().MM()
				if d.Result.RootClearance >= 0 && d.Result.CrestClearance >= 0 {
					assert.GreaterOrEqual(t, first, at-0.01, "no flank overlaps before it binds")
				}
				// Another section meets within a pitch, later by what a flank is away from there.
				assert.LessOrEqual(t, first, at+2*math.Max(d.Internal.Pitch.MM(), d.External.Pitch.MM()))
				bound++
			}
		})
	}
	assert.Greater(t, bound, 5)
	assert.Greater(t, free, 8)
}

// TestFitPointsAtTheFlankThatBinds: where the pitches use the play up, the arrow stands on a flank that overlaps, off crest
// and root.
func TestFitPointsAtTheFlankThatBinds(t *testing.T) {
	pointed := 0
	for _, c := range couples {
		t.Run(c.name, func(t *testing.T) {
			f, err := newFitDrawing(c.data(t), A4)
			require.NoError(t, err)
			l := f.lies
			if !l.binds() || l.RidgesFree <= 0 {
				return // crest or root may meet first
			}
			notes := f.touchNotes()
			require.Len(t, notes, 1)
			p := l.closest(l.binding())
			assert.InDelta(t, f.y((p.external+p.internal)/2), notes[0].target.Y, 1e-9)
			assert.Less(t, p.gap(), 0.0, "it overlaps there")
			assert.Greater(t, p.external, l.External.MinorMM/2+depth(l.External)/10, "off the external root")
			assert.Less(t, p.internal, l.Internal.MajorMM/2-depth(l.Internal)/10, "off the internal root")
			pointed++
		})
	}
	assert.Greater(t, pointed, 2)
}

func TestFitSheetSaysAll(t *testing.T) {
	for _, c := range couples {
		t.Run(c.name, func(t *testing.T) {
			d := c.data(t)
			svg := fitBytes(t, d)
			assert.Equal(t, svg, fitBytes(t, d), "the same pair must give the same bytes")
			read := readDrawing(t, svg)
			squeeze := func(s string) string { return strings.ReplaceAll(s, " ", "") }
			all := squeeze(strings.Join(read.texts, ""))
			for _, want := range []string{
				d.External.Designation, d.Internal.Designation, string(d.Result.Verdict), d.Result.Why[1:], check.Caution,
				"clearance", "overlap", "internal thread", "external thread",
			} {
				assert.Contains(t, all, squeeze(want))
			}
			for _, size := range read.sizes {
				assert.GreaterOrEqual(t, size*capHeight, 2.5, "capitals must be at least 2.5 mm high")
			}
			var b bytes.Buffer
			require.NoError(t, FitView(&b, d))
			assert.NotContains(t, b.String(), check.Caution)
			assert.NotEmpty(t, readDrawing(t, b.Bytes()).paths["external"], "a view is a drawing too")
		})
	}
}

// TestFitOfTapersTellsWhatIsDrawn: hand-tight tapers of one kind have no gap left, though they had one at the face.
func TestFitOfTapersTellsWhatIsDrawn(t *testing.T) {
	d := couple{external: "1/2-14 NPT", internal: "1/2-14 NPT"}.data(t)
	assert.Greater(t, d.Result.PitchClearance.MM(), 0.4)
	all := strings.Join(readDrawing(t, fitBytes(t, d)).texts, " ")
	assert.Equal(t, 3, strings.Count(all, "⌀ 0.000"), all)
	assert.Contains(t, all, "Wedges here")
}

func TestFitEscapesNames(t *testing.T) {
	d := couples[0].data(t)
	d.External.Designation = `<b>"&`
	assert.Contains(t, strings.Join(readDrawing(t, fitBytes(t, d)).texts, " "), `<b>"&`)
}

func TestFitRefusesWhatCannotBe(t *testing.T) {
	d := couples[0].data(t)
	d.Options.External.Given = &thread.Diameters{Major: 10, Pitch: 11}
	assert.ErrorContains(t, FitSection(io.Discard, d, A4), "external thread")
	assert.ErrorContains(t, FitView(io.Discard, FitData{}), "fit drawing")
}
