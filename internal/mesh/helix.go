package mesh

// This file meshes a ring's two walls column by column: the helix mesher.

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"tryring/internal/ring"
)

// Limits of the chord tolerance: below, the vertex grid would be felt; above, a thread would lose its form.
const (
	leastChordMM = 0.0005
	mostChordMM  = 0.1
)

// sameCornerMM is the height within which two corners of a column become one vertex; it exceeds the grid and what sharing
// a column between close events may shift a corner by.
const sameCornerMM = 32 * GridMM

// ErrChord is returned for a chord tolerance that cannot be kept.
var ErrChord = errors.New("chord tolerance out of range")

// Helix is the default mesher. Between two columns every corner of a wall runs along a straight line, so the mesh strays
// from the wall only by the sagitta of the columns' step and by the twist of the flanks.
//
// Vertices stand outward of the wall by half the sagitta: the error is centred, the widest gap is the least, and a ring's
// mean diameters come out smaller by a twelfth of the tolerance at most.
type Helix struct {
	// ChordMM is the greatest distance between mesh and wall.
	ChordMM float64
}

// Mesh builds the closed mesh of a shape.
func (h Helix) Mesh(shape ring.Shape) (*Mesh, error) {
	if !(h.ChordMM >= leastChordMM && h.ChordMM <= mostChordMM) {
		return nil, fmt.Errorf("%w: %v mm must lie between %v and %v mm", ErrChord, h.ChordMM, leastChordMM, mostChordMM)
	}
	inner, outer, widest := h.walls(shape)
	angles := columns(widest, &inner, &outer)
	b := newBuilder(&inner, &outer, angles, 1+widest*widest/16)
	b.sides()
	if err := b.faces(shape); err != nil {
		return nil, err
	}
	return b.mesh, nil
}

// walls returns both walls, and the widest step between columns, radians.
func (h Helix) walls(shape ring.Shape) (inner, outer wall, widest float64) {
	chord := h.ChordMM
	if isRound(shape.Inner) || isRound(shape.Outer) {
		chord /= 2 // the chords of the crest arcs and those around the axis share the tolerance
	}
	inner, outer = newWall(shape.Inner, chord), newWall(shape.Outer, chord)
	return inner, outer, math.Min(step(&inner, chord), step(&outer, chord))
}

// Triangles is about how many triangles the mesh of shape will have: two a column and corner of both walls, and four a
// point of the flange's outlines, which stand in two planes.
func (h Helix) Triangles(shape ring.Shape) int {
	inner, outer, widest := h.walls(shape)
	corners := len(inner.meridian(anyAngle, nil)) + len(outer.meridian(anyAngle, nil))
	n := 2 * corners * len(columns(widest, &inner, &outer))
	if f := shape.Flange; f != nil {
		n += 4 * len(f.Outline)
		for _, g := range slices.Concat(f.Top.Glyphs, f.Bed.Glyphs) {
			n += 4 * len(slices.Concat(g...))
		}
	}
	return n
}

// anyAngle, radians, is no event angle of any thread that somebody would name.
const anyAngle = math.Sqrt2

func isRound(s ring.Surface) bool { return s.Profile.RoundMajor || s.Profile.RoundMinor }

// twistMargin covers what the estimate of a flank's twist leaves out on the steepest forms.
const twistMargin = 1.15

// wideWedge is (tan a + tan b) / (1/cos a + 1/cos b) of flanks a and b from which the whole chord may be taken: 47 degrees between like ones.
const wideWedge = 0.4

// step is the widest step between columns, radians: with the error centred, R d^2/16 + k d <= chord, where
// k d is the twist of a flank, k = depth (lead / 2 pi) cos(flank) / (4 r), the most of it on the steeper flank. What the twist takes off
// a flank counts for more on the pitch diameter the steeper the flanks are, so that these get less of the chord.
func step(w *wall, chord float64) float64 {
	r := w.largestRadius()
	depth := (w.Profile.MajorMM - w.Profile.MinorMM) / 2
	lower, upper := w.Profile.FlankRad, w.Profile.UpperRad
	k := twistMargin * depth * math.Abs(w.climb) * math.Cos(math.Min(lower, upper)) / (4 * w.smallestRadius())
	wedge := math.Sin((lower+upper)/2) / math.Cos((lower-upper)/2)
	chord *= math.Min(1, wedge/wideWedge)
	// The positive root of (r/16) d^2 + k d - chord = 0.
	d := (math.Sqrt(k*k+r*chord/4) - k) / (r / 8)
	return math.Min(d, 2*math.Pi/fewestColumns)
}

// side is one wall while it is meshed.
type side struct {
	*wall
	// outward is +1 for the outer wall, whose faces look away from the axis.
	outward int
	// first and last are the vertices of each column at the wall's two ends.
	first, last []uint32
	// strip holds the corners of the current strip, previous those of the strip before it.
	strip, previous []corner
	// ends and starts are the vertices of this column's corners, for the strip that ends there and the one that starts
	// there; left are those of the column before, for the strip between.
	ends, starts, left []uint32
}

// builder collects the mesh.
type builder struct {
	mesh   *Mesh
	angles []float64
	// grow moves vertices out by half the sagitta.
	grow         float64
	inner, outer side
}

func newBuilder(inner, outer *wall, angles []float64, grow float64) *builder {
	b := &builder{mesh: &Mesh{}, angles: angles, grow: grow, inner: side{wall: inner, outward: -1}, outer: side{wall: outer, outward: +1}}
	perColumn := 0
	for _, s := range []*side{&b.inner, &b.outer} {
		perColumn += int((s.To-s.From)/s.Profile.PitchMM+2)*len(s.knots) + 4
		s.first, s.last = make([]uint32, 0, len(angles)), make([]uint32, 0, len(angles))
	}
	b.mesh.Vertices = make([]Vec, 0, perColumn*len(angles))
	b.mesh.Faces = make([][3]uint32, 0, 2*(perColumn+2)*len(angles))
	return b
}

