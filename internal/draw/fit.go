package draw

// This file lays the fit drawing out on its sheet: both threads over one another from the mouth on, and what touches, enlarged.

import (
	"fmt"
	"io"
	"math"

	"tryring/internal/check"
	"tryring/internal/fit"
	"tryring/internal/thread"
)

// FitData is what a fit drawing shows: two threads and how they go together, as fit.Judge said with the same options.
type FitData struct {
	External, Internal thread.Thread
	Options            fit.Options
	Result             fit.Result
}

const (
	// stripBody is the material shown behind the roots, detailBody the same in the detail; stripDeep is how deep threads are drawn at
	// most, stripPast how many pitches are shown before the mouth and past the end.
	stripBody, detailBody, stripDeep, stripPast = 5.0, 8.0, 20.0, 0.8
	// stripAbove is the room over the strip, rulerHigh that of the ruler under it, rulerWords that of the words beside the ruler.
	stripAbove, rulerHigh, rulerWords = 7.0, 13.0, 40.0
	// detailHalf is half of what the detail shows, in pitches; detailAbove and detailBelow are the room of the axial play and of the
	// caption. pitchEnd is how far pitch lines pass the detail.
	detailHalf, detailAbove, detailBelow, pitchEnd = 0.65, 15.0, 7.0, 4.0
)

// fitDrawing is a fit drawing in the making.
type fitDrawing struct {
	sheet
	data FitData
	lies lying
	// meets is what meets first, if something does.
	meets meeting
	meet  bool
	// strip shows the whole engagement, detail what meets or, where nothing does, its middle.
	strip, detail fitView
	// turn is the frame of the turn that is drawn unrolled.
	turn box
	// angle is that of the external thread's hatching; the internal one's rises to the other side.
	angle float64
}

// fitView is a stretch of the axis with its place on the sheet and what is in it.
type fitView struct {
	scale
	from, to float64
	// low is the least radius shown.
	low float64
	box
	places []place
}

func (v fitView) x(z float64) float64 { return v.X0 + float64((z-v.from)*v.factor) }
func (v fitView) y(r float64) float64 { return v.Y1 - float64((r-v.low)*v.factor) }

