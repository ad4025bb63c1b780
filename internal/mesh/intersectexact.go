package mesh

// Exact arithmetic on the grid: the signs of turns and of volumes.

import (
	"cmp"
	"math"
	"math/bits"
)

// gridVec is a place or a difference of places in grid steps.
type gridVec [3]int64

func (a gridVec) sub(b gridVec) gridVec { return gridVec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

// floatFilter bounds the rounding of a sum of products of differences, in floating point, against the sum of the products' sizes. Differences are
// exact; each of up to three products, two differences of them and two sums rounds by 2^-53 of no more than that sum: 16 leaves room.
const floatFilter = 16 * 0x1p-53

// next are the axes, each after the one before it.
var next = [4]int{1, 2, 0, 1}

// turn is the sign of the turn from a over b to c, seen along an axis: 1 is a left turn. Floating point decides when it can, 128-bit
// integers when it cannot.
func turn(a, b, c *gridVec, axis int) int {
	i, j := next[axis], next[axis+1]
	bi, bj, ci, cj := b[i]-a[i], b[j]-a[j], c[i]-a[i], c[j]-a[j]
	u, v := float64(bi)*float64(cj), float64(bj)*float64(ci)
	if bound := floatFilter * (math.Abs(u) + math.Abs(v)); u-v > bound {
		return 1
	} else if u-v < -bound {
		return -1
	}
	return widen(bi).times(cj).minus(widen(bj).times(ci)).sign()
}

// facing is the first axis along which three places are no line, 3 where they are one.
func facing(a, b, c *gridVec) (axis int) {
	for axis < 3 && turn(a, b, c, axis) == 0 {
		axis++
	}
	return axis
}

// plane is that of three places.
type plane struct {
	a, b, c *gridVec
	// n is (b - a) x (c - a) in floating point, and most the sizes of what each component is the difference of.
	n, most [3]float64
}

// lay puts the plane through three places.
func (p *plane) lay(a, b, c *gridVec) {
	p.a, p.b, p.c = a, b, c
	ux, uy, uz := float64(b[0]-a[0]), float64(b[1]-a[1]), float64(b[2]-a[2])
	vx, vy, vz := float64(c[0]-a[0]), float64(c[1]-a[1]), float64(c[2]-a[2])
	p.n[0], p.most[0] = difference(uy*vz, uz*vy)
	p.n[1], p.most[1] = difference(uz*vx, ux*vz)
	p.n[2], p.most[2] = difference(ux*vy, uy*vx)
}

func difference(a, b float64) (ab, most float64) { return a - b, math.Abs(a) + math.Abs(b) }

// side is the sign of a place against the plane: 1 in front, 0 in it, -1 behind.
func (p *plane) side(d *gridVec) int { return p.leans(d.sub(*p.a)) }

// leans is the sign of ((b - a) x (c - a)) . d, which it has no doubt of where all products are 0.
func (p *plane) leans(d gridVec) int {
	x, y, z := float64(d[0]), float64(d[1]), float64(d[2])
	sum := p.n[0]*x + p.n[1]*y + p.n[2]*z
	most := p.most[0]*math.Abs(x) + p.most[1]*math.Abs(y) + p.most[2]*math.Abs(z)
	switch {
	case sum > floatFilter*most:
		return 1
	case sum < -floatFilter*most:
		return -1
	case most > 0:
		return p.leansExactly(d)
	}
	return 0
}

// leansExactly sums the products in 128 bits.
func (p *plane) leansExactly(d gridVec) int {
	u, v := p.b.sub(*p.a), p.c.sub(*p.a)
	var sum wide
	for k := range 3 {
		i, j := next[k], next[k+1]
		n := widen(u[i]).times(v[j]).minus(widen(u[j]).times(v[i]))
		sum = sum.minus(n.times(-d[k]))
	}
	return sum.sign()
}

// wide is a whole number in two's complement of 128 bits.
type wide struct{ hi, lo uint64 }

func widen(a int64) wide { return wide{uint64(a >> 63), uint64(a)} }

func (a wide) minus(b wide) wide {
	lo, borrow := bits.Sub64(a.lo, b.lo, 0)
	hi, _ := bits.Sub64(a.hi, b.hi, borrow)
	return wide{hi, lo}
}

func (a wide) times(b int64) wide {
	hi, lo := bits.Mul64(a.lo, uint64(b))
	// As unsigned numbers, a negative b stands for b + 2^64, which adds a x 2^64.
	return wide{hi + a.hi*uint64(b) - uint64(b>>63)&a.lo, lo}
}

func (a wide) sign() int {
	if a.hi == 0 {
		return cmp.Compare(a.lo, 0)
	}
	return cmp.Compare(int64(a.hi), 0)
}
