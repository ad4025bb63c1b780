package caliper_test

// This file builds threaded rings slowly and plainly, from the definition of the forms, as parts to be measured.

import (
	"math"

	"tryring/internal/mesh"
)

// form is the wanted thread of one side; radii at height refZ.
type form struct {
	pitch        float64
	starts       int
	hand         float64 // 1 right, -1 left
	taper        float64 // growth of diameter per height
	major, minor float64 // diameters at refZ
	pitchD       float64
	refZ         float64
	up, down     float64 // flank angles from the perpendicular, degrees
	round        float64 // Whitworth arc radius in pitches, 0 for flats
}

func (f form) lead() float64 { return f.pitch * float64(f.starts) }

// slopes are those of rho, which is what is left of the flank when the cone is taken off.
func (f form) slopes() (up, down float64) {
	return 1/math.Tan(f.up*math.Pi/180) - f.taper/2, 1/math.Tan(f.down*math.Pi/180) + f.taper/2
}

// rho is the radius, cone taken off, at u along the axis; the up flank crosses the pitch line at u = 0, the
// down flank at half a pitch.
func (f form) rho(u float64) float64 {
	u -= math.Floor(u/f.pitch) * f.pitch
	up, down := f.slopes()
	mid := f.pitchD / 2
	// Near u = 0 and the next pitch the up flank, near half a pitch the down flank.
	v := u
	if v > 0.75*f.pitch {
		v -= f.pitch
	}
	r := math.Min(mid+up*v, mid-down*(u-f.pitch/2))
	if u > f.pitch/2 {
		r = math.Max(mid-down*(u-f.pitch/2), mid+up*(u-f.pitch))
	}
	if f.round > 0 {
		return f.whitworth(u)
	}
	return math.Min(math.Max(r, f.minor/2), f.major/2)
}

// whitworth is the symmetrical form with arcs at crest and root (ISO 228-1, figure 1), by distance from the crest's middle.
func (f form) whitworth(u float64) float64 {
	half := f.up * math.Pi / 180
	rad := f.round * f.pitch
	x := math.Abs(u - f.pitch/4)
	x = math.Min(x, f.pitch-x) // from the middle of the crest, at most half a pitch
	arc := rad * math.Cos(half)
	switch {
	case x < arc:
		return f.major/2 - rad + math.Sqrt(rad*rad-x*x)
	case f.pitch/2-x < arc:
		y := f.pitch/2 - x
		return f.minor/2 + rad - math.Sqrt(rad*rad-y*y)
	}
	return f.pitchD/2 - (x-f.pitch/4)/math.Tan(half)
}

func (f form) radius(theta, z float64) float64 {
	return f.rho(z-f.hand*f.lead()*theta/(2*math.Pi)) + f.taper/2*(z-f.refZ)
}

// knots are the heights along one pitch at which the form bends, and enough between.
func (f form) knots(fine int) []float64 {
	up, down := f.slopes()
	at := func(r float64) []float64 {
		return []float64{(r - f.pitchD/2) / up, f.pitch/2 - (r-f.pitchD/2)/down}
	}
	out := append(at(f.major/2), at(f.minor/2)...)
	if f.round > 0 {
		out = nil
		arc := f.round * f.pitch * math.Cos(f.up*math.Pi/180)
		for i := -6; i <= 6; i++ {
			out = append(out, f.pitch/4+arc*float64(i)/6, 3*f.pitch/4+arc*float64(i)/6)
		}
	}
	for i := range fine {
		out = append(out, f.pitch*float64(i)/float64(fine))
	}
	for i, x := range out {
		out[i] = x - math.Floor(x/f.pitch)*f.pitch
	}
	return sorted(out)
}

func sorted(xs []float64) []float64 {
	for i := range xs {
		for j := i; j > 0 && xs[j] < xs[j-1]; j-- {
			xs[j], xs[j-1] = xs[j-1], xs[j]
		}
	}
	return xs
}

