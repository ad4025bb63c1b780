package draw

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
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

	"tryring/internal/combs"
	"tryring/internal/ring"
	"tryring/internal/thread"
)

// pageOf is what a part with a thread is laid on.
func pageOf(t require.TestingT, own thread.Thread, external bool) combs.Page {
	p, err := combs.Of(thread.BuiltIn(), external, !external, own)
	require.NoError(t, err)
	return p
}

// papersOf is the set of a plan, with what its threads could be taken for.
func papersOf(t require.TestingT, name string, p ring.Plan, paper Paper) PaperData {
	return PaperData{Name: name, Plan: p, Paper: paper, Goes: pageOf(t, p.Inner.Thread, true), Stays: pageOf(t, p.Outer.Thread, false)}
}

// tangles lists the words of an upright sheet that leave its frame, overlap, or are crossed by a line or covered by a face.
func tangles(s *sheet) (found []string) {
	strokes := s.strokes()
	for _, m := range s.marks {
		if m.fill == black {
			strokes = append(strokes, m.runs...)
		}
	}
	frame := box{s.frame.X0 - 0.3, s.frame.Y0 - 0.3, s.frame.X1 + 0.3, s.frame.Y1 + 0.3}
	for _, line := range strokes {
		for _, p := range line {
			if !(box{p.X, p.Y, p.X, p.Y}).within(frame) {
				found = append(found, fmt.Sprintf("a line leaves the frame: %v", p))
				break
			}
		}
	}
	for i, a := range s.labels {
		if !a.box.within(s.frame) {
			found = append(found, fmt.Sprintf("%q leaves the frame: %v", a.text, a.box))
		}
		for _, b := range s.labels[:i] {
			if a.box.overlaps(b.box) {
				found = append(found, fmt.Sprintf("%q and %q overlap: %v, %v", a.text, b.text, a.box, b.box))
			}
		}
		for _, line := range strokes {
			for k := 1; k < len(line); k++ {
				if a.box.crossedBy(line[k-1], line[k]) {
					found = append(found, fmt.Sprintf("%q %v is crossed by the line from %v to %v", a.text, a.box, line[k-1], line[k]))
				}
			}
		}
	}
	return found
}

func TestPapersKeepApart(t *testing.T) {
	for _, sm := range samples {
		t.Run(sm.name, func(t *testing.T) {
			for _, paper := range []Paper{A4, Letter} {
				d := papersOf(t, sm.name, sm.plan(t), paper)
				sheets, err := papers(d)
				require.NoError(t, err)
				require.GreaterOrEqual(t, len(sheets), 3)
				for i, s := range sheets[1:] {
					assert.Empty(t, tangles(s), "%s, sheet %d", paper.Name, i+2)
					require.Greater(t, len(s.labels), 3)
				}
				if os.Getenv("TRYRING_PICTURES") != "" {
					keep(t, sm.name+" "+paper.Name+".pdf", pdfOf(t, sheets...))
				}
			}
		})
	}
}

// TestLaySheetsKeepApart draws threads of the tables, one beside those like it or several together.
func TestLaySheetsKeepApart(t *testing.T) {
	all := thread.BuiltIn().All()
	circles := 0
	rapid.Check(t, func(t *rapid.T) {
		var threads []thread.Thread
		for range rapid.IntRange(1, 7).Draw(t, "threads") {
			threads = append(threads, rapid.SampledFrom(all).Draw(t, "thread"))
		}
		sides := rapid.SampledFrom([][2]bool{{true, true}, {true, false}, {false, true}}).Draw(t, "sides")
		page, err := combs.Of(thread.BuiltIn(), sides[0], sides[1], threads...)
		require.NoError(t, err)
		circles += len(page.Circles)
		for _, s := range laySheets(LayData{Paper: rapid.SampledFrom([]Paper{A4, Letter}).Draw(t, "paper"), Page: page, Threads: threads}) {
			if found := tangles(s); len(found) > 0 {
				t.Fatalf("%v: %s", page.Threads, strings.Join(found, "; "))
			}
		}
	})
	assert.Greater(t, circles, 100)
}