// FitSection draws both threads in their axial section over one another: a strip over the whole engagement with the turns from the
// mouth, and enlarged what meets first; threads of unlike hand or starts unrolled instead. One sheet, to scale, the same bytes for the
// same input.
func FitSection(w io.Writer, d FitData, p Paper) error {
	f, err := newFitDrawing(d, p)
	if err != nil {
		return err
	}
	f.border()
	f.titleBlock()
	f.number(1, 1)
	return f.write(w, f.whole(), f.title(), fmt.Sprintf("%s. Scale %s. %s", d.Result.Why, f.strip.name, check.Caution))
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
func newFitDrawing(d FitData, p Paper) (*fitDrawing, error) {
	l, err := fit.LieOf(d.External, d.Internal, d.Options)
	if err != nil {
		return nil, fmt.Errorf("fit drawing: %w", err)
	}
	f := &fitDrawing{sheet: newSheet(p.Lying()), data: d, lies: lay(l)}
	f.meets, f.meet = f.lies.meets(d.Result.Verdict)
	past := stripPast * f.pitch()
	f.strip = f.newView(-past, l.DepthMM+past, stripBody, stripDeep, box{f.field.X0 + rulerWords, f.field.Y0 + stripAbove, f.field.X1, 0})
	under := box{f.field.X0 + columnWidth + 8, f.strip.Y1 + rulerHigh + detailAbove, f.field.X1 - columnWidth - 8, f.field.Y1 - detailBelow}
	mid := l.DepthMM / 2
	if f.meet {
		mid = f.meets.z
	}
	half := detailHalf * f.pitch()
	f.detail = f.newView(mid-half, mid+half, detailBody, under.Y1-under.Y0-2*detailBody, under)
	f.angle = hatchAngle(f.strip.faces(f.lies))
	f.view(f.strip)
	f.ruler()
	if l.Alike {
		f.view(f.detail)
		f.pitchLines()
		f.enlarged()
	} else {
		f.unrolled(under)
	}
	f.notes()
	return f, nil
}

// pitch is the coarser one.
func (f *fitDrawing) pitch() float64 {
	return math.Max(f.lies.Internal.PitchMM, f.lies.External.PitchMM)
}

// newView shows a stretch of the axis in the middle of a room, as large as its scale lets it be; the threads are at most deep on the
// sheet. Of a room without height the upper edge is taken.
func (f *fitDrawing) newView(from, to, body, deep float64, room box) fitView {
	v := fitView{from: from, to: to, low: math.Inf(1), places: f.lies.over(from, to)}
	high := 0.0
	for _, p := range v.places {
		v.low, high = math.Min(v.low, math.Min(p.external, p.internal)), math.Max(high, math.Max(p.external, p.internal))
	}
	v.scale = fittingScale(math.Inf(1), to-from, high-v.low, room.X1-room.X0, deep)
	v.low = math.Max(0, v.low-body/v.factor)
	wide, tall := (to-from)*v.factor, (high-v.low)*v.factor+body
	left, top := (room.X0+room.X1-wide)/2, math.Max(room.Y0, (room.Y0+room.Y1-tall)/2)
	v.box = box{left, top, left + wide, top + tall}
	return v
}

// faces are the sections of the external and of the internal thread in the view: the one ends with the engagement, the other begins at
// the mouth. Surfaces come first, the material behind them last.
func (v fitView) faces(l lying) (external, internal []at) {
	for _, p := range v.places {
		if p.z <= l.DepthMM+sameMM {
			external = append(external, at{v.x(p.z), v.y(p.external)})
		}
		if p.z >= -sameMM {
			internal = append(internal, at{v.x(p.z), v.y(p.internal)})
		}
	}
	return external, internal
}

// view draws both materials hatched in opposite directions, the overlaps, and both profiles over them.
func (f *fitDrawing) view(v fitView) {
	external, internal := v.faces(f.lies)
	for _, run := range overlaps(v.places) {
		var line, back []at
		for i := range run {
			p, q := run[i], run[len(run)-1-i]
			if p.z >= -sameMM && p.z <= f.lies.DepthMM+sameMM {
				line = append(line, at{v.x(p.z), v.y(p.external)})
			}
			if q.z >= -sameMM && q.z <= f.lies.DepthMM+sameMM {
				back = append(back, at{v.x(q.z), v.y(q.internal)})
			}
		}
		if len(line) > 1 {
			face := append(line, back...)
			f.area("overlap", overlapGrey, face...)
			f.many("overlap hatch", lightLine, hatch(face, 90, overlapMM))
		}
	}
	for _, t := range []struct {
		class string
		line  []at
		back  float64
		angle float64
		ends  int // the index of the end that is a face, not a break
	}{{"external", external, v.Y1, f.angle, len(external) - 1}, {"internal", internal, v.Y0, -f.angle, 0}} {
		if len(t.line) < 2 {
			continue
		}
		first, last := t.line[0], t.line[len(t.line)-1]
		face := append(t.line[:len(t.line):len(t.line)], at{last.X, t.back}, at{first.X, t.back})
		f.many("hatch "+t.class, lightLine, hatch(face, t.angle, hatchMM))
		f.open("break", thin, at{first.X, t.back}, at{last.X, t.back})
		f.open(t.class, flankLine, t.line...)
		if end := t.line[t.ends]; end.X > v.X0+sameMM && end.X < v.X1-sameMM {
			f.open("face", wide, end, at{end.X, t.back})
		}
	}
}

// pitchRadii are the radii of both pitch lines at z.
func (f *fitDrawing) pitchRadii(z float64) (external, internal float64) {
	e, i := f.lies.External, f.lies.Internal
	return e.PitchDMM/2 + e.Slope*(z-f.lies.DepthMM), i.PitchDMM/2 + i.Slope*z
}

// pitchLines draws both pitch lines of the detail.
func (f *fitDrawing) pitchLines() {
	v := f.detail
	past := pitchEnd / v.factor
	from, to := v.from-past, v.to+past
	eFrom, iFrom := f.pitchRadii(from)
	eTo, iTo := f.pitchRadii(to)
	f.open("pitch external", pitchOuter, at{v.x(from), v.y(eFrom)}, at{v.x(to), v.y(eTo)})
	f.open("pitch internal", pitchInner, at{v.x(from), v.y(iFrom)}, at{v.x(to), v.y(iTo)})
}
