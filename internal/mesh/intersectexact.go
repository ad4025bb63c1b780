package mesh

// Exact arithmetic on the grid: the signs of turns and of determinants.

import (
	"cmp"
	"math"
	"math/bits"
)

// gridVec is a place or a difference of places in grid steps.
type gridVec [3]int32

func (a gridVec) add(b gridVec) gridVec { return gridVec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }

func (a gridVec) sub(b gridVec) gridVec { return gridVec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

// wideVec is a cross product of differences: components below 2^55.
type wideVec [3]int64

func (a gridVec) cross(b gridVec) wideVec {
	ax, ay, az := int64(a[0]), int64(a[1]), int64(a[2])
	bx, by, bz := int64(b[0]), int64(b[1]), int64(b[2])
	return wideVec{ay*bz - az*by, az*bx - ax*bz, ax*by - ay*bx}
}

// widest is the axis along which a normal is longest: looking along it, the plane stays a plane.
func (n wideVec) widest() int {
	axis := 0
	for k := range n {
		if max(n[k], -n[k]) > max(n[axis], -n[axis]) {
			axis = k
		}
	}
	return axis
}

// dotFilter bounds the rounding of dotSign's floating-point sum against the sum of its terms' sizes: a conversion
// and a product a term (2 x 2^-53) and two sums (2 x 2^-53) give 4 x 2^-53; 16 leaves room.
const dotFilter = 16 * 0x1p-53

// dotSign is the sign of n . d. Floating point decides when it can, 128-bit integers when it cannot.
func (n wideVec) dotSign(d gridVec) int {
	x, y, z := float64(n[0])*float64(d[0]), float64(n[1])*float64(d[1]), float64(n[2])*float64(d[2])
	sum := x + y + z
	if bound := dotFilter * (math.Abs(x) + math.Abs(y) + math.Abs(z)); sum > bound {
		return 1
	} else if sum < -bound {
		return -1
	}
	return n.dotSignExactly(d)
}

// dotSignExactly sums the products in two's complement of 128 bits; 2^84 fits with room to spare.
func (n wideVec) dotSignExactly(d gridVec) int {
	var hi, lo uint64
	for k := range n {
		h, l := multiply(n[k], int64(d[k]))
		var carry uint64
		lo, carry = bits.Add64(lo, l, 0)
		hi, _ = bits.Add64(hi, h, carry)
	}
	switch {
	case int64(hi) < 0:
		return -1
	case hi|lo == 0:
		return 0
	default:
		return 1
	}
}

// multiply is a signed 64 by 64 bit product in two's complement.
func multiply(a, b int64) (hi, lo uint64) {
	hi, lo = bits.Mul64(uint64(a), uint64(b))
	// As unsigned numbers, a negative a stands for a + 2^64, which adds b x 2^64; and so for b.
	hi -= uint64(a>>63) & uint64(b)
	hi -= uint64(b>>63) & uint64(a)
	return hi, lo
}

// turn is the sign of the turn from a over b to c, seen along an axis: 1 is a left turn.
func turn(a, b, c gridVec, axis int) int {
	i, j := (axis+1)%3, (axis+2)%3
	u := int64(b[i]-a[i]) * int64(c[j]-a[j])
	v := int64(b[j]-a[j]) * int64(c[i]-a[i])
	return cmp.Compare(u, v)
}
