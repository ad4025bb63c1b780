package mesh

// What most neighbours are, decided at a corner for all its faces at once: they lie side by side, and meet in their common edges alone.

import "math"

// fan is how the faces about a vertex look along one direction.
type fan struct {
	// sum is that of the faces' normals, each of length 1, and toward the direction nearest to it of those with whole coordinates up to finest.
	sum    [3]float32
	toward [3]int8
	// over counts, up to 2, the faces over a ray that leaves the vertex across the direction; it is spoilt where one does not face it.
	over int8
}

// finest is how finely the direction of a fan is chosen, and spoilt what is over a fan that nothing can be told of.
const finest, spoilt = 7, 3

// fansOf looks at the faces about each vertex.
func fansOf(m *Mesh, g *groups) []fan {
	fans := make([]fan, len(m.Vertices))
	for _, f := range m.Faces {
		if !distinct(f, len(fans)) {
			continue
		}
		x, y, z := normal(&m.Vertices[f[0]], &m.Vertices[f[1]], &m.Vertices[f[2]])
		for _, v := range f {
			sum := &fans[v].sum
			sum[0], sum[1], sum[2] = sum[0]+x, sum[1]+y, sum[2]+z
		}
	}
	for v := range fans {
		fans[v].aim()
	}
	for _, v := range g.torn {
		fans[v].over = spoilt
	}
	for _, f := range m.Faces {
		if !distinct(f, len(fans)) {
			continue
		}
		t := newGridTriangle(g.places, &f)
		for k, v := range f {
			fans[v].add(&t.plane, t.p[k], t.p[(k+1)%3], t.p[(k+2)%3])
		}
	}
	return fans
}

// aim chooses the direction.
func (f *fan) aim() {
	most := max(f.sum[0], -f.sum[0], f.sum[1], -f.sum[1], f.sum[2], -f.sum[2], math.SmallestNonzeroFloat32)
	for k, x := range f.sum {
		f.toward[k] = int8(math.RoundToEven(float64(x / most * finest)))
	}
}

// add counts a face of which a corner p is the vertex, q and r being the others in the face's order.
func (f *fan) add(n *plane, p, q, r *gridVec) {
	d := gridVec{int64(f.toward[0]), int64(f.toward[1]), int64(f.toward[2])}
	if n.leans(d) <= 0 {
		f.over = spoilt
	}
	across := gridVec{d[1], -d[0]} // d x the ray
	if across == (gridVec{}) {
		across[0] = d[2]
	}
	along := func(q *gridVec) int64 { return across[0]*(q[0]-p[0]) + across[1]*(q[1]-p[1]) + across[2]*(q[2]-p[2]) }
	if f.over < 2 && along(q) >= 0 && along(r) < 0 { // it is narrower than half a turn, and so does not pass the ray on its other side
		f.over++
	}
}

// flat says whether no two of the faces have more in common than the corner or the edge that both have, if each edge at the vertex
// belongs to two that run along it both ways: seen along the direction all face one way, and one of them lies over one ray. Going round from there one
// begins wherever another ends, so that it is one everywhere.
func (f *fan) flat() bool { return f.over == 1 }
