package pose

// This file says which disc of a picture is which mark of the sheet.

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Match is a mark that was found: the disc and the mark.
type Match struct {
	Disc Disc
	Mark Mark
}

const (
	// nearFrom and nearTo are the distance of neighbours in radii, slant and lens allowed for: 4.3 as drawn.
	nearFrom, nearTo = 3.5, 5.2
	// withinSteps is how far a disc may lie from where its neighbours put it, as a share of the way to the next.
	withinSteps = 0.25
	// leastMarks is the fewest marks that make a sheet, leastAgree the least share of them with the holes they should have. By
	// chance a third of the discs of an even pattern agree.
	leastMarks, leastAgree = 12, 0.8
)

// match finds the sheet among discs; nil where there is none.
func match(discs []Disc) (best []Match) {
	marks := Marks()
	at := map[[2]int]Mark{}
	for _, m := range marks {
		at[[2]int{m.column, m.row}] = m
	}
	next := make([][]int, len(discs))
	for i, d := range discs {
		for k, e := range discs {
			if i != k && within(d.far(e), nearFrom, nearTo) && within(e.far(d), nearFrom, nearTo) {
				next[i] = append(next[i], k)
			}
		}
	}
	worth := 0
	for i, d := range discs {
		for _, right := range next[i] {
			for _, up := range next[i] {
				rx, ry := d.from(discs[right].X, discs[right].Y)
				ux, uy := d.from(discs[up].X, discs[up].Y)
				// Seen from above, with y down, up lies left of right; about square to it.
				if turn := rx*uy - ry*ux; turn > -0.85*math.Hypot(rx, ry)*math.Hypot(ux, uy) {
					continue
				}
				for _, m := range marks {
					r, okRight := at[[2]int{m.column + 1, m.row}]
					u, okUp := at[[2]int{m.column, m.row + 1}]
					if !okRight || !okUp || m.Holes != d.Holes || r.Holes != discs[right].Holes || u.Holes != discs[up].Holes {
						continue
					}
					found := grow(discs, marks, []Match{{d, m}, {discs[right], r}, {discs[up], u}})
					if n := agree(found); n > worth {
						best, worth = found, n
					}
					if 10*worth > 9*len(discs) || worth > len(marks)*3/4 {
						return best
					}
				}
			}
		}
	}
	if len(best) < leastMarks || float64(worth) < leastAgree*float64(len(best)) {
		return nil
	}
	return best
}

func within(x, low, high float64) bool { return x > low && x < high }

// far is how far another disc lies, in radii of this one.
func (d Disc) far(o Disc) float64 { return math.Hypot(d.from(o.X, o.Y)) }

// agree counts matches whose disc has the holes of its mark.
func agree(found []Match) (n int) {
	for _, m := range found {
		if m.Disc.Holes == m.Mark.Holes {
			n++
		}
	}
	return n
}

// grow goes on from three neighbours, farther each time, as long as discs lie where the sheet has marks.
func grow(discs []Disc, marks []Mark, seed []Match) []Match {
	found := seed
	for reach := 1.5; ; reach *= 1.6 {
		h, ok := flat(found)
		if !ok {
			return nil
		}
		var now []Match
		for _, m := range marks {
			// Only marks that are near to what is found already: beyond, a flat guess strays.
			if !slices.ContainsFunc(found, func(f Match) bool {
				return math.Hypot(float64(f.Mark.column-m.column), float64(f.Mark.row-m.row)) <= 2.3
			}) || math.Hypot(m.X-seed[0].Mark.X, m.Y-seed[0].Mark.Y) > reach*StepMM {
				continue
			}
			x, y, seen := h.at(m.X, m.Y)
			if !seen {
				continue
			}
			x1, y1, seen1 := h.at(m.X+StepMM, m.Y)
			x2, y2, seen2 := h.at(m.X, m.Y+StepMM)
			step := math.Min(math.Hypot(x1-x, y1-y), math.Hypot(x2-x, y2-y))
			if !seen1 || !seen2 {
				continue
			}
			nearest, off := -1, withinSteps*step
			for i, d := range discs {
				if o := math.Hypot(d.X-x, d.Y-y); o < off {
					nearest, off = i, o
				}
			}
			if nearest >= 0 {
				now = append(now, Match{discs[nearest], m})
			}
		}
		if len(now) < 3 || reach < 10 && agree(now)*3 < len(now)*2 {
			return nil
		}
		done := reach > 20 && len(now) <= len(found)
		if found = now; done {
			return found
		}
	}
}

// homography leads from the sheet to the picture.
type homography [9]float64

func (h homography) at(x, y float64) (u, v float64, ok bool) {
	w := h[6]*x + h[7]*y + h[8]
	if w < 1e-9 {
		return 0, 0, false
	}
	return (h[0]*x + h[1]*y + h[2]) / w, (h[3]*x + h[4]*y + h[5]) / w, true
}

// flat fits a homography of a sheet through matches; three, or those of few rows, get an affine map. Lenses bend it a little.
func flat(found []Match) (h homography, ok bool) {
	n := len(found)
	var mx, my float64
	columns, lines := map[int]int{}, map[int]int{}
	for _, m := range found {
		mx, my = mx+m.Mark.X/float64(n), my+m.Mark.Y/float64(n)
		columns[m.Mark.column]++
		lines[m.Mark.row]++
	}
	unknown := 8
	if n < 7 || len(columns) < 3 && len(lines) < 3 || len(columns) < 2 || len(lines) < 2 {
		unknown = 6
	}
	a, b := mat.NewDense(2*n, unknown, nil), mat.NewVecDense(2*n, nil)
	for i, m := range found {
		x, y, u, v := (m.Mark.X-mx)/100, (m.Mark.Y-my)/100, m.Disc.X, m.Disc.Y
		a.SetRow(2*i, []float64{x, y, 1, 0, 0, 0, -u * x, -u * y}[:unknown])
		a.SetRow(2*i+1, []float64{0, 0, 0, x, y, 1, -v * x, -v * y}[:unknown])
		b.SetVec(2*i, u)
		b.SetVec(2*i+1, v)
	}
	var c mat.VecDense
	if err := c.SolveVec(a, b); err != nil {
		return h, false
	}
	var k [9]float64
	for i := range unknown {
		k[i] = c.AtVec(i)
	}
	k[8] = 1
	// Back from the middle and the scale.
	for row := range 3 {
		p, q := k[3*row]/100, k[3*row+1]/100
		h[3*row], h[3*row+1], h[3*row+2] = p, q, k[3*row+2]-p*mx-q*my
	}
	return h, true
}
