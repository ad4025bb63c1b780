package photo

// This file parts marked crests into the rows of the two edges, numbers them by their spacing, and looks at the step between the rows,
// which tells a thread from rings.

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
)

// markRow is the row of crests along one edge: its places along the axis, rising, and its line across it.
type markRow struct {
	// index are the marks' places in the list given; along and across those in the frame, weights the inverse squares of how
	// well they stand there, numbers what the crests count.
	index                           []int
	along, across, weights, numbers []float64
	// line and slope are across = line + slope (along - middle); uAcross and uSlope their standard uncertainties.
	line, slope, middle, uAcross, uSlope float64
	from, to                             float64
	// start is where crest 0 would stand along the axis, in the best row of the common pitch; uStart its standard uncertainty.
	start, uStart float64
}

func (r *markRow) at(along float64) float64 { return r.line + r.slope*(along-r.middle) }

// markRows are both rows in one frame.
type markRows struct {
	frame           frame
	row             [2]markRow
	period, uPeriod float64
	places          []Place
}

// rows finds the rows and what they have in common.
func (m Marked) rows() (*markRows, error) {
	one, two, err := m.part()
	if err != nil {
		return nil, err
	}
	r := &markRows{places: make([]Place, len(m.Crests))}
	// The axis runs between the directions of the two rows; s goes up the picture, or to the right on a part that lies.
	ax, ay := m.direction(one)
	bx, by := m.direction(two)
	if ax*bx+ay*by < 0 {
		bx, by = -bx, -by
	}
	wa, wb := float64(len(one)), float64(len(two))
	r.frame = newFrame(0, 0, math.Atan2(ay*wa+by*wb, ax*wa+bx*wb))
	for k, marks := range [2][]int{one, two} {
		r.row[k] = m.newRow(r.frame, marks)
	}
	if r.row[0].line > r.row[1].line {
		r.row[0], r.row[1] = r.row[1], r.row[0]
	}
	if err := r.number(); err != nil {
		return nil, err
	}
	r.fit()
	for k := range r.row {
		for i, at := range r.row[k].index {
			r.places[at] = Place{k, int(r.row[k].numbers[i])}
		}
	}
	return r, nil
}

// part parts the marks by the line, in any direction, that leaves two groups which are narrowest across that direction.
func (m Marked) part() (one, two []int, err error) {
	type spot struct {
		index int
		t     float64
	}
	const directions = 360
	n := len(m.Crests)
	spots := make([]spot, n)
	best := math.Inf(1)
	for d := range directions {
		sin, cos := math.Sincos(math.Pi * float64(d) / directions)
		for i, c := range m.Crests {
			spots[i] = spot{i, c.X*cos + c.Y*sin}
		}
		slices.SortFunc(spots, func(a, b spot) int { return cmp.Compare(a.t, b.t) })
		sum, squares := make([]float64, n+1), make([]float64, n+1)
		for i, s := range spots {
			t := s.t - spots[0].t
			sum[i+1], squares[i+1] = sum[i]+t, squares[i]+t*t
		}
		spread := func(from, to int) float64 {
			s := sum[to] - sum[from]
			return squares[to] - squares[from] - s*s/float64(to-from)
		}
		for k := shortRow; k <= n-shortRow; k++ {
			if both := spread(0, k) + spread(k, n); both < best {
				best = both
				one, two = one[:0], two[:0]
				for i, s := range spots {
					if i < k {
						one = append(one, s.index)
					} else {
						two = append(two, s.index)
					}
				}
			}
		}
	}
	if max(len(one), len(two)) < longRow {
		return nil, nil, fmt.Errorf("%w: %d crests stand along one edge and %d along the other; it takes %d along one of them", ErrMarks, len(one), len(two), longRow)
	}
	return one, two, nil
}

// direction is that of the line through some marks, by least squares of the distances from it.
func (m Marked) direction(marks []int) (x, y float64) {
	var mx, my float64
	for _, i := range marks {
		mx += m.Crests[i].X / float64(len(marks))
		my += m.Crests[i].Y / float64(len(marks))
	}
	var xx, xy, yy float64
	for _, i := range marks {
		dx, dy := m.Crests[i].X-mx, m.Crests[i].Y-my
		xx, xy, yy = xx+dx*dx, xy+dx*dy, yy+dy*dy
	}
	turn := math.Atan2(2*xy, xx-yy) / 2
	return math.Cos(turn), math.Sin(turn)
}

func (m Marked) newRow(f frame, marks []int) markRow {
	r := markRow{index: slices.Clone(marks)}
	along := func(i int) float64 { s, _ := f.to(m.Crests[i].X, m.Crests[i].Y); return s }
	slices.SortFunc(r.index, func(a, b int) int { return cmp.Compare(along(a), along(b)) })
	for _, i := range r.index {
		s, t := f.to(m.Crests[i].X, m.Crests[i].Y)
		r.along, r.across, r.weights = append(r.along, s), append(r.across, t), append(r.weights, 1/square(m.Crests[i].u()))
	}
	r.from, r.to = r.along[0], r.along[len(r.along)-1]
	r.middle = (r.from + r.to) / 2
	r.fitLine()
	return r
}