// side is a wall: its radius, and the form whose helix its rows follow.
type side struct {
	form   form
	radius func(theta, z float64) float64
}

// part is a ring to be built.
type part struct {
	inner, outer *side // nil: plain
	height       float64
	columns      int
	fine         int     // rows a pitch besides the bends
	out          float64 // share of the sagitta by which corners are moved outwards
	flange       float64 // thickness of a flange at the bottom, 0 for none
	flangeR      func(theta float64) float64
	pockets      bool
	open         bool // no end faces
}

type builder struct{ m mesh.Mesh }

func (b *builder) vertex(v [3]float64) uint32 {
	const grid = 1 << 14
	var k mesh.Vec
	for i, x := range v {
		k[i] = float32(math.Round(x*grid) / grid)
	}
	b.m.Vertices = append(b.m.Vertices, k)
	return uint32(len(b.m.Vertices) - 1)
}

func (b *builder) face(i, j, k uint32) {
	v := b.m.Vertices
	if v[i] != v[j] && v[j] != v[k] && v[k] != v[i] {
		b.m.Faces = append(b.m.Faces, [3]uint32{i, j, k})
	}
}

func (b *builder) four(i, j, k, l uint32) { b.face(i, j, k); b.face(i, k, l) }

func (b *builder) quad(p, q, r, s [3]float64) {
	b.four(b.vertex(p), b.vertex(q), b.vertex(r), b.vertex(s))
}

// welded returns m with vertices at one place made one.
func welded(m *mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	seen := map[mesh.Vec]uint32{}
	at := make([]uint32, len(m.Vertices))
	for i, v := range m.Vertices {
		k, ok := seen[v]
		if !ok {
			k = uint32(len(out.Vertices))
			seen[v] = k
			out.Vertices = append(out.Vertices, v)
		}
		at[i] = k
	}
	for _, f := range m.Faces {
		g := [3]uint32{at[f[0]], at[f[1]], at[f[2]]}
		if g[0] != g[1] && g[1] != g[2] && g[2] != g[0] {
			out.Faces = append(out.Faces, g)
		}
	}
	return out
}

// build makes the mesh.
func (p part) build() *mesh.Mesh {
	b := &builder{}
	step := 2 * math.Pi / float64(p.columns)
	push := 1 + p.out*(1-math.Cos(step/2))
	at := func(col int, r, z float64) [3]float64 {
		s, c := math.Sincos(step * float64(col%p.columns))
		return [3]float64{r * push * c, r * push * s, z}
	}
	wall := func(s *side, from float64, flip bool) {
		f := s.form
		ks := f.knots(p.fine)
		var us []float64
		for n := -f.starts - 2; float64(n)*f.pitch < p.height+f.lead()+f.pitch; n++ {
			for _, k := range ks {
				us = append(us, float64(n)*f.pitch+k)
			}
		}
		column := func(col int) []uint32 {
			theta := step * float64(col)
			shift := f.hand * f.lead() * theta / (2 * math.Pi)
			if f.hand < 0 { // keep the rows over the part
				shift += f.lead()
			}
			out := make([]uint32, len(us))
			last := math.NaN()
			for i, u := range us {
				z := math.Min(math.Max(u+shift, from), p.height)
				if z == last { // clamped
					out[i] = out[i-1]
					continue
				}
				last = z
				out[i] = b.vertex(at(col, s.radius(theta, z), z))
			}
			return out
		}
		left := column(0)
		for col := range p.columns {
			right := column(col + 1)
			for i := 0; i+1 < len(us); i++ {
				if flip {
					b.four(left[i], left[i+1], right[i+1], right[i])
				} else {
					b.four(left[i], right[i], right[i+1], left[i+1])
				}
			}
			left = right
		}
	}
	from := p.flange
	if p.outer != nil {
		wall(p.outer, from, false)
	}
	if p.inner != nil {
		wall(p.inner, 0, true)
	}
	if p.open {
		return &b.m
	}
	for col := range p.columns {
		t0, t1 := step*float64(col), step*float64(col+1)
		ri := func(t, z float64) float64 {
			if p.inner == nil {
				return 0
			}
			return p.inner.radius(t, z)
		}
		top, h := p.outer.radius, p.height
		b.quad(at(col, ri(t0, h), h), at(col, top(t0, h), h), at(col+1, top(t1, h), h), at(col+1, ri(t1, h), h))
		bottom := func(t float64) float64 { return p.outer.radius(t, 0) }
		if p.flange > 0 {
			bottom = p.flangeR
			z := p.flange
			b.quad(at(col, bottom(t0), 0), at(col+1, bottom(t1), 0), at(col+1, bottom(t1), z), at(col, bottom(t0), z))
			b.quad(at(col, top(t0, z), z), at(col, bottom(t0), z), at(col+1, bottom(t1), z), at(col+1, top(t1, z), z))
			if p.pockets && col%7 < 3 {
				r, w, deep := top(t0, z)+0.5, 1.0, z-0.6
				b.quad(at(col, r, deep), at(col+1, r, deep), at(col+1, r, z), at(col, r, z))
				b.quad(at(col+1, r+w, deep), at(col, r+w, deep), at(col, r+w, z), at(col+1, r+w, z))
				b.quad(at(col, r, deep), at(col, r+w, deep), at(col, r+w, z), at(col, r, z))
				b.quad(at(col+1, r+w, deep), at(col+1, r, deep), at(col+1, r, z), at(col+1, r+w, z))
			}
		}
		b.quad(at(col+1, ri(t1, 0), 0), at(col+1, bottom(t1), 0), at(col, bottom(t0), 0), at(col, ri(t0, 0), 0))
	}
	return &b.m
}