// TestPaperWordsAreTall: capitals of 2.5 mm at least (ISO 3098-1), by the typefaces that are in the file.
func TestPaperWordsAreTall(t *testing.T) {
	var capital [2]float64
	for i, ttf := range [][]byte{goregular.TTF, gobold.TTF} {
		face, err := sfnt.Parse(ttf)
		require.NoError(t, err)
		var buf sfnt.Buffer
		h, err := face.GlyphIndex(&buf, 'H')
		require.NoError(t, err)
		const em = 1000
		box, _, err := face.GlyphBounds(&buf, h, fixed.I(em), font.HintingNone)
		require.NoError(t, err)
		capital[i] = float64(box.Max.Y-box.Min.Y) / 64 / em
	}
	words := 0
	for _, sm := range samples {
		sheets, err := papers(papersOf(t, sm.name, sm.plan(t), Letter))
		require.NoError(t, err)
		for _, s := range sheets {
			for _, l := range s.labels {
				tall := capital[0]
				if l.bold {
					tall = capital[1]
				}
				require.GreaterOrEqual(t, l.size*tall, 2.5, l.text)
				words++
			}
		}
	}
	assert.Greater(t, words, 1000)
}

// TestPapersSayAll has another reader read the words of a set.
func TestPapersSayAll(t *testing.T) {
	for _, name := range []string{"drain", "tapers", "left many starts"} {
		var sm sample
		for _, one := range samples {
			if one.name == name {
				sm = one
			}
		}
		p := sm.plan(t)
		var b, again bytes.Buffer
		require.NoError(t, Papers(&b, papersOf(t, name, p, A4)))
		require.NoError(t, Papers(&again, papersOf(t, name, p, A4)))
		assert.Equal(t, b.Bytes(), again.Bytes(), "the same plan must give the same bytes")
		all := strings.Join(strings.Fields(string(poppler(t, b.Bytes(), "pdftotext", "-raw"))), " ")
		for _, want := range []string{
			p.Inner.Thread.Designation, p.Outer.Thread.Designation, "at the bench", "to lay on the parts", "100 mm", "4 in", "sheet 2 of",
			fmt.Sprintf("Outside: %.2f ± %.2f mm", p.Outer.Printed.Major.MM(), 2*p.Outer.Made.Plain.U.MM()),
			fmt.Sprintf("In the bore: %.2f ± %.2f mm", p.Inner.Printed.Minor.MM(), 2*p.Inner.Made.Plain.U.MM()),
			"Never force it with a tool", "TEST FIT ONLY. A printed ring is for test-fitting", "Does not start:",
		} {
			assert.Contains(t, all, want, name)
		}
		assert.Equal(t, p.Outer.Thread.Taper > 0, strings.Contains(all, "the lower end as drawn"), name)
	}
}

// raster is a part of a page as another reader renders it at 600 dpi.
type raster struct {
	image.Image
	left, top float64
}

const dotMM = 25.4 / 600

func rasterOf(t testing.TB, file []byte, part box) raster {
	t.Helper()
	dots := func(mm float64) string { return fmt.Sprint(int(math.Round(mm / dotMM))) }
	out := poppler(t, file, "pdftoppm", "-png", "-gray", "-singlefile", "-r", "600", "-x", dots(part.X0), "-y", dots(part.Y0), "-W", dots(part.X1-part.X0), "-H", dots(part.Y1-part.Y0))
	img, err := png.Decode(bytes.NewReader(out))
	require.NoError(t, err)
	return raster{img, part.X0, part.Y0}
}

// dark are the stretches of ink along a level line, each from its left to its right edge in mm, to a fraction of a dot by the greys
// of the dots at its ends.
func (r raster) dark(y float64) (stretches [][2]float64) {
	row := int((y - r.top) / dotMM)
	ink := func(x int) float64 {
		grey, _, _, _ := r.At(x, row).RGBA()
		return 1 - float64(grey)/0xffff
	}
	before := 0.0
	for x := range r.Bounds().Dx() {
		switch here := ink(x); {
		case here >= 0.5 && before < 0.5:
			stretches = append(stretches, [2]float64{r.left + (float64(x)+1-here-before)*dotMM, 0})
		case here < 0.5 && before >= 0.5:
			stretches[len(stretches)-1][1] = r.left + (float64(x)+here)*dotMM
		}
		before = ink(x)
	}
	return stretches
}