func (b *builder) sides() {
	b.side(&b.inner)
	b.side(&b.outer)
}

// side meshes one wall. Each column holds the corners of the strips on both its sides, merged by height, so neighbouring
// strips share all vertices and the seam at 2 pi is a column like any other.
func (b *builder) side(s *side) {
	n := len(b.angles)
	middle := func(i int) float64 { return b.angles[i] + b.gap(i)/2 }
	s.strip = s.meridian(middle(n-1), nil)
	var firstColumn []uint32
	for i := range n {
		s.previous, s.strip = s.strip, s.meridian(middle(i), s.previous[:0])
		s.left, s.starts = s.starts, s.left
		b.column(s, i)
		if i == 0 {
			firstColumn = slices.Clone(s.ends)
		} else {
			b.zip(s, s.left, s.ends)
		}
	}
	b.zip(s, s.starts, firstColumn)
}

// gap is the angle from column i to the next.
func (b *builder) gap(i int) float64 {
	if i == len(b.angles)-1 {
		return b.angles[0] + 2*math.Pi - b.angles[i]
	}
	return b.angles[i+1] - b.angles[i]
}

// column makes the vertices of column i: the corners of the strip that ends there and of the one that starts there, in
// rising order, those at one height shared.
func (b *builder) column(s *side, i int) {
	n := len(b.angles)
	before, after := b.gap((i+n-1)%n)/2, b.gap(i)/2
	sin, cos := math.Sincos(b.angles[i])
	s.ends, s.starts = s.ends[:0], s.starts[:0]
	s.first = append(s.first, uint32(len(b.mesh.Vertices)))
	lastZ := math.Inf(-1)
	for e, t := 0, 0; e < len(s.previous) || t < len(s.strip); {
		z, r := math.Inf(1), 0.0
		ending := e < len(s.previous)
		if ending {
			z, r = s.previous[e].at(before)
		}
		if t < len(s.strip) {
			if z2, r2 := s.strip[t].at(-after); z2 < z {
				z, r, ending = z2, r2, false
			}
		}
		z = math.Min(z, s.To) // a column that two events share may be a hair late for the first
		last := len(b.mesh.Vertices) - 1
		if z-lastZ > sameCornerMM {
			b.mesh.Vertices = append(b.mesh.Vertices, b.snap(r*cos, r*sin, z))
			lastZ = z
			last++
		} else if z >= s.To {
			b.mesh.Vertices[last] = b.snap(r*cos, r*sin, z)
		}
		if ending {
			s.ends = append(s.ends, uint32(last))
			e++
		} else {
			s.starts = append(s.starts, uint32(last))
			t++
		}
	}
	s.last = append(s.last, uint32(len(b.mesh.Vertices)-1))
}

// snap puts a point of the wall onto the vertex grid, moved outward to centre the error.
func (b *builder) snap(x, y, z float64) Vec { return Vec{snap(x * b.grow), snap(y * b.grow), snap(z)} }

func snap(x float64) float32 { return float32(math.Round(x/GridMM) * GridMM) }

// zip covers a strip between its two columns: corner i of the strip is left[i] on one side and right[i] on the other, and
// each column may hold further vertices between two of them.
func (b *builder) zip(s *side, left, right []uint32) {
	for i := 1; i < len(left); i++ {
		l, r := left[i-1], right[i-1]
		for l < left[i] || r < right[i] {
			if l < left[i] && (r == right[i] || b.shorter(l+1, r, l, r+1)) {
				b.face(s, l, r, l+1)
				l++
			} else {
				b.face(s, l, r, r+1)
				r++
			}
		}
	}
}

// shorter says whether the diagonal from a to b is no longer than that from c to d.
func (b *builder) shorter(a0, a1, c0, c1 uint32) bool {
	return b.squared(a0, a1) <= b.squared(c0, c1)
}

func (b *builder) squared(i, j uint32) float64 {
	p, q := &b.mesh.Vertices[i], &b.mesh.Vertices[j]
	sum := 0.0
	for k := range p {
		d := float64(p[k]) - float64(q[k])
		sum += d * d
	}
	return sum
}

// face adds a triangle given counter-clockwise as seen from outside the axis.
func (b *builder) face(s *side, i, j, k uint32) {
	if s.outward < 0 {
		j, k = k, j
	}
	b.mesh.Faces = append(b.mesh.Faces, [3]uint32{i, j, k})
}

// faces closes the mesh below, above and around the flange.
func (b *builder) faces(shape ring.Shape) error {
	b.wedges(b.inner.last, b.outer.last, +1)
	if shape.Flange == nil {
		b.wedges(b.inner.first, b.outer.first, -1)
		return nil
	}
	return b.flange(shape.Flange)
}

// wedges covers the flat ring between the ends of the two walls, facing up (+1) or down (-1).
func (b *builder) wedges(inner, outer []uint32, up int) {
	n := len(inner)
	for i := range n {
		j := (i + 1) % n
		quad := [4]uint32{inner[i], outer[i], outer[j], inner[j]}
		if up < 0 {
			quad[1], quad[3] = quad[3], quad[1]
		}
		b.mesh.Faces = append(b.mesh.Faces, [3]uint32{quad[0], quad[1], quad[2]}, [3]uint32{quad[0], quad[2], quad[3]})
	}
}
