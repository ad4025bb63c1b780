package photo

// This file reads one edge of a cast, where the other was torn or never filled.

// castJudgements are those of judgements that look at one edge.
var castJudgements = []judgement{enoughPixels, enoughCrests, deepEnough, alikeEnough, evenEnough, sureEnough}

// alongEdge traces the part along a frame and keeps the edge that ripples better, as if it were both.
func alongEdge(grey *plane, p *part, f frame) (best *measured, ok bool) {
	o, traced := trace(grey, p, f)
	if !traced {
		return nil, false
	}
	for _, edge := range []outline{o.left, o.right} {
		m, found := followed(outlines{frame: o.frame, s0: o.s0, left: edge, right: edge}, p)
		if best == nil || found && (!ok || m.worth() > best.worth()) {
			best, ok = m, found
		}
	}
	return best, ok
}

// evaluateEdge works out the pitch of one edge, beside which the marks lie.
func (m *measured) evaluateEdge() {
	from, to := m.a.ends()
	middle := (from + to) / 2
	m.period, m.uPeriod = m.a.periodAt(middle)
	m.seeFrom(middle, from, to)
	m.uTaper = 1 // one edge does not tell
	m.scale(1, 0)
}
