package world

// This file holds the twelve worlds. Every rate that is unknown is drawn anew for each town or shop from a wide range.

import "math/rand/v2"

// The names of the worlds.
const (
	careful    = "careful"
	clumsy     = "clumsy"
	rulerOnly  = "ruler only"
	fractions  = "fractions"
	wrongSide  = "wrong side"
	worn       = "worn"
	oneHand    = "one hand three times"
	miscounts  = "miscounts"
	noTable    = "threads of no table"
	paddedList = "padded list"
	byBoreList = "by-bore list"
	mixtures   = "mixtures"
)

var worlds = []string{careful, clumsy, rulerOnly, fractions, wrongSide, worn, oneHand, miscounts, noTable, paddedList, byBoreList, mixtures}

// townOf is a town of a world whose people read threads; ok is false for a world of lists alone.
func townOf(world string, rng *rand.Rand) (w town, ok bool) {
	w = usual(rng)
	switch world {
	case careful:
	case clumsy:
		w.scatter, w.tilt, w.along = between(rng, 0.04, 0.15), between(rng, 0.02, 0.15), between(rng, 0.1, 0.4)
		w.write, w.repeats, w.counts, w.rules, w.transpose = hasty, 1, 0.7, 0.3, between(rng, 0, 0.02)
	case rulerOnly:
		// Parallax, and an end that is worn: unknown.
		w.bias, w.scatter, w.along, w.jaws, w.tilt = between(rng, 0.05, 0.25), between(rng, 0.15, 0.4), between(rng, 0.2, 0.5), between(rng, 0, 0.2), 0
		w.write, w.repeats, w.counts, w.rules = rule, 1, 0.5, 0.5
	case fractions:
		w.write = parted
	case wrongSide:
		w.swap = between(rng, 0.1, 0.5)
	case worn:
		w.worn, w.wear, w.tells = between(rng, 0.3, 0.9), between(rng, 0.1, 0.4), between(rng, 0.3, 0.9)
	case oneHand:
		w.repeats, w.jaws, w.tilt = 3, between(rng, 0.02, 0.1), between(rng, 0.01, 0.06)
	case miscounts:
		w.miscount = between(rng, 0.1, 0.45)
	case noTable:
		w.strange = 1
	case mixtures:
		kinds := []string{careful, careful, clumsy, rulerOnly, fractions, worn, oneHand}
		w, _ = townOf(kinds[rng.IntN(len(kinds))], rng)
		w.swap, w.miscount, w.bareInch = between(rng, 0, 0.06), between(rng, 0, 0.1), between(rng, 0, 0.04)
		w.strange = between(rng, 0, 0.1)
	default:
		return w, false
	}
	return w, true
}

// shopOf is a shop of a world of lists.
func shopOf(world string, rng *rand.Rand) (s shop, ok bool) {
	s = plainShop(rng)
	switch world {
	case paddedList:
		s.pads, s.digits, s.fractions = true, 1+rng.IntN(2), false
	case byBoreList:
		share := between(rng, 0.2, 0.8)
		s.byBore = [][2]float64{{1, 1}, {share, share}, {1, 0}, {0, 1}}[rng.IntN(4)]
	case mixtures:
		s.pads, s.missing, s.header = chance(rng, 0.3), between(rng, 0, 0.3), headers[rng.IntN(len(headers))]
		share := rng.Float64()
		s.byBore = [][2]float64{{0, 0}, {1, 1}, {share, share}, {share, 1 - share}}[rng.IntN(4)]
		s.between = []string{",", ",", ";", "\t", " | ", columns}[rng.IntN(6)]
		s.metric = []float64{0, 0, between(rng, 0, 0.3)}[rng.IntN(3)]
		if chance(rng, 0.2) {
			s.title = []string{"Adapters in stock", "Price list, all sizes in inches"}[rng.IntN(2)]
		}
	default:
		return s, false
	}
	return s, true
}
