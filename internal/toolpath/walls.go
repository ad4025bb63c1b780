package toolpath

// This file sorts the stretches into layers and finds the loops about the ring's axis among them.

import (
	"cmp"
	"math"
	"slices"

	"tryring/internal/unit"
)

const (
	// closedMM is how far the ends of a loop may lie apart: the gap that slicers leave at a seam.
	closedMM = 1.0
	// roundness is the least area of a loop about a thread as a part of that of a circle as long.
	roundness = 0.4
	// nearAxis is how far from the axis the middle of a loop may lie, in parts of its radius, and atAxis the part of loops that do.
	nearAxis, atAxis = 0.2, 0.7
	// largeLoop is the least radius of a loop about the axis, in parts of that of the largest one; letters are smaller.
	largeLoop = 0.25
	// usualFilamentMM and wideFilamentMM are the two filaments in use.
	usualFilamentMM, wideFilamentMM = 1.75, 2.85
	// spacingTol is how far the spacing of two walls may lie from what their flow needs, as a part of it.
	spacingTol = 0.25
	// raftLayers is the most that a first layer is higher than the second.
	raftLayers = 3
	// spiralShare is how much is laid while the nozzle rises, against what is laid level, where the walls are one spiral.
	spiralShare = 0.1
	// highestMM is higher than any layer.
	highestMM = 2
	// sweepShort is how much of a turn about the axis a loop may lack.
	sweepShort = 0.05
)

// Print is what a tool path lays, sorted into layers from the bed up.
type Print struct {
	// Layers is how many there are, LayerMM the height of most of them, FirstMM that of the first one.
	Layers  int     `json:"layers"`
	LayerMM float64 `json:"layer_mm"`
	FirstMM float64 `json:"first_layer_mm"`
	// HeightMM is the top of the last one.
	HeightMM float64 `json:"height_mm"`
	// LineMM is the width of most outer walls' beads, Walls how many loops go about the axis in most layers.
	LineMM float64 `json:"line_mm"`
	Walls  int     `json:"walls"`
	// FilamentMM is the diameter of the filament, FilamentFrom where it comes from: "written", "spacing" or "assumed".
	FilamentMM   float64 `json:"filament_mm"`
	FilamentFrom string  `json:"filament_from"`
	layers       []layer
	// x and y are where the axis stands.
	x, y float64
}

// layer is one of them.
type layer struct {
	z, height float64
	// loops go about the axis, rest are all other stretches.
	loops []loop
	rest  [][]vertex
}

// loop is a stretch once about the axis.
type loop struct {
	pts []vertex
	// least, most and mean are the radii of the path about the axis.
	least, most, mean float64
	// feed is the filament a millimetre of way, mm/mm, most of the way.
	feed float64
	// sense is +1 for one that goes counter-clockwise, else -1.
	sense float64
}

// print sorts what the machine laid. Errors: ErrNotGCode, ErrNoRing.
func (m *machine) print() (*Print, error) {
	switch {
	case len(m.laid) == 0 && m.risingMM == 0:
		return nil, refuse(ErrNotGCode, "", "nothing in it lays material (G0 to G3 with E); the G-code of a printer is wanted")
	case m.risingMM > spiralShare*m.levelMM:
		return nil, refuse(ErrNoRing, "", "the nozzle rises while it lays the walls; slice it in layers, without a spiral")
	}
	p := &Print{FilamentMM: m.filamentMM, FilamentFrom: "written"}
	if !p.findAxis(m.laid) {
		return nil, noRing()
	}
	slices.SortStableFunc(m.laid, func(a, b stretch) int { return cmp.Compare(a.z, b.z) })
	var supports [][]vertex
	below := 0.0
	for from := 0; from < len(m.laid); {
		to := from
		l := layer{z: m.laid[from].z}
		for ; to < len(m.laid) && m.laid[to].z < l.z+levelMM; to++ {
			p.cut(m.laid[to].pts, &l)
		}
		from = to
		if len(l.loops) == 0 { // lines that stand at heights of their own belong to the layer above
			supports = append(supports, l.rest...)
			continue
		}
		l.rest, supports = append(l.rest, supports...), nil
		l.height, below = l.z-below, l.z
		p.layers = append(p.layers, l)
	}
	if len(p.layers) > 1 { // the first one may stand on a raft
		p.layers[0].height = min(p.layers[0].height, raftLayers*p.layers[1].height)
	}
	if len(p.layers) == 0 || slices.ContainsFunc(p.layers, func(l layer) bool { return l.height > highestMM || l.height < levelMM }) {
		return nil, noRing()
	}
	p.sum()
	return p, nil
}

func noRing() error {
	return refuse(ErrNoRing, "", "no closed walls stand about one axis square to the bed; slice one ring, upright, alone on the bed")
}

