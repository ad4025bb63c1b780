package ring

// This file plans the body of a leaf: a handle with the labels, and an arm to the right of it, or one to each side, with toothed edges.

import (
	"math"
	"slices"

	v2 "github.com/deadsy/sdfx/vec/v2"

	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/unit"
)

// Leaf is a flat pitch gauge decided on. Its middle is the handle's, the arms run along x.
type Leaf struct {
	Slab
	Edges []LeafEdge
	// LengthMM and WidthMM are those of the whole, ArmMM is the length of an arm, AcrossMM the most across one.
	LengthMM, WidthMM, ArmMM, AcrossMM float64
}

// The sizes of a leaf, millimetres. All are common practice, no published source.
const (
	// coreMM is an arm between its teeth where there is room, leastCoreMM the least that does not bend.
	coreMM, leastCoreMM = 6.0, 2.0
	// handleLandMM is left free of teeth at the handle, tipLandMM at the tip, so that the teeth reach a shoulder or a bottom.
	handleLandMM, tipLandMM = 2.0, 0.6
	// borePlayMM is left around an arm in a bore, on the diameter.
	borePlayMM = 0.8
	// soleCrest is the most of a tooth's crest by which the lowest layer may be drawn back on each side.
	soleCrest = 0.4
)

// MostEdges is how many edges a leaf has.
const MostEdges = 4

var places = [MostEdges]string{"upper edge of the right arm", "lower edge of the right arm", "upper edge of the left arm", "lower edge of the left arm"}

// PlanLeaf lays edges out on a leaf, two to an arm. Where bore is not 0 the arms go into it. The lowest layer is drawn back by as much as
// the printer spreads it. Faults are laid to the bore, or to the printer whose bed is too small.
func PlanLeaf(edges []LeafEdge, bore unit.Length, p printer.Profile) (Leaf, error) {
	l := Leaf{Edges: slices.Clone(edges), Slab: Slab{ThicknessMM: leafThickness(p), SoleMM: p.Layer.MM()}}
	core, crest, most, arms := coreMM, math.Inf(1), 0.0, (len(edges)+1)/2
	for i := range l.Edges {
		e := &l.Edges[i]
		e.Left, e.Down, e.Place = i >= 2, i%2 == 1, places[i]
		l.ArmMM = math.Max(l.ArmMM, handleLandMM+e.SpanMM(e.Teeth)+tipLandMM)
		crest = math.Min(crest, e.ModelledMM/2-e.CrestMM*(math.Tan(e.NearRad)+math.Tan(e.FarRad)))
	}
	for arm := range arms {
		heights := 0.0
		for _, e := range l.Edges[2*arm : min(2*arm+2, len(l.Edges))] {
			heights += e.HeightMM()
		}
		most = math.Max(most, heights)
	}
	if bore > 0 { // the corners of the arm's section lie in it
		core = math.Min(core, math.Sqrt(math.Max(0, math.Pow(bore.MM()-borePlayMM, 2)-l.ThicknessMM*l.ThicknessMM))-most)
	}
	if core < leastCoreMM {
		return l, fault.At("thread", "", "a bore of %.2f mm is too narrow for an arm with these teeth", bore.MM())
	}
	l.AcrossMM = core + most
	half, err := l.engrave(p)
	if err != nil {
		return l, err
	}
	l.outline(core, half)
	l.LengthMM, l.WidthMM = 2*half.X+float64(arms)*l.ArmMM, math.Max(2*half.Y, l.AcrossMM)
	l.Sole = inset(l.Outline, math.Min(p.FirstLayerSpread.MM(), soleCrest*crest))
	if bed := math.Max(p.BedX.MM(), p.BedY.MM()) - 2*bedEdgeMM; l.LengthMM > bed {
		return l, fault.At("printer", p.Name, "a leaf for these threads is %.0f mm long, and its bed holds %.0f mm; name fewer threads", l.LengthMM, bed)
	}
	return l, nil
}

