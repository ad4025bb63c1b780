package toolpath

// This file runs commands as a printer would, and keeps the stretches along which it lays material.

import (
	"fmt"
	"math"

	"tryring/internal/datafile"
)

const (
	// mostVertices bounds the memory, at 24 bytes each. A ring has some hundred thousand.
	mostVertices = 4 << 20
	// farthestMM is beyond every printer.
	farthestMM = 1e5
	// arcChordMM is how far the chords of an arc may lie off it.
	arcChordMM = 0.001
	// arcTolMM is how far the ends of an arc may differ in their distance from its middle: a few steps of coordinates that are
	// written to 0.01 mm (common practice, no published source).
	arcTolMM = 0.05
	// levelMM is less than any layer, and more than what rounding does to a height.
	levelMM = 1e-4
)

// vertex is a corner of a stretch; e is the filament fed on the way to it, mm.
type vertex struct{ x, y, e float64 }

// stretch is what is laid in one go at one height.
type stretch struct {
	z   float64
	pts []vertex
}

// axes are those of a machine's position, by their letters.
const axes = "XYZE"

// machine is the state of a printer.
type machine struct {
	// at is the position in mm, origin where the file counts from.
	at, origin          [4]float64
	perUnit             float64
	absolute, absoluteE bool
	// ownE is set once the filament has a mode of its own (M82, M83); before, it follows the axes.
	ownE bool
	// filamentMM is its diameter, 0 where no comment tells it.
	filamentMM float64
	laid       []stretch
	vertices   int
	// going says that the last stretch goes on from here.
	going bool
	// levelMM and risingMM are the ways that material was laid on, level and while rising.
	levelMM, risingMM float64
}

func newMachine() *machine { return &machine{perUnit: 1, absolute: true, absoluteE: true} }

// run takes one line; what it does not know changes nothing of the way.
func (m *machine) run(line []byte) (want string, cause error) {
	l := lexer{line: line}
	letter, code := l.command()
	switch {
	case letter == 'G' && (code == 0 || code == 1 || code == 2 || code == 3 || code == 28 || code == 92):
		w, why := l.words(code == 28)
		if why != "" {
			return why, ErrBroken
		}
		switch code {
		case 28:
			m.home(w)
		case 92:
			m.recount(w)
		default:
			return m.move(code, w)
		}
	case letter == 'G' && (code == 18 || code == 19 || code == 90.1):
		return "only arcs level with the bed are read, their middles told from where they begin (G17, G91.1)", ErrBroken
	case letter == 'G' && (code == 20 || code == 21):
		m.perUnit = map[float64]float64{20: 25.4, 21: 1}[code]
	case letter == 'G' && (code == 90 || code == 91):
		m.absolute = code == 90
		if !m.ownE {
			m.absoluteE = m.absolute
		}
	case letter == 'M' && (code == 82 || code == 83):
		m.absoluteE, m.ownE = code == 82, true
	case letter == 'M' && code == 200:
		if w, _ := l.words(true); w.value['D'] > 0 {
			return "it feeds by volume (M200); let the slicer write lengths of filament", ErrBroken
		}
	}
	return "", nil
}

// home sends the axes named, or all, to where the printer counts from.
func (m *machine) home(w words) {
	all := !w.has['X'] && !w.has['Y'] && !w.has['Z']
	for k := range 3 {
		if all || w.has[axes[k]] {
			m.at[k], m.origin[k] = 0, 0
		}
	}
	m.going = false
}

// recount gives the place where the nozzle is other numbers.
func (m *machine) recount(w words) {
	for k := range axes {
		if w.has[axes[k]] {
			m.origin[k] = m.at[k] - w.value[axes[k]]*m.perUnit
		}
	}
}

