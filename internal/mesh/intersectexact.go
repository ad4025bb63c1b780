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

// turn is the sign of the turn from a over b to c, seen along an axis: 1 is a left turn. Floating point decides when it can, 128-bit
// integers when it cannot.
func turn(a, b, c *gridVec, axis int) int {
	i, j := (axis+1)%3, (axis+2)%3
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

// plane is that of two differences u and v.
type plane struct {
	u, v gridVec
	// n is u x v in floating point, and most the sizes of what each component is the difference of.
	n, most [3]float64
}

func planeOf(u, v gridVec) plane {
	p := plane{u: u, v: v}
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		a, b := float64(u[i])*float64(v[j]), float64(u[j])*float64(v[i])
		p.n[k], p.most[k] = a-b, math.Abs(a)+math.Abs(b)
	}
	return p
}

// side is the sign of (u x v) . d: 1 in front, 0 in the plane, -1 behind.
func (p *plane) side(d gridVec) int {
	var sum, most float64
	for k := range 3 {
		x := float64(d[k])
		sum += p.n[k] * x
		most += p.most[k] * math.Abs(x)
	}
	if sum > floatFilter*most {
		return 1
	} else if sum < -floatFilter*most {
		return -1
	}
	return p.sideExactly(d)
}

// sideExactly sums the products in 128 bits.
func (p *plane) sideExactly(d gridVec) int {
	var sum wide
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		n := widen(p.u[i]).times(p.v[j]).minus(widen(p.u[j]).times(p.v[i]))
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
