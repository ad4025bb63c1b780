package draw

// This file lays the fit drawing out on its sheet: both threads over one another, enlarged.

import (
	"fmt"
	"io"
	"math"

	"tryring/internal/check"
	"tryring/internal/fit"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// FitData is what a fit drawing shows: two threads and how they go together, as fit.Judge said with the same options.
type FitData struct {
	External, Internal thread.Thread
	Options            fit.Options
	Result             fit.Result
}

const (
	// fitAbove and fitBelow are the rows over and under the windows: two dimensions; one dimension, the captions, the legend.
	fitAbove, fitBelow = 2*rowMM + 5, rowMM + 18
	// fitBody is the material shown behind the roots, fitApart the gap between two windows, pitchEnd how far pitch lines
	// pass the windows.
	fitBody, fitApart, pitchEnd = 9.0, 10.0, 4.0
	// fitNarrow is the least width of the windows: of very large gaps more turns are shown.
	fitNarrow = 50.0
)

// fitLeft and fitRight bound the windows; right of them is room for the words of a dimension and the pitch lines' ends.
func (f *fitDrawing) fitLeft() float64  { return f.field.X0 + 57.5 }
func (f *fitDrawing) fitRight() float64 { return f.field.X1 - 69.5 }

// fitDrawing is a fit drawing in the making.
type fitDrawing struct {
	sheet
	data  FitData
	lies  lying
	scale scale
	views []fitView
	// low and high are the radii shown, top and bottom their places on the sheet.
	low, high, top, bottom float64
}

// fitView is a window with its place on the sheet and what is in it.
type fitView struct {
	window
	left, right float64
	places      []place
}

// FitSection draws both threads in their axial section, enlarged, one over the other: clearance grey, overlap black, the
// place that touches first, clearances, axial play and pitches, and the verdict with its reason. One sheet, to scale, the
// same bytes for the same input.
func FitSection(w io.Writer, d FitData, paper Paper) error {
	f, err := newFitDrawing(d, paper)
	if err != nil {
		return err
	}
	f.border()
	f.titleBlock()
	return f.write(w, f.whole(), f.title(), fmt.Sprintf("%s. Scale %s. %s", d.Result.Why, f.scale.name, check.Caution))
}

// FitView writes the same without frame, verdict and caution, for a page that tells them.
func FitView(w io.Writer, d FitData) error {
	f, err := newFitDrawing(d, A4)
	if err != nil {
		return err
	}
	return f.write(w, box{f.frame.X0, f.field.Y0 - 2, f.frame.X1, f.field.Y1 + 2}, f.title(), d.Result.Why)
}

func (f *fitDrawing) title() string {
	return fmt.Sprintf("%s in %s: %s", f.data.External.Designation, f.data.Internal.Designation, f.data.Result.Verdict)
}

// newFitDrawing lays out all but frame and title block.
func newFitDrawing(d FitData, paper Paper) (*fitDrawing, error) {
	l, err := fit.LieOf(d.External, d.Internal, d.Options)
	if err != nil {
		return nil, fmt.Errorf("fit drawing: %w", err)
	}
	f := &fitDrawing{sheet: newSheet(paper.Lying()), data: d, lies: lying{Lie: l}}
	f.layOut()
	for _, v := range f.views {
		f.view(v)
	}
	f.dimensions()
	f.legend()
	f.notes()
	return f, nil
}

// layOut chooses windows and scale and places them.
func (f *fitDrawing) layOut() {
	shown := f.lies.windows()
	wide, deep := 0.0, 0.0
	measure := func() {
		wide, f.low, f.high = 0, math.Inf(1), 0
		for _, w := range shown {
			wide += w.to - w.from
			for _, p := range f.lies.over(w.from, w.to) {
				f.low, f.high = math.Min(f.low, math.Min(p.external, p.internal)), math.Max(f.high, math.Max(p.external, p.internal))
			}
		}
		deep = f.high - f.low
	}
	measure()
	room := f.fitRight() - f.fitLeft() - float64(len(shown)-1)*fitApart
	tall := f.field.Y1 - f.field.Y0 - fitAbove - fitBelow
	f.scale = fittingScale(math.Inf(1), wide, deep, room, tall-2*fitBody)
	k := f.scale.factor
	if len(shown) == 1 && wide*k < fitNarrow {
		shown[0].to = math.Ceil(fitNarrow/(k*f.lies.Internal.PitchMM)) * f.lies.Internal.PitchMM
		measure()
	}
	f.low, f.high = math.Max(0, f.low-fitBody/k), f.high+fitBody/k
	spare := tall - (f.high-f.low)*k
	f.top = f.field.Y0 + fitAbove + spare/2
	f.bottom = f.top + (f.high-f.low)*k
	left := f.fitLeft() + (room-wide*k)/2
	for _, w := range shown {
		right := left + (w.to-w.from)*k
		f.views = append(f.views, fitView{w, left, right, f.lies.over(w.from, w.to)})
		left = right + fitApart
	}
}

func (f *fitDrawing) y(r float64) float64 { return f.bottom - float64((r-f.low)*f.scale.factor) }

// x is the place of z in view v.
func (f *fitDrawing) x(v fitView, z float64) float64 {
	return v.left + float64((z-v.from)*f.scale.factor)
}

// view draws one window: both materials hatched in opposite directions, the gaps, the overlaps, the profiles.
func (f *fitDrawing) view(v fitView) {
	var external, internal []at
	for _, p := range v.places {
		external = append(external, at{f.x(v, p.z), f.y(p.external)})
		internal = append(internal, at{f.x(v, p.z), f.y(p.internal)})
	}
	below := append(external[:len(external):len(external)], at{v.right, f.bottom}, at{v.left, f.bottom})
	above := append(internal[:len(internal):len(internal)], at{v.right, f.top}, at{v.left, f.top})
	clear, overlap := regions(v.places)
	f.regions("clearance", clearGrey, v, clear)
	f.many("hatch external", lightLine, hatch(below, rightward))
	f.many("hatch internal", lightLine, hatch(above, leftward))
	f.regions("overlap", black, v, overlap)
	f.open("break", thin, at{v.left, f.top}, at{v.right, f.top})
	f.open("break", thin, at{v.left, f.bottom}, at{v.right, f.bottom})
	f.open("external", flankLine, external...)
	f.open("internal", flankLine, internal...)
	f.pitchLines(v)
}

// regions fills stretches between both surfaces.
func (f *fitDrawing) regions(class, fill string, v fitView, all [][]place) {
	for _, region := range all {
		var line, back []at
		for i := range region {
			p, q := region[i], region[len(region)-1-i]
			line = append(line, at{f.x(v, p.z), f.y(p.external)})
			back = append(back, at{f.x(v, q.z), f.y(q.internal)})
		}
		f.area(class, fill, append(line, back...)...)
	}
}

// pitchRadii are the radii of both pitch lines at z.
func (f *fitDrawing) pitchRadii(z float64) (external, internal float64) {
	e, i := f.lies.External, f.lies.Internal
	return e.PitchDMM/2 + e.Slope*(z-f.lies.DepthMM), i.PitchDMM/2 + i.Slope*z
}

// pitchLines draws both pitch lines: the external one dash-dot, the internal one dash-dot-dot.
func (f *fitDrawing) pitchLines(v fitView) {
	past := pitchEnd / f.scale.factor
	from, to := v.from-past, v.to+past
	eFrom, iFrom := f.pitchRadii(from)
	eTo, iTo := f.pitchRadii(to)
	f.open("pitch external", pitchOuter, at{f.x(v, from), f.y(eFrom)}, at{f.x(v, to), f.y(eTo)})
	f.open("pitch internal", pitchInner, at{f.x(v, from), f.y(iFrom)}, at{f.x(v, to), f.y(iTo)})
}

// dimensions draws the axial play over the first window, and the pitches over and under the last.
func (f *fitDrawing) dimensions() {
	v := f.views[len(f.views)-1]
	l := f.lies
	inside, outside := l.Internal.PitchMM, l.External.PitchMM
	mm, inch := pitchWords(f.data.Internal.Pitch)
	over := func(n float64) dim {
		a, b := l.groove(n), l.groove(n+1)
		return dim{a: f.x(v, a), b: f.x(v, b), line: f.top - rowMM + 3, mm: mm, inch: inch, fromA: f.y(l.internal(a)), fromB: f.y(l.internal(b))}
	}
	last := math.Floor((v.to-l.groove(0))/inside+sameMM) - 1
	// Words beside a narrow pitch must not stand where leaders leave the window.
	for _, end, _ := over(last).place(); end > v.right && l.groove(last-1) >= v.from; _, end, _ = over(last).place() {
		last--
	}
	f.across(over(last))
	a := l.ridge(math.Ceil((v.from - l.ridge(0)) / outside))
	b := a + outside
	mm, inch = pitchWords(f.data.External.Pitch)
	f.across(dim{a: f.x(v, a), b: f.x(v, b), line: f.bottom + rowMM - 3, mm: mm, inch: inch, fromA: f.y(l.external(a)), fromB: f.y(l.external(b))})
	if !f.plays() {
		return
	}
	// Moved by the play the ridge touches its other flank.
	away := l
	away.more = -l.FreeMM
	there := away.closest(0)
	a, b = there.z, there.z+l.FreeMM
	v = f.views[0]
	level := f.y(there.internal)
	mm, inch = gapWords(unit.MM(l.FreeMM))
	f.across(dim{
		a: f.x(v, a), b: f.x(v, b), line: f.top - 2*rowMM + 3, mm: "axial play " + mm, inch: inch, fromA: level, fromB: level,
	})
}

// plays reports whether there is one axial play to be drawn: where the pitches differ it changes from turn to turn.
func (f *fitDrawing) plays() bool {
	l := f.lies
	return l.Alike && !l.tapered() && l.FreeMM > sameMM && !math.IsInf(l.FreeMM, 1) && math.IsInf(l.RidgesFree, 1)
}

// pitchWords and gapWords print what needs a decimal more than other dimensions.
func pitchWords(l unit.Length) (mm, inch string) {
	return fmt.Sprintf("%.3f", l.MM()), inchText(l)
}

func gapWords(l unit.Length) (mm, inch string) {
	return fmt.Sprintf("%.3f", positive(l.MM(), 0.0005)), fmt.Sprintf("[%.4f\u00a0in]", positive(l.Inches(), 0.00005))
}

// legend tells the fills and, of two windows, where they are.
func (f *fitDrawing) legend() {
	if len(f.views) > 1 {
		row := f.bottom + rowMM + 8
		for i, v := range f.views {
			name := "from the face"
			if i > 0 {
				name = fmt.Sprintf("to %.1f turns in", v.to/f.lies.Internal.PitchMM/float64(f.lies.Starts))
			}
			f.text(at{(v.left + v.right) / 2, row}, name, style{size: textMM, anchor: "middle"})
		}
	}
	y := f.field.Y1 - 1
	x := (f.fitLeft()+f.fitRight())/2 - 34
	for _, key := range []struct{ fill, name string }{{clearGrey, "clearance"}, {black, "overlap"}} {
		f.marks = append(f.marks, mark{line: thin, fill: key.fill, runs: [][]at{box{x, y - 2.8, x + 7, y + 0.2}.corners()}, closed: true})
		f.text(at{x + 9, y}, key.name, plain)
		x += 40
	}
}
