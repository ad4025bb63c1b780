package draw

// overlaps tells whether two boxes share more than an edge.
func (b box) overlaps(o box) bool {
	return b.X0 < o.X1 && o.X0 < b.X1 && b.Y0 < o.Y1 && o.Y0 < b.Y1
}

// crossedBy tells whether the line from p to q has a point inside the box.
func (b box) crossedBy(p, q at) bool {
	// The part of the line inside each pair of sides, as a range of its parameter (Liang and Barsky, 1984).
	from, to := 0.0, 1.0
	for _, side := range [4][2]float64{{p.X - q.X, p.X - b.X0}, {q.X - p.X, b.X1 - p.X}, {p.Y - q.Y, p.Y - b.Y0}, {q.Y - p.Y, b.Y1 - p.Y}} {
		rise, room := side[0], side[1]
		switch {
		case rise < 0:
			from = max(from, room/rise)
		case rise > 0:
			to = min(to, room/rise)
		case room <= 0:
			return false
		}
	}
	return from < to
}