// TestLaySheetMeasuresTrue renders the page at 600 dpi by another reader, and measures its lines, combs and circles.
func TestLaySheetMeasuresTrue(t *testing.T) {
	page, err := combs.New([]combs.Candidate{{Thread: samples[6].plan(t).Outer.Thread}, {Thread: samples[7].plan(t).Inner.Thread}})
	require.NoError(t, err)
	for _, paper := range []Paper{A4, Letter} {
		d := LayData{Paper: paper, Page: page}
		var b bytes.Buffer
		require.NoError(t, LaySheet(&b, d))
		s := laySheets(d)[0]
		assert.Equal(t, box{20, 20, paper.WideMM - 20, paper.HighMM - 20}, s.frame, "a quiet border for marks to come")
		const toleranceMM = dotMM // to which that reader sets the ends of lines
		measured, teeth := map[string]int{}, mark{}
		for _, m := range s.marks {
			p := m.runs[0][0]
			switch m.class {
			case "check":
				q := m.runs[0][1]
				if q.X == p.X {
					continue // the upright one, which no level line measures
				}
				found := rasterOf(t, b.Bytes(), box{p.X - 2, p.Y - 1, q.X + 2, p.Y + 1}).dark(p.Y + 0.12) // under the ticks
				require.Len(t, found, 1)
				assert.InDelta(t, []float64{100, 101.6}[measured["check"]], found[0][1]-found[0][0], toleranceMM, paper.Name)
			case "comb":
				c := page.Combs[measured["comb"]]
				teeth = m
				last := m.runs[0][len(m.runs[0])-1].X
				level := p.Y - combBack - depth(c.Profile)/2
				found := rasterOf(t, b.Bytes(), box{p.X - 2, level - 1, last + 2, level + 1}).dark(level)
				require.Greater(t, len(found), 10)
				first, end := found[1], found[len(found)-2] // the others are cut
				middles := ((end[0] + end[1]) - (first[0] + first[1])) / 2
				assert.InDelta(t, float64(len(found)-3)*c.Profile.PitchMM, middles, toleranceMM, c.Pitch)
				assert.InDelta(t, p.X+c.Profile.PitchMM, (first[0]+first[1])/2, toleranceMM, "a crest at the beginning")
			case "cut":
				tips := 0
				for _, q := range teeth.runs[0] {
					require.Greater(t, q.Y, p.Y-1e-9)
					if q.Y < p.Y+1e-9 {
						tips++
					}
				}
				assert.Greater(t, tips, 10, "tips stand on the line to cut along")
			case "off":
				// 16 and 11 to the inch part by five crests an inch, by half of one over a tenth of it.
				assert.InDelta(t, 2.54, p.X-teeth.runs[0][0].X, 1e-9)
			case "outside", "bore":
				r := m.radius + 2
				across := rasterOf(t, b.Bytes(), box{p.X - r, p.Y - 6, p.X + r, p.Y - 4}).dark(p.Y - 5)
				require.Len(t, across, 2)
				c := page.Circles[measured["outside"]+measured["bore"]]
				inner, outer := across[1][0]-across[0][1], across[1][1]-across[0][0]
				diameter := func(chord float64) float64 { return 2 * math.Hypot(chord/2, 5) }
				if c.External {
					assert.InDelta(t, c.Diameter.MM(), diameter(inner), toleranceMM, "%s, the line's inner edge", c.Names)
				} else {
					assert.InDelta(t, c.Diameter.MM(), diameter(outer), toleranceMM, "%s, the line's outer edge", c.Names)
				}
			}
			measured[m.class]++
		}
		assert.Equal(t, []int{2, 2, 2, 2, 2}, []int{measured["check"], measured["comb"], measured["off"], measured["outside"], measured["bore"]})
	}
}