// engrave sets the labels on the handle, each beside its edge, with the caution between them, and returns half the handle's size.
func (l *Leaf) engrave(p printer.Profile) (half v2.Vec, err error) {
	pen := TopPen(p)
	caution, err := letters(Engraved, pen)
	if err != nil {
		return half, err
	}
	b := newTrayBuilder(pen, math.Min(pocketDepth(p), l.ThicknessMM/2))
	words := make([][]letter, len(l.Edges))
	wide := [2]float64{}
	for i, e := range l.Edges {
		if words[i], err = letters(e.Label, pen); err != nil {
			return half, err
		}
		wide[i/2] = math.Max(wide[i/2], width(words[i])+marginMM)
	}
	columns := wide[0] + wide[1]
	if wide[1] > 0 {
		columns += apart * pen.step()
	}
	row := pen.CapMM() + math.Max(pen.GapMM, marginMM) // labels are capitals and figures: nothing hangs below
	half = v2.Vec{X: math.Max(width(caution)/2+marginMM, (columns+marginMM)/2), Y: row + pen.CapMM()/2 + marginMM}
	base := -pen.CapMM() / 2
	b.words(caution, -width(caution)/2, base)
	for i, e := range l.Edges {
		x, y := half.X-marginMM-width(words[i]), base+row
		if e.Left {
			x = marginMM - half.X
		}
		if e.Down {
			y = base - row
		}
		b.words(words[i], x, y)
	}
	l.Pockets = b.tray.Pockets
	return half, nil
}

// outline draws the leaf counter-clockwise, a quarter of it after the other: a corner of the handle, and an edge of an arm, which is straight
// where it has no teeth.
func (l *Leaf) outline(core float64, half v2.Vec) {
	for _, q := range []struct{ left, down bool }{{false, true}, {false, false}, {true, false}, {true, true}} {
		c := Contour{{Y: half.Y}}
		if !q.left || len(l.Edges) > 2 {
			c = append(c, v2.Vec{Y: core / 2})
			for _, e := range l.Edges {
				if e.Left == q.left && e.Down == q.down {
					c = append(c, e.teeth(l.ArmMM-tipLandMM, core/2)...)
				}
			}
			c = append(c, v2.Vec{X: l.ArmMM, Y: core / 2})
		}
		for i := range c {
			if c[i].X += half.X; q.left {
				c[i].X = -c[i].X
			}
			if q.down {
				c[i].Y = -c[i].Y
			}
		}
		if q.left == q.down { // from the tip to the handle
			slices.Reverse(c)
		}
		l.Outline = append(l.Outline, c...)
	}
}

// teeth are the corners of the edge's teeth, the last of them ending at to, the gaps between them at the height base.
func (e LeafEdge) teeth(to, base float64) (c Contour) {
	near, far, quarter := math.Tan(e.NearRad), math.Tan(e.FarRad), e.ModelledMM/4
	for k := e.Teeth - 1; k >= 0; k-- {
		middle, top := to-quarter-e.RootMM*far-e.SpanMM(k), base+e.HeightMM()
		c = append(c, v2.Vec{X: middle - quarter - e.RootMM*near, Y: base}, v2.Vec{X: middle - quarter + e.CrestMM*near, Y: top},
			v2.Vec{X: middle + quarter - e.CrestMM*far, Y: top}, v2.Vec{X: middle + quarter + e.RootMM*far, Y: base})
	}
	return c
}

// inset moves every side of a counter-clockwise outline inward.
func inset(c Contour, by float64) Contour {
	out := make(Contour, len(c))
	inward := func(a, b v2.Vec) v2.Vec { d := b.Sub(a).Normalize(); return v2.Vec{X: -d.Y, Y: d.X} }
	for i, p := range c {
		m, n := inward(c[(i+len(c)-1)%len(c)], p), inward(p, c[(i+1)%len(c)])
		out[i] = p.Add(m.Add(n).MulScalar(by / (1 + m.Dot(n))))
	}
	return out
}