// fitLine lays the crest line through the marks.
func (r *markRow) fitLine() {
	x := slices.Clone(r.along)
	floats.AddConst(-r.middle, x)
	n := floats.Sum(r.weights)
	mean, variance := stat.PopMeanVariance(x, r.weights)
	if variance <= 0 {
		r.line, r.uAcross = stat.Mean(r.across, r.weights), 1/math.Sqrt(n)
		return
	}
	r.line, r.slope = stat.LinearRegression(x, r.across, r.weights, false)
	r.uSlope = 1 / math.Sqrt(n*variance)
	r.uAcross = math.Hypot(1/math.Sqrt(n), mean*r.uSlope)
	if dof := len(r.along) - 2; dof > 0 { // what is rougher than it should be is known less well
		chi := 0.0
		for i := range r.along {
			chi += r.weights[i] * square(r.across[i]-r.at(r.along[i]))
		}
		rough := math.Max(1, math.Sqrt(chi/float64(dof)))
		r.uAcross, r.uSlope = r.uAcross*rough, r.uSlope*rough
	}
}

// number counts the crests of both rows by the usual distance between neighbours.
func (r *markRows) number() error {
	var gaps []float64
	for _, row := range r.row {
		for i := 1; i < len(row.along); i++ {
			gaps = append(gaps, row.along[i]-row.along[i-1])
		}
	}
	r.period = median(gaps)
	if !(r.period > 1) {
		return fmt.Errorf("%w: two of them stand on one crest; move one or strike it out", ErrMarks)
	}
	for range 2 { // a gap where crests were struck out is wide, and says the better what one pitch is
		total, pitches := 0.0, 0.0
		for _, g := range gaps {
			if n := math.Round(g / r.period); n >= 1 {
				total, pitches = total+g, pitches+n
			}
		}
		r.period = total / pitches
	}
	for k := range r.row {
		row := &r.row[k]
		row.numbers = []float64{1}
		for i := 1; i < len(row.along); i++ {
			steps := (row.along[i] - row.along[i-1]) / r.period
			n := math.Round(steps)
			if off := math.Abs(steps - n); off > outOfStep || n < 1 {
				return &OddMark{Index: row.index[i], why: fmt.Sprintf("a crest of the %s edge stands %.2f pitches after number %.0f; move it or strike it out",
					r.edge(k), steps, row.numbers[i-1])}
			}
			row.numbers = append(row.numbers, row.numbers[i-1]+n)
		}
	}
	return nil
}

// fit lays one pitch through the numbers of both rows.
func (r *markRows) fit() {
	var top, bottom float64
	for _, row := range r.row {
		number, along := stat.Mean(row.numbers, row.weights), stat.Mean(row.along, row.weights)
		for i, w := range row.weights {
			n := row.numbers[i] - number
			top, bottom = top+w*n*(row.along[i]-along), bottom+w*n*n
		}
	}
	r.period = top / bottom
	chi, marks := 0.0, 0
	for k := range r.row {
		row := &r.row[k]
		row.start = stat.Mean(row.along, row.weights) - r.period*stat.Mean(row.numbers, row.weights)
		row.uStart = 1 / math.Sqrt(floats.Sum(row.weights))
		for i, w := range row.weights {
			chi += w * square(row.along[i]-row.start-r.period*row.numbers[i])
		}
		marks += len(row.weights)
	}
	r.uPeriod = math.Sqrt(1/bottom) * math.Max(1, math.Sqrt(chi/float64(max(1, marks-3))))
}

// edge is how a person sees a row on the picture.
func (r *markRows) edge(k int) string {
	return outlines{frame: r.frame}.edgeName([2]side{left, right}[k])
}

// outlines are the rows as a picture's outlines, their crests in order.
func (r *markRows) outlines(marks []HandMark) []Outline {
	var out []Outline
	for k := range r.row {
		row := &r.row[k]
		o := Outline{Side: r.edge(k), PeriodPixels: r.period}
		for _, i := range row.index {
			o.Crests = append(o.Crests, marks[i].Mark)
		}
		end := func(along float64) Mark {
			x, y := r.frame.at(along, row.at(along))
			return Mark{round2(x), round2(y)}
		}
		o.LineFrom, o.LineTo = end(row.from-r.period/2), end(row.to+r.period/2)
		out = append(out, o)
	}
	return out
}

// levelNote is what is told of rows whose crests stand level.
const levelNote = "the crests marked on both edges stand level, as on rings, barbs or a thread of two starts; on a thread of one start those of one edge stand halfway between those of the other"

// step is by how much of a pitch the crests of the one row stand beyond those of the other, 0 to 1, with its standard
// uncertainty, on a part so many pixels wide. skew is by how much the camera's place may turn the axis, in radians.
func (r *markRows) step(width, skew float64) (step, u float64) {
	a, b := &r.row[0], &r.row[1]
	// The axis halves the angle between the two crest lines, whichever row the frame goes by.
	turn := (a.slope + b.slope) / 2
	step = math.Mod((b.start-a.start+turn*width)/r.period, 1)
	if step < 0 {
		step++
	}
	axis := math.Hypot(math.Hypot(a.uSlope, b.uSlope)/2, 0.003+skew)
	return step, math.Hypot(axis*width, math.Hypot(a.uStart, b.uStart)) / r.period
}

// level tells of rows that stand level, or nothing. The part takes wide of the focal length.
func (r *markRows) level(m Marked, width, wide float64) string {
	const near = 0.25
	beside := size{m.Width, m.Height}.beside(r.frame, (r.row[0].line+r.row[1].line)/2)
	if step, u := r.step(width, wide*math.Abs(beside)/2); math.Abs(step-0.5) > math.Max(near, 2*u) {
		return levelNote
	}
	return ""
}
