package draw

// overlaps tells whether two boxes share more than an edge.
func (b box) overlaps(o box) bool {
	return b.X0 < o.X1 && o.X0 < b.X1 && b.Y0 < o.Y1 && o.Y0 < b.Y1
}