// external and internal make sides with 45 degree chamfers at both ends, so deep below crest and root as told.
func external(f form, from, to, deep float64) *side {
	edge := f.minor/2 - deep
	return &side{form: f, radius: func(theta, z float64) float64 {
		cone := f.taper / 2 * (z - f.refZ)
		return math.Min(f.radius(theta, z), math.Min(edge+cone+to-z, edge+cone+z-from))
	}}
}

func internal(f form, from, to, deep float64) *side {
	edge := f.major/2 + deep
	return &side{form: f, radius: func(theta, z float64) float64 {
		cone := f.taper / 2 * (z - f.refZ)
		return math.Max(f.radius(theta, z), math.Max(edge+cone-(to-z), edge+cone-(z-from)))
	}}
}

// plain is a wall without thread.
func plain(r float64) *side {
	return &side{
		form:   form{pitch: 2, starts: 1, hand: 1, major: 2 * r, minor: 2*r - 1, pitchD: 2*r - 0.5, up: 30, down: 30},
		radius: func(float64, float64) float64 { return r },
	}
}

// iso is the basic profile of ISO 68-1, figure 1: H = 0.866025 P, d2 = d - 3/4 H, d1 = d - 5/4 H.
func iso(d, pitch float64) form {
	h := math.Sqrt(3) / 2 * pitch
	return form{pitch: pitch, starts: 1, hand: 1, major: d, pitchD: d - 0.75*h, minor: d - 1.25*h, up: 30, down: 30}
}

// pipe is the form of ISO 228-1 clause 4: h = 0.640327 P, r = 0.137329 P, 55 degree.
func pipe(d, pitch float64) form {
	return form{
		pitch: pitch, starts: 1, hand: 1, major: d, pitchD: d - 0.640327*pitch, minor: d - 2*0.640327*pitch,
		up: 27.5, down: 27.5, round: 0.137329,
	}
}

// npt is the form of ASME B1.20.1: 60 degree, height 0.8 P, taper 1 in 16.
func npt(pitchD, pitch, refZ float64) form {
	return form{
		pitch: pitch, starts: 1, hand: 1, taper: 1.0 / 16, refZ: refZ,
		pitchD: pitchD, major: pitchD + 0.8*pitch, minor: pitchD - 0.8*pitch, up: 30, down: 30,
	}
}