// sum fills in what is told of the whole print.
func (p *Print) sum() {
	var heights, walls, apart []float64
	for _, l := range p.layers {
		heights, walls = append(heights, l.height), append(walls, float64(len(l.loops)))
		slices.SortFunc(l.loops, func(a, b loop) int { return cmp.Compare(a.mean, b.mean) })
		for k := 1; k < len(l.loops); k++ { // neighbours lie as far apart as their flow needs
			usual := l.loops[k].feed * circle(usualFilamentMM) / l.height
			apart = append(apart, (l.loops[k].mean-l.loops[k-1].mean)/usual)
		}
	}
	p.Layers, p.LayerMM, p.FirstMM = len(p.layers), unit.Round(median(heights)), unit.Round(heights[0])
	p.HeightMM, p.Walls = unit.Round(p.layers[p.Layers-1].z), int(median(walls))
	if p.FilamentMM == 0 {
		p.FilamentMM, p.FilamentFrom = usualFilamentMM, "assumed"
		wide := circle(wideFilamentMM) / circle(usualFilamentMM)
		near := func(ratio float64) (n int) {
			for _, a := range apart {
				if math.Abs(a/ratio-1) < spacingTol {
					n++
				}
			}
			return n
		}
		asUsual, asWide := near(1), near(wide)
		if most := max(asUsual, asWide); 3*most > len(apart) && most > 0 {
			p.FilamentFrom = "spacing"
			if asWide > asUsual {
				p.FilamentMM = wideFilamentMM
			}
		}
	}
	var widths []float64
	for _, l := range p.layers {
		widths = append(widths, p.width(l.loops[0], l), p.width(l.loops[len(l.loops)-1], l))
	}
	p.LineMM = unit.Round(median(widths))
}

func circle(diameter float64) float64 { return math.Pi / 4 * diameter * diameter }

// width is that of the beads of a loop.
func (p *Print) width(o loop, l layer) float64 {
	return o.feed*circle(p.FilamentMM)/l.height + (1-math.Pi/4)*l.height
}

// findAxis sets the axis in the middle of the large round loops, whose own middles a thread turns about it; false where they have no
// common one.
func (p *Print) findAxis(laid []stretch) bool {
	type round struct{ x, y, radius float64 }
	var all []round
	largest := 0.0
	for _, s := range laid {
		if x, y, radius := middle(s.pts); radius > 0 {
			all, largest = append(all, round{x, y, radius}), max(largest, radius)
		}
	}
	all = slices.DeleteFunc(all, func(r round) bool { return r.radius < largeLoop*largest })
	if len(all) == 0 {
		return false
	}
	var xs, ys []float64
	for _, r := range all {
		xs, ys = append(xs, r.x), append(ys, r.y)
	}
	p.x, p.y = between(xs), between(ys)
	near := 0
	for _, r := range all {
		if math.Hypot(r.x-p.x, r.y-p.y) < nearAxis*r.radius {
			near++
		}
	}
	return float64(near) >= atAxis*float64(len(all))
}

// between is half way between both ends of xs, a twentieth at either end left out.
func between(xs []float64) float64 {
	sorted := slices.Sorted(slices.Values(xs))
	return (sorted[len(sorted)/20] + sorted[len(sorted)-1-len(sorted)/20]) / 2
}

// middle returns the middle of the area that pts go about, and the radius of a circle as large; 0 where they are no round loop.
func middle(pts []vertex) (x, y, radius float64) {
	first, last := pts[0], pts[len(pts)-1]
	if len(pts) < 8 || math.Hypot(last.x-first.x, last.y-first.y) > closedMM {
		return 0, 0, 0
	}
	var area, way float64
	for k, b := range pts {
		a := last
		if k > 0 {
			a = pts[k-1]
		}
		cross := (a.x-first.x)*(b.y-first.y) - (b.x-first.x)*(a.y-first.y)
		area += cross / 2
		x += (a.x + b.x - 2*first.x) * cross / 6
		y += (a.y + b.y - 2*first.y) * cross / 6
		way += math.Hypot(b.x-a.x, b.y-a.y)
	}
	if math.Abs(area) < roundness*way*way/(4*math.Pi) || area == 0 {
		return 0, 0, 0
	}
	return first.x + x/area, first.y + y/area, math.Sqrt(math.Abs(area) / math.Pi)
}

// cut takes a stretch apart into loops about the axis, and the rest.
func (p *Print) cut(pts []vertex, l *layer) {
	from, swept := 0, 0.0
	for k := 1; k < len(pts); k++ {
		a, b := pts[k-1], pts[k]
		ax, ay, bx, by := a.x-p.x, a.y-p.y, b.x-p.x, b.y-p.y
		swept += math.Atan2(ax*by-ay*bx, ax*bx+ay*by)
		whole := math.Abs(swept) > 2*math.Pi*(1-sweepShort)
		if whole && (k == len(pts)-1 || math.Abs(swept) > 2*math.Pi-1e-9) {
			l.loops = append(l.loops, p.loop(pts[from:k+1], math.Copysign(1, swept)))
			from, swept = k, 0
		}
	}
	if from < len(pts)-1 {
		l.rest = append(l.rest, pts[from:])
	}
}

// loop measures a loop.
func (p *Print) loop(pts []vertex, sense float64) loop {
	o := loop{pts: pts, least: math.Inf(1), sense: sense}
	type piece struct{ feed, way float64 }
	pieces := make([]piece, 0, len(pts))
	all := 0.0
	for k, b := range pts {
		r := math.Hypot(b.x-p.x, b.y-p.y)
		o.least, o.most, o.mean = min(o.least, r), max(o.most, r), o.mean+r/float64(len(pts))
		if k == 0 {
			continue
		}
		if way := math.Hypot(b.x-pts[k-1].x, b.y-pts[k-1].y); way > 0 {
			pieces = append(pieces, piece{b.e / way, way})
			all += way
		}
	}
	slices.SortFunc(pieces, func(a, b piece) int { return cmp.Compare(a.feed, b.feed) })
	half := 0.0
	for _, q := range pieces {
		if half += q.way; half >= all/2 {
			o.feed = q.feed
			break
		}
	}
	return o
}

func median(xs []float64) float64 {
	sorted := slices.Sorted(slices.Values(xs))
	return sorted[len(sorted)/2]
}
