package mesh

// Broad phase: which boxes overlap.

// gridBox is a closed box.
type gridBox struct{ lo, hi gridVec }

// overlap says whether two boxes have a place in common.
func (a *gridBox) overlap(b *gridBox) bool {
	return a.lo[0] <= b.hi[0] && b.lo[0] <= a.hi[0] && a.lo[1] <= b.hi[1] && b.lo[1] <= a.hi[1] &&
		a.lo[2] <= b.hi[2] && b.lo[2] <= a.hi[2]
}

// widen stretches a box over another.
func (a *gridBox) widen(b *gridBox) {
	for k := range 3 {
		a.lo[k], a.hi[k] = min(a.lo[k], b.lo[k]), max(a.hi[k], b.hi[k])
	}
}

// boxOf is the box around places.
func boxOf(a gridVec, more ...gridVec) gridBox {
	box := gridBox{a, a}
	for i := range more {
		box.widen(&gridBox{more[i], more[i]})
	}
	return box
}

// boxed is the box of the thing with a number.
type boxed struct {
	gridBox
	of int32
}

// few are so few boxes that trying each is faster than parting them.
const few = 8

// around is the box around all.
func around(all []boxed) gridBox {
	box := all[0].gridBox
	for i := range all {
		box.widen(&all[i].gridBox)
	}
	return box
}

// parted brings what is wanted to the front, and returns both parts.
func parted(all []boxed, wanted func(b *gridBox) bool) (front, back []boxed) {
	n := 0
	for i := range all {
		if wanted(&all[i].gridBox) {
			all[i], all[n] = all[n], all[i]
			n++
		}
	}
	return all[:n], all[n:]
}

// halves parts boxes half way along the axis on which their middles lie farthest apart; high is empty when all lie in one place.
func halves(all []boxed) (low, high []boxed) {
	if len(all) == 0 {
		return nil, nil
	}
	least, most := all[0].lo.add(all[0].hi), all[0].lo.add(all[0].hi) // of twice the middles
	for i := range all {
		for k, x := range all[i].lo.add(all[i].hi) {
			least[k], most[k] = min(least[k], x), max(most[k], x)
		}
	}
	axis := 0
	for k := range 3 {
		if most[k]-least[k] > most[axis]-least[axis] {
			axis = k
		}
	}
	half := least[axis] + (most[axis]-least[axis])/2
	return parted(all, func(b *gridBox) bool { return b.lo[axis]+b.hi[axis] <= half })
}

// pairs calls visit once for each pair of things whose boxes overlap, until it says false. It changes the order of all.
func pairs(all []boxed, visit func(a, b int32) bool) bool {
	if len(all) > few {
		if low, high := halves(all); len(high) > 0 {
			return pairs(low, visit) && pairs(high, visit) && across(low, high, visit)
		}
	}
	for i := range all {
		for j := range i {
			if all[i].overlap(&all[j].gridBox) && !visit(all[j].of, all[i].of) {
				return false
			}
		}
	}
	return true
}

// across visits the pairs of one thing of a and one of b.
func across(a, b []boxed, visit func(a, b int32) bool) bool {
	if len(a) == 0 || len(b) == 0 {
		return true
	}
	box := around(b)
	if a, _ = parted(a, box.overlap); len(a) == 0 {
		return true
	}
	box = around(a)
	b, _ = parted(b, box.overlap)
	if len(a) < len(b) {
		a, b = b, a
	}
	if len(a) > few && len(b) > 1 {
		if low, high := halves(a); len(high) > 0 {
			return across(low, b, visit) && across(high, b, visit)
		}
	}
	for i := range a {
		for j := range b {
			if a[i].overlap(&b[j].gridBox) && !visit(a[i].of, b[j].of) {
				return false
			}
		}
	}
	return true
}
