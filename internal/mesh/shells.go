package mesh

// Shells: which way each faces, and whether that is how it should, by what is around it; and what stands within open edges.

import (
	"math"
	"slices"
)

// Bounds of what is looked at.
const (
	// mostTJoints is how many open edges are looked at for T-joints: beyond it, nobody reads of each.
	mostTJoints = 100_000
	// mostWound is how many faces are gone round to tell which shell is in which.
	mostWound = 50_000_000
)

// shell is what is known of one.
type shell struct {
	volume float64
	at     Vec // a vertex of it
	box    gridBox
	n      int // of faces
	faces  []uint32
	hurt   bool // open, or turned against itself
}

// judgeShells sums the volume, and judges each shell that is closed and oriented by how many others are around it: an even number,
// and it faces outward; an odd one, and it faces inward, a cavity. Where shells cross nothing can be told of that.
func (s *Soundness) judgeShells(m *Mesh, usable []bool, g *groups) {
	s.countTJoints(m, g)
	shells := make([]shell, s.Shells)
	for i, f := range m.Faces {
		if !usable[i] {
			continue
		}
		sh := &shells[g.of[i]]
		if sh.n++; sh.n == 1 {
			sh.at, sh.box = m.Vertices[f[0]], g.boxOf(f)
		}
		if len(shells) > 1 { // which are in which
			box := g.boxOf(f)
			sh.box.widen(&box)
			sh.faces = append(sh.faces, uint32(i))
		}
		sh.volume += m.coneVolume(f, s.BoundsMM)
	}
	for _, i := range g.hurt {
		shells[g.of[i]].hurt = true
	}
	for i := range shells {
		s.VolumeMM3 += shells[i].volume
	}
	if s.SelfIntersections > 0 || s.Undecided {
		return
	}
	around := make([]int, len(shells))
	left := mostWound
	look := func(inner, outer int32) {
		in, out := &shells[inner], &shells[outer]
		if in.hurt || out.hurt || !out.box.holds(&in.box) {
			return
		}
		if left -= len(out.faces); left >= 0 && math.Abs(m.winding(out.faces, in.at)) > 0.5 {
			around[inner]++
		}
	}
	pairs(len(shells), func(i int32) gridBox { return shells[i].box }, func(a, b int32) bool {
		look(a, b)
		look(b, a)
		return left >= 0
	})
	s.Undecided = left < 0
	for i := range shells {
		sh := &shells[i]
		switch outward := sh.volume > 0; {
		case sh.hurt || s.Undecided:
		case around[i]%2 == 0 && !outward:
			s.InsideOut++
			s.at("inside_out_shells", sh.at)
		case around[i]%2 == 1 && outward:
			s.Buried++
			s.at("buried_shells", sh.at)
		case !outward:
			s.Cavities++
		}
	}
}

// holds says whether b lies in a box.
func (a *gridBox) holds(b *gridBox) bool {
	for k := range 3 {
		if b.lo[k] < a.lo[k] || b.hi[k] > a.hi[k] {
			return false
		}
	}
	return true
}

// winding is how often faces go round a place that is not on them: the sum of the solid angles under which it sees them, by 4 pi.
// tan(angle/2) = a . (b x c) / (|a||b||c| + (a.b)|c| + (b.c)|a| + (c.a)|b|): Van Oosterom and Strackee, IEEE Trans. Biomed. Eng. 30
// (1983), equation 8.
func (m *Mesh) winding(faces []uint32, at Vec) float64 {
	sum := 0.0
	for _, i := range faces {
		var p [3][3]float64
		var length [3]float64
		for k, v := range m.Faces[i] {
			for axis := range 3 {
				p[k][axis] = float64(m.Vertices[v][axis]) - float64(at[axis])
			}
			length[k] = math.Sqrt(dot(p[k], p[k]))
		}
		a, b, c := p[0], p[1], p[2]
		sum += math.Atan2(dot(a, times(b, c)), length[0]*length[1]*length[2]+dot(a, b)*length[2]+dot(b, c)*length[0]+dot(c, a)*length[1])
	}
	return sum / (2 * math.Pi)
}

// dot and times are the two products; theirs are rounded one by one, so that all machines give the same.
func dot(a, b [3]float64) float64 {
	return float64(a[0]*b[0]) + float64(a[1]*b[1]) + float64(a[2]*b[2])
}

func times(a, b [3]float64) [3]float64 {
	return [3]float64{float64(a[1]*b[2]) - float64(a[2]*b[1]), float64(a[2]*b[0]) - float64(a[0]*b[2]), float64(a[0]*b[1]) - float64(a[1]*b[0])}
}

// countTJoints counts the open edges with an end of another within them, no farther off than welding reaches.
func (s *Soundness) countTJoints(m *Mesh, g *groups) {
	open, places := g.open, g.places
	if len(open) > mostTJoints {
		return
	}
	var ends []uint32
	for _, e := range open {
		ends = append(ends, e[:]...)
	}
	slices.Sort(ends)
	ends = slices.Compact(ends)
	boxOf := func(i int32) gridBox {
		if int(i) < len(open) {
			return around(places[open[i][0]], places[open[i][1]], weldSteps)
		}
		v := places[ends[int(i)-len(open)]]
		return gridBox{v, v}
	}
	joints, left := map[int32]bool{}, mostTried
	pairs(len(open)+len(ends), boxOf, func(a, b int32) bool {
		left--
		if a > b {
			a, b = b, a
		}
		if int(a) < len(open) && int(b) >= len(open) {
			e, v := open[a], ends[int(b)-len(open)]
			if !joints[a] && e[0] != v && e[1] != v && within(places[e[0]], places[e[1]], places[v]) {
				joints[a] = true
				s.at("t_joints", m.Vertices[v])
			}
		}
		return left >= 0
	})
	s.TJoints = len(joints)
}

// within says whether p is no farther than weldSteps from the segment of a and b, and farther than that from its ends.
func within(a, b, p gridVec) bool {
	var u, w, across [3]float64
	for k := range 3 {
		u[k], w[k] = float64(b[k]-a[k]), float64(p[k]-a[k])
	}
	length := math.Sqrt(dot(u, u))
	along := dot(u, w) / length
	for k := range 3 {
		across[k] = w[k] - u[k]/length*along
	}
	return along > weldSteps && along < length-weldSteps && dot(across, across) <= weldSteps*weldSteps
}
