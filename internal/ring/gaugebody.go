package ring

// This file builds the body of a gauge: a thread in a plain ring, or on a plain plug with a bore.

import (
	"fmt"
	"math"
	"strings"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// The sizes of a gauge's body, millimetres. All are common practice, no published source.
const (
	// collarMM is the plain length above the flange that fingers feel; the groove of a no-go gauge lies in it.
	collarMM = 3.2
	// grooveMM is the depth of that groove on a ring and the width of its floor on both.
	grooveMM = 0.8
	// lipMM is the collar beside the groove at least.
	lipMM = 0.4
	// gaugeWallMM is the wall of a gauge where there is room: stiff in the hand.
	gaugeWallMM = 3.0
	// longerTurns and longerMM say by how much the thread of a go gauge is longer than that of its no-go gauge at least.
	longerTurns = 2
	longerMM    = 3.0
	// goBodyMM and noGoBodyMM are the least lengths above the flange of a ring gauge.
	goBodyMM, noGoBodyMM = collarMM + longerMM, collarMM
	// coneShare is the axial part of the step from collar to thread, for one part across.
	coneShare = 0.5
)

// NewGauge decides on a gauge. Its errors name what was asked and what would be right; ErrTaperGauge is one.
func NewGauge(s GaugeSpec) (Gauge, error) {
	if err := s.Validate(); err != nil {
		return Gauge{}, err
	}
	return Gauge{GaugeSpec: s, Wanted: s.wantedDiameters(), Entry: entryOf(s.Thread)}.built()
}

// built decides on all that follows from the wanted diameters.
func (g Gauge) built() (Gauge, error) {
	g.Compensated = compensate(g.Thread, g.Kind.side(), g.Printer, g.Wanted)
	if err := g.tooCoarse(g.Thread, g.Printer); err != nil {
		return Gauge{}, err
	}
	if g.Limit != Steps {
		g.decideLength()
	}
	surface, err := g.surface()
	if err != nil {
		return Gauge{}, fmt.Errorf("%s: %w", g.Name(), err)
	}
	place := map[GaugeKind]func(Surface) error{RingGauge: g.ring, PlugGauge: g.plug}
	if g.Limit == Steps {
		place = map[GaugeKind]func(Surface) error{RingGauge: g.stepRing, PlugGauge: g.stepPlug}
	}
	if err := place[g.Kind](surface); err != nil {
		return Gauge{}, err
	}
	if err := g.engrave(); err != nil {
		return Gauge{}, fmt.Errorf("%s: %w", g.Name(), err)
	}
	if r := g.Shape.Flange.reach(); r > largestRadiusMM {
		return Gauge{}, fmt.Errorf("%s would be %.0f mm across; at most %.0f mm can be made", g.Name(), 2*r, 2*largestRadiusMM)
	}
	if g.Height.MM() > maxHeightMM {
		return Gauge{}, fmt.Errorf("%s would be %.0f mm tall; at most %d mm can be made", g.Name(), g.Height.MM(), maxHeightMM)
	}
	return g, nil
}

// Name says what the gauge is, in the words that are engraved: "GO RING 1/4-20 UNC-2A".
func (g Gauge) Name() string { return strings.Join(g.names(), " ") }

// names are what the gauge is and what it is for; of a ladder's pair, "GAP 0.20 RING" and "M20x2".
func (g Gauge) names() []string {
	if g.Gap != nil {
		return []string{fmt.Sprintf("GAP %.2f %s", g.Gap.MM(), strings.ToUpper(string(g.Kind))), g.Thread.Designation}
	}
	return []string{strings.ToUpper(string(g.Limit) + " " + string(g.Kind)), Judged(g.Thread, g.Class)}
}

// Judged names the parts that gauges of t at class judge: the designation with that class in the place of its own, if any.
// A class that is no word of a standard ("±0.1mm") stands by itself.
func Judged(t thread.Thread, class string) string {
	if strings.HasPrefix(class, plusMinus) {
		return t.WithClass("") + " " + class
	}
	return t.WithClass(class)
}

// plusMinus begins a range that was given in place of a class.
const plusMinus = "±"

// decideLength sets the length of full thread: the no-go gauge one turn more than it may enter, so that it is seen to go
// past them; the go gauge the whole length of engagement, and longer than its no-go gauge.
func (g *Gauge) decideLength() {
	noGo := unit.Length(g.Entry.Turns+1) * g.Thread.Lead()
	if g.Limit == NoGo {
		g.Length = noGo
		g.LengthWhy = fmt.Sprintf("%d turns: one more than the %d it may enter (%s)", g.Entry.Turns+1, g.Entry.Turns, g.Entry.Source)
		return
	}
	length, rule := g.Thread.Engagement()
	g.Length, g.LengthWhy = length, rule
	if longer := noGo + max(longerTurns*g.Thread.Lead(), longerMM); longer > length {
		g.Length = longer
		g.LengthWhy = rule + ", lengthened to be told from the no-go gauge by hand"
	}
}

// surface returns the gauge's thread without bounds. A full form keeps the round crests and roots of its standard; the
// cleared ones of a no-go gauge are flat.
func (g Gauge) surface() (Surface, error) {
	t := g.Thread
	section := t.Section(g.Modelled) // narrower upwards: a ring takes its part from below, a plug goes in from above
	if g.Limit != Go {
		section.RoundMajor, section.RoundMinor = false, false
	}
	profile, err := thread.NewProfile(section)
	if err != nil {
		return Surface{}, err
	}
	return Surface{Profile: profile, LeadMM: t.Lead().MM() * float64(t.Hand), Starts: t.Starts}, nil
}

// Plain returns a wall without thread whose radius is the line l.
func Plain(l Line, from, to float64) (Surface, error) {
	least := math.Inf(1)
	for _, k := range l {
		least = math.Min(least, k.R)
	}
	// The thread that a surface must have stays well inside the wall, where Lo hides it: half the radius, and shallow.
	pitch := to - from
	d := math.Min(least, pitch) / 10
	profile, err := thread.NewProfile(thread.Section{
		PitchMM: pitch, FlankRad: math.Pi / 4, MajorMM: least, PitchDMM: least - d, MinorMM: least - 2*d,
	})
	if err != nil {
		return Surface{}, fmt.Errorf("plain wall of radius %.3f mm: %w", least, err)
	}
	return Surface{Profile: profile, LeadMM: pitch, Starts: 1, Lo: l, Hi: l, From: from, To: to}, nil
}

// grooveOn is the depth of the groove on the collar of a plug whose thread is deep d: twice as deep, or where that is
// too much for a collar, less than half as deep, so that nobody, and no program that looks for ridges, takes it for a turn.
func grooveOn(d float64) float64 {
	const deepest = 2.4
	if 2*d <= deepest {
		return math.Max(grooveMM, 2*d)
	}
	return 0.42 * d
}

// grooveLong is how long a groove deep d is: the floor, a lower side that is steep, and an upper side that leans 45
// degrees, so that it prints.
func grooveLong(d float64) float64 { return grooveMM + (1+coneShare)*d }

// grooved is a cylinder of radius r from z on, with a groove deep d in the middle of its length long.
func grooved(r, d, z, long float64) Line {
	foot := z + (long-grooveLong(d))/2
	return Line{
		{Z: z, R: r},
		{Z: foot, R: r},
		{Z: foot + coneShare*d, R: r - d},
		{Z: foot + coneShare*d + grooveMM, R: r - d},
		{Z: foot + grooveLong(d), R: r},
	}
}

// ring sets the thread into a plain ring, open at both ends with a lead-in.
func (g *Gauge) ring(s Surface) error {
	c, full := chamfer(s), g.Length.MM()
	body := map[GaugeLimit]float64{Go: goBodyMM, NoGo: noGoBodyMM}[g.Limit]
	h := math.Ceil(math.Max(full+2*c, flangeMM+body)/roundUpMM-1e-9) * roundUpMM
	if g.Limit == Go {
		full = h - 2*c // a longer go gauge is the stricter one, and a thread that stops short looks like a no-go gauge
	}
	s.From, s.To = 0, h
	s.Lo = Line{
		s.knot(0, s.MajorRadius, -crestLeft), s.knot(c, s.MinorRadius, -crestLeft), s.knot(full+c, s.MinorRadius, -crestLeft),
	}
	bore := s.MajorRadius(0) + crestLeft*depth(s)
	if g.Limit == Go {
		s.Lo = append(s.Lo, s.knot(h, s.MajorRadius, -crestLeft))
	} else { // past its few turns the bore is wide
		s.Lo = append(s.Lo, s.knot(full+c+(1+2*crestLeft)*depth(s), s.MajorRadius, crestLeft))
	}
	wall := math.Max(gaugeWallMM, 2*g.Printer.MinWall.MM()+grooveMM)
	r := bore + wall
	line := Line{{Z: flangeMM, R: r}}
	g.Wall = unit.MM(wall)
	if g.Limit == NoGo {
		line = grooved(r, grooveMM, flangeMM, h-flangeMM)
		g.Wall -= grooveMM
	}
	return g.around(s, line, h, [2]float64{c, c + full})
}

// sturdy is the wall of a gauge where there is room.
func (g *Gauge) sturdy() float64 { return math.Max(gaugeWallMM, 2*g.Printer.MinWall.MM()) }

// around puts a plain wall around the thread of a ring.
func (g *Gauge) around(s Surface, line Line, h float64, full [2]float64) error {
	outer, err := Plain(line, flangeMM, h)
	if err == nil {
		g.finish(s, outer, h, full)
	}
	return err
}

// bored is the bore of a plug tall h, whose wall is thinnest at the radius least.
func (g *Gauge) bored(bore, least, h float64) (Surface, error) {
	wall := least - bore
	if wall < math.Max(leastWallMM, g.Printer.Nozzle.MM()) {
		return Surface{}, fmt.Errorf("%s: it would have %.2f mm of wall around a bore of %.0f mm, and this printer's line is %.2f mm wide; a plug gauge this small cannot be printed",
			g.Name(), wall, 2*smallestBoreMM, g.Printer.Nozzle.MM())
	}
	g.Wall = unit.MM(wall)
	return Plain(Line{{Z: 0, R: bore}}, 0, h)
}

// plug sets the thread onto a plain collar, and a bore through both.
func (g *Gauge) plug(s Surface) error {
	c, d := chamfer(s), depth(s)
	groove := grooveOn(d)
	collar := s.MajorRadius(0) + crestLeft*d + groove + lipMM
	foot := s.MinorRadius(0) - crestLeft*d
	long := math.Max(collarMM, grooveLong(groove)+2*lipMM)
	coneFrom := flangeMM + long
	coneTo := coneFrom + coneShare*(collar-foot)
	h := coneTo + g.Length.MM() + c
	bore := math.Max(s.MinorRadius(0)-g.sturdy(), smallestBoreMM)
	inner, err := g.bored(bore, foot, h)
	if err != nil {
		return err
	}
	g.Wall = unit.MM(s.MinorRadius(0) - bore)
	line := Line{{Z: flangeMM, R: collar}}
	if g.Limit == NoGo {
		line = grooved(collar, groove, flangeMM, long)
	}
	s.From, s.To = flangeMM, h
	s.Lo = append(line, thread.Knot{Z: coneFrom, R: collar}, thread.Knot{Z: coneTo, R: foot})
	s.Hi = Line{
		{Z: coneFrom, R: collar + cutMM},
		s.knot(coneTo, s.MajorRadius, 1),
		s.knot(h-c, s.MajorRadius, crestLeft), s.knot(h, s.MinorRadius, crestLeft),
	}
	g.finish(inner, s, h, [2]float64{coneTo, h - c})
	return nil
}

func (g *Gauge) finish(inner, outer Surface, h float64, full [2]float64) {
	g.Shape = Shape{Inner: inner, Outer: outer, HeightMM: h}
	g.Height, g.FullMM, g.Length = unit.MM(h), full, unit.MM(full[1]-full[0])
}

// engrave adds the flange with the gauge's name on both faces, one of which is the head of a plug: scallops on a go gauge, a hexagon on a no-go gauge, so that they are told
// apart in the dark.
func (g *Gauge) engrave() error {
	p := Plan{Grip: map[GaugeLimit]Grip{Go: Scallop, NoGo: Flats, Steps: Flats}[g.Limit], Printer: g.Printer, Shape: g.Shape}
	b := builder{plan: &p, inner: g.Shape.Inner, outer: g.Shape.Outer, floor: flangeMM}
	if err := b.addFlange(g.Name(), g.names()...); err != nil {
		return err
	}
	g.Label, g.Shape = p.Label, p.Shape
	return nil
}
