package printer

// This file puts what was learned of a printer back into its profile, and finds what was tried last.

import (
	"maps"
	"math"

	"gonum.org/v1/gonum/floats"

	"tryring/internal/unit"
)

// After returns p with the figures that trials have taught, tied together as far as they are, for the diameter that was tried last. The
// uncertainty holds the scatter from print to print as well, since the next print is one more; where belief is no normal law, that of the
// profile is moved as little as holds what is felt, with 95 % chance, on the thread tried last. What stands proud of flanks beside the
// layers counts as their share, in the profile's layers.
func (p Profile) After(trials []Trial) Profile {
	if len(trials) == 0 {
		return p
	}
	sources := map[string]string{}
	maps.Copy(sources, p.Sources)
	l := p.Learn(trials)
	p.TriedAt = unit.MM(p.lastDiameter(trials))
	share, scale := make([]float64, l.unseen), make([]float64, l.unseen)
	share[ofShare], share[ofProud], scale[ofScale] = 1, 1/p.usualLayers(Inside), 1
	mean, tied := l.together(l.plain(Outside, p.TriedAt.MM()), l.plain(Inside, p.TriedAt.MM()), share, scale)
	for i, s := range []Side{Outside, Inside} {
		from := told(trials, s)
		u := map[Side]unit.Length{Outside: p.OutsideU, Inside: p.InsideU}[s].MM()
		if from == "" { // only the scale may be known better; its own figure is as good as the profile says
			from = p.Source
			tied[i][i] -= (priorWider*priorWider - 1) * u * u
		} else {
			tied[i][i] += Scatter.MM() * Scatter.MM()
			by, wider := l.Felt(s, p.LastUse(s, trials)).held()
			mean[i] += by
			tied[i][i] += wider
		}
		for _, key := range map[Side][2]string{Outside: {"outside_adds_mm", "outside_u_mm"}, Inside: {"inside_takes_mm", "inside_u_mm"}}[s] {
			sources[key] = from
		}
	}
	u := func(i int) float64 { return math.Round(1000*math.Sqrt(tied[i][i])) / 1000 }
	p.OutsideAdds, p.InsideTakes = roundedMM(unit.MM(mean[0])), roundedMM(unit.MM(mean[1]))
	p.OutsideU, p.InsideU = max(unit.MM(u(0)), leastU), max(unit.MM(u(1)), leastU)
	p.LayerShare, p.LayerShareU, p.ScalePct, p.ScaleUPct = math.Round(1000*mean[2])/1000, u(2), math.Round(1000*mean[3])/1000+0, u(3)
	p.Tied, p.Sources = &tied, sources
	return p
}

// together are the means and covariances of four sums of the unseen with these weights.
func (l Learnt) together(weights ...[]float64) (mean [4]float64, tied [4][4]float64) {
	means := make([][4]float64, len(l.states))
	for i, s := range l.states {
		for a, w := range weights {
			m, _, with := s.of(w)
			means[i][a] = m
			mean[a] += l.shares[i] * m
			for b, v := range weights {
				tied[a][b] += l.shares[i] * floats.Dot(with, v)
			}
		}
	}
	for i, x := range l.shares {
		for a := range mean {
			for b := range mean {
				tied[a][b] += x * (means[i][a] - mean[a]) * (means[i][b] - mean[b])
			}
		}
	}
	return mean, tied
}

// told says how many trials tell of a side, "" for none.
func told(trials []Trial, s Side) string {
	n := 0
	for _, t := range trials {
		if t.touches(s) {
			n++
		}
	}
	if n == 0 {
		return ""
	}
	return "learned from " + unit.Counted(n, "trial")
}

// leastU is the least uncertainty that a profile may state.
const leastU = 0.001 * unit.Millimetre

// roundedMM rounds to a thousandth of a millimetre, which is more than a printer knows of itself.
func roundedMM(l unit.Length) unit.Length { return unit.MM(math.Round(l.MM()*1000)/1000 + 0) }

// LastRung is the rung of a side that was tried last, with the part that it was tried on.
func LastRung(s Side, trials []Trial) (r SeenRung, on Part, known bool) {
	for _, t := range trials {
		for _, x := range t.Rungs {
			if x.Side == s {
				r, known = x, true
			}
		}
	}
	for _, t := range trials {
		for _, x := range t.Parts {
			if x.key() == (partKey{r.Side, r.Part}) {
				on = x
			}
		}
	}
	return r, on, known
}

// LastUse is the thread of a side that was tried last: that of a rung, or else one of 60 degrees in the profile's layers, of the diameter
// that was read last.
func (p Profile) LastUse(s Side, trials []Trial) Use {
	out := Use{oldDiameterMM, p.usualLayers(s)}
	for _, r := range readingsOf(s, trials) {
		out.DiameterMM = r.ModelledMM
	}
	for _, t := range trials {
		for _, r := range t.Rungs {
			if r.Side == s {
				out = r.use(p)
			} else if r.Side == Pair { // half of what both feel
				out = r.use(p)
				out.LayersMM /= 2
			}
		}
	}
	return out
}

// lastDiameter is the diameter that was tried last, the mean of both sides.
func (p Profile) lastDiameter(trials []Trial) float64 {
	sum, n := 0.0, 0.0
	for _, s := range []Side{Inside, Outside} {
		if told(trials, s) != "" {
			sum, n = sum+p.LastUse(s, trials).DiameterMM, n+1
		}
	}
	return math.Round(sum/max(1, n)*1000) / 1000
}