// move goes straight (G0, G1) or along an arc (G2 clockwise, G3), laying what is fed on the way.
func (m *machine) move(code float64, w words) (want string, cause error) {
	to := m.at
	for k := range axes {
		if !w.has[axes[k]] {
			continue
		}
		by := w.value[axes[k]] * m.perUnit
		if absolute := m.absolute && k < 3 || m.absoluteE && k == 3; absolute {
			to[k] = m.origin[k] + by
		} else {
			to[k] += by
		}
		if k < 3 && math.Abs(to[k]) > farthestMM {
			return fmt.Sprintf("%c goes to %.6g mm, farther than any printer", axes[k], to[k]), ErrBroken
		}
	}
	from, fed := m.at, to[3]-m.at[3]
	m.at = to
	far := math.Hypot(to[0]-from[0], to[1]-from[1])
	var bend arc
	if code >= 2 {
		if bend, want = m.arc(from, to, code == 2, w); want != "" {
			return want, ErrBroken
		}
		far = bend.radius * math.Abs(bend.sweep)
	}
	switch rises := math.Abs(to[2]-from[2]) > levelMM; {
	case far == 0 && !rises:
		return "", nil // the filament alone
	case fed <= 0 || far == 0:
		m.going = false
		return "", nil
	case rises:
		m.going = false
		m.risingMM += far
		return "", nil
	}
	m.levelMM += far
	if !m.going {
		m.laid = append(m.laid, stretch{z: to[2], pts: []vertex{{x: from[0], y: from[1]}}})
		m.vertices++
	}
	s := &m.laid[len(m.laid)-1]
	steps := bend.steps()
	if m.vertices += steps; m.vertices > mostVertices {
		return fmt.Sprintf("more than %d moves; slice one ring alone", mostVertices), datafile.ErrTooLarge
	}
	for k := 1; k < steps; k++ {
		x, y := bend.point(float64(k) / float64(steps))
		s.pts = append(s.pts, vertex{x, y, fed / float64(steps)})
	}
	s.pts = append(s.pts, vertex{to[0], to[1], fed / float64(steps)})
	m.going = true
	return "", nil
}

// arc is a part of a circle; its zero value is a straight line.
type arc struct {
	x, y, radius, start float64
	// sweep is the angle from start to end, above 0 counter-clockwise.
	sweep float64
}

// arc reads the middle (I, J from the start; or the radius R, below 0 for the longer way) of an arc.
func (m *machine) arc(from, to [4]float64, clockwise bool, w words) (a arc, want string) {
	dx, dy := to[0]-from[0], to[1]-from[1]
	switch far := math.Hypot(dx, dy); {
	case w.has['R'] && !w.has['I'] && !w.has['J']:
		r := w.value['R'] * m.perUnit
		off := r*r - far*far/4
		if far == 0 || off < -arcTolMM*math.Abs(r) {
			return a, fmt.Sprintf("no arc of radius %.6g mm joins ends %.6g mm apart", r, far)
		}
		side := math.Sqrt(max(off, 0)) / far
		if clockwise == (r > 0) {
			side = -side
		}
		a.x, a.y = from[0]+dx/2-side*dy, from[1]+dy/2+side*dx
	case w.has['I'] || w.has['J']:
		a.x, a.y = from[0]+w.value['I']*m.perUnit, from[1]+w.value['J']*m.perUnit
	default:
		return a, "an arc needs its middle (I, J) or its radius (R)"
	}
	a.radius = math.Hypot(from[0]-a.x, from[1]-a.y)
	if end := math.Hypot(to[0]-a.x, to[1]-a.y); math.Abs(end-a.radius) > arcTolMM || a.radius == 0 {
		return a, fmt.Sprintf("the arc begins %.4f mm from its middle and ends %.4f mm from it", a.radius, end)
	}
	a.start = math.Atan2(from[1]-a.y, from[0]-a.x)
	a.sweep = math.Atan2(to[1]-a.y, to[0]-a.x) - a.start
	full := math.Hypot(dx, dy) == 0
	switch {
	case clockwise && (a.sweep > 0 || full):
		a.sweep -= 2 * math.Pi
	case !clockwise && (a.sweep < 0 || full):
		a.sweep += 2 * math.Pi
	}
	return a, ""
}

// steps is the number of chords that stay within arcChordMM of the arc.
func (a arc) steps() int {
	if a.radius == 0 {
		return 1
	}
	chord := 2 * math.Acos(1-min(arcChordMM/a.radius, 1))
	return max(1, int(math.Ceil(math.Abs(a.sweep)/chord)))
}

// point is that at the part f of the sweep.
func (a arc) point(f float64) (x, y float64) {
	sin, cos := math.Sincos(a.start + f*a.sweep)
	return a.x + a.radius*cos, a.y + a.radius*sin
}
