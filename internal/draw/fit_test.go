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
		for _, v := range []box{f.strip.box, f.detail.box, f.turn} {
			if a.box.overlaps(v) && (f.lies.Alike || v != f.detail.box) {
				found = append(found, fmt.Sprintf("label %q stands in a view", a.text))
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
			eTop, eBottom := extremes(drawn.paths["external"][0])
			iTop, iBottom := extremes(drawn.paths["internal"][0])
			assert.InDelta(t, d.Result.CrestClearance.MM(), 2*(eTop-iTop)/k, toleranceMM, "at the external crest")
			assert.InDelta(t, d.Result.RootClearance.MM(), 2*(eBottom-iBottom)/k, toleranceMM, "at the external root")
			// The detail is the second drawn.
			k = scaleAfter(t, drawn.texts, "A  ")
			external, internal := drawn.paths["external"][1], drawn.paths["internal"][1]
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
			for _, p := range f.strip.places {
				if p.gap() < -2*fitChordMM && p.z >= 0 && p.z <= f.lies.DepthMM {
					first = math.Min(first, p.z)
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

// slowBinding finds by brute force, from the profiles that fit laid, how deep all flanks are free of overlap of more than off along the
// axis, in steps sections about the axis, for the best of all places of the external thread along it.
func slowBinding(l fit.Lie, steps int, off float64) (deepest float64) {
	const radii, places = 24, 81
	pi, pe := l.Internal.PitchMM, l.External.PitchMM
	low := math.Max(l.Internal.MinorMM, l.External.MinorMM) / 2
	high := math.Min(l.Internal.MajorMM, l.External.MajorMM) / 2
	width := func(p thread.Profile, side, r float64) float64 { // from the middle to where it has fallen to r
		z := 0.0
		for p.Rho(side*z) > r {
			z += p.PitchMM / 4000
		}
		return z
	}
	for place := range places {
		shift := 1.5 * l.FreeMM * (float64(place)/(places-1) - 0.5)
		first := l.DepthMM
		for _, side := range []float64{-1, 1} {
			for j := 1; j < radii; j++ {
				r := low + (high-low)*float64(j)/radii
				groove, ridge := width(l.Internal, side, r), width(l.External, side, r)
				for k := -steps; float64(k)*pi/float64(steps) < first+pi; k++ {
					turned := float64(k) / float64(steps)
					z := shift + turned*pe + side*ridge
					if z >= 0 && z < first && side*(turned*pi-shift-turned*pe)+groove-ridge < -off {
						first = z
					}
				}
			}
		}
		deepest = math.Max(deepest, first)
	}
	return deepest
}

// TestFitPointsAtTheFlankThatBinds holds the mark of where unlike pitches bind against fit's figures and against a slow sweep of both
// surfaces; arrow, circle and the mark on the ruler stand there.
func TestFitPointsAtTheFlankThatBinds(t *testing.T) {
	marked := 0
	for _, c := range append(couples,
		couple{name: "after many turns", external: "45mm x 1.52mm", internal: "45.3mm x 1.5mm"},
		couple{name: "the other way", external: "45mm x 1.5mm", internal: "45.3mm x 1.52mm"},
		couple{name: "two starts after some", external: "45mm x 1.52mm 2start", internal: "45.3mm x 1.5mm 2start"},
	) {
		d := c.data(t)
		f, err := newFitDrawing(d, A4)
		require.NoError(t, err)
		l := f.lies
		if !l.binds() || l.RidgesFree <= 0 {
			continue // crest or root may meet first
		}
		t.Run(c.name, func(t *testing.T) {
			require.True(t, f.meet)
			const steps, off = 100, 0.002
			pitch := l.Internal.PitchMM
			deep := *d.Result.Turns * d.Internal.Lead().MM()
			drift := math.Abs(d.Internal.Pitch.MM()-d.External.Pitch.MM()) / pitch
			assert.InDelta(t, slowBinding(l.Lie, steps, off), deep, 0.1*pitch+2*off/drift, "how deep it goes")
			assert.InDelta(t, deep, f.meets.z, pitch/20, "the flank that stands so deep is marked")
			assert.InDelta(t, 0, f.meets.gap(), 0.005, "the flanks touch there")
			if d.Result.RootClearance > 0 && d.Result.CrestClearance > 0 {
				for _, p := range l.over(0, math.Max(0, deep)) {
					assert.Greater(t, p.gap(), -0.003, "nothing overlaps before, at %v", p.z)
				}
			}
			tip := at{f.detail.x(f.meets.z), f.detail.y((f.meets.external + f.meets.internal) / 2)}
			assert.Contains(t, arrowTips(f.marks), tip)
			for _, m := range f.marks {
				switch m.class {
				case "detail":
					assert.InDelta(t, f.strip.x(f.meets.z), m.runs[0][0].X, 1e-9)
				case "tight":
					assert.InDelta(t, f.strip.x(deep), m.runs[0][0].X, 1e-9)
				}
			}
			marked++
		})
	}
	assert.Greater(t, marked, 4)
}

// arrowTips are the tips of all arrows.
func arrowTips(marks []mark) (tips []at) {
	for _, m := range marks {
		if m.class == "arrow" {
			tips = append(tips, m.runs[0][0])
		}
	}
	return tips
}

// TestFitArrowsStandInTheGapsTheyName reads the gaps back from the profiles that fit laid, at the arrows' tips.
func TestFitArrowsStandInTheGapsTheyName(t *testing.T) {
	read := 0
	for _, c := range couples {
		d := c.data(t)
		f, err := newFitDrawing(d, A4)
		require.NoError(t, err)
		l := f.lies
		if !l.Alike || l.tapered() || math.IsInf(l.FreeMM, 1) || d.Result.Verdict == fit.WillNotStart {
			continue
		}
		for _, n := range f.gapNotes() {
			if strings.Contains(n.lines[0], "pitch") {
				continue // between the pitch lines, beside the view
			}
			z := f.detail.from + (n.target.X-f.detail.X0)/f.detail.factor
			r := f.detail.low + (f.detail.Y1-n.target.Y)/f.detail.factor
			external := l.External.Rho(z - l.ShiftMM - l.phase*l.External.PitchMM)
			internal := l.Internal.Rho(z - l.phase*l.Internal.PitchMM)
			assert.InDelta(t, (external+internal)/2, r, 1e-6, "%s: midway between both", c.name)
			if e := r - l.External.PitchDMM/2; strings.Contains(strings.Join(n.lines, " "), "crest") {
				assert.Positive(t, e, "%s: over the pitch line", c.name)
			} else {
				assert.Negative(t, r-l.Internal.PitchDMM/2, "%s: under the pitch line", c.name)
			}
			read++
			assert.Contains(t, arrowTips(f.marks), n.target)
		}
	}
	assert.Greater(t, read, 15)
}

// TestFitShowsUnlikeThreadsUnlike: threads of unlike hand or starts are unrolled, and their lines cross; others are not.
func TestFitShowsUnlikeThreadsUnlike(t *testing.T) {
	shown := 0
	for _, c := range append(couples, couple{name: "three in one", external: "30mm x 2mm 3start", internal: "30mm x 2mm"}) {
		f, err := newFitDrawing(c.data(t), A4)
		require.NoError(t, err)
		lines := map[string][][]at{}
		overlap := 0
		for _, m := range f.marks {
			lines[m.class] = append(lines[m.class], m.runs[0])
			if m.class == "overlap" {
				overlap++
			}
		}
		if f.lies.Alike {
			assert.Empty(t, lines["unrolled external"], c.name)
			continue
		}
		for _, thread := range []struct {
			name string
			of   thread.Thread
		}{{"unrolled external", f.data.External}, {"unrolled internal", f.data.Internal}} {
			for _, down := range []float64{0.2, 0.8} {
				assert.Less(t, nearest(f.marks, f.onTurn(thread.of, down), thread.name), 1e-6, "%s: its leader ends on its line", c.name)
			}
		}
		slope := func(line []at) float64 { return (line[1].X - line[0].X) / (line[1].Y - line[0].Y) }
		e, i := slope(lines["unrolled external"][0]), slope(lines["unrolled internal"][0])
		assert.Equal(t, f.data.External.Hand == thread.Right, e > 0, "%s: downward a right-hand thread goes on to the right", c.name)
		assert.Equal(t, f.data.Internal.Hand == thread.Right, i > 0, c.name)
		assert.InDelta(t, f.data.External.Lead().MM()/f.data.Internal.Lead().MM(), math.Abs(e/i), 1e-9, c.name)
		crossings := 0
		for _, e := range lines["unrolled external"] {
			for _, i := range lines["unrolled internal"] {
				if segmentsCross(e[0], e[1], i[0], i[1]) {
					crossings++
				}
			}
		}
		assert.Greater(t, crossings, 2, c.name)
		assert.Greater(t, overlap, 2, "%s: its section must not look as if it went", c.name)
		shown++
	}
	assert.Greater(t, shown, 2)
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
				"internal, ", "external, ", "mouth at 0",
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
