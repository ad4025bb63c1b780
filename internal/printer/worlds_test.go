package printer_test

// This file simulates worlds of printers, parts and hands whose truth is known. It shares no figure and no formula with the way in
// which trials are learned from: what is drawn stands here, each range with where it comes from.

import (
	"math"
	"math/rand/v2"

	"tryring/internal/printer"
)

// span is a range from which a figure is drawn evenly.
type span struct{ from, to float64 }

func (s span) draw(rng *rand.Rand) float64 { return s.from + (s.to-s.from)*rng.Float64() }

// world is the ranges that one printer, its part and its hand are drawn from. Lengths in mm, errors on the diameter.
type world struct {
	name string
	// inside is what bores lose, outside what outsides gain, at 20 mm, where calipers can read it.
	inside, outside span
	// share is how much of the layers' reach past the drawn flanks the mate feels.
	share span
	// growth is how much larger all diameters come out, as a share of them.
	growth span
	// print is how far one print scatters from the next, plate how far all prints of one plate do together (standard deviations).
	print, plate span
	// starts is the clearance above which a hand turns a thread on at all, band how much more it runs free with, feel how far the
	// hand errs from one rung to the next (standard deviation).
	starts, band, feel span
	// entry is how much narrower the first layer leaves the entry than the thread.
	entry span
	// rough is what stands proud of the flanks, where no caliper reads it; rub how much more clearance a rough thread runs free with.
	rough, rub span
	// cone is how much the print's diameter differs from one end to the other.
	cone span
	// byPitch is how much tighter the flanks come out for each millimetre of pitch.
	byPitch span
	// mixed is the share of rungs of which the outcome is written to another rung of the ladder.
	mixed float64
	// fromTop says that rungs were tried from the end that was printed on top.
	fromTop bool
	// learned and used are what is learned on, and what that is asked of: the same where nothing is carried.
	learned, used use
}

// use is a thread of a print.
type use struct{ diameter, pitch, layer float64 }

// ladderThread is the thread of the trial ladders: M20x1.5 at the usual layer of a 0.4 mm nozzle.
var ladderThread = use{20, 1.5, 0.2}

// plain is a world in which nothing is out of the ordinary. All its ranges are common practice without a published source, wider
// than any profile says, but where another origin stands beside.
func plain() world {
	return world{
		name:   "plain",
		inside: span{-0.05, 0.40}, outside: span{-0.15, 0.25},
		share:  span{0.5, 1.2}, // of beads between pressed flat and proud
		growth: span{-0.0005, 0.0005},
		print:  span{0.01, 0.03}, plate: span{0, 0.02},
		// A hand turns on what overlaps by a few hundredths, since plastic gives, and calls free what is clear by a few.
		starts: span{-0.03, 0.01}, band: span{0.03, 0.06}, feel: span{0.005, 0.02},
		mixed:   0.005,
		learned: ladderThread, used: ladderThread,
	}
}

// worlds are all that are tried: the plain one, and others that differ from it in one thing.
func worlds() []world {
	differ := func(name string, how func(*world)) world {
		w := plain()
		w.name = name
		how(&w)
		return w
	}
	at48 := use{48, 1.5, 0.2}
	return []world{
		plain(),
		differ("plates", func(w *world) { w.plate = span{0.04, 0.04} }), // filament and room differ from day to day
		// Belts and screws are a few tenths of a percent off where nobody calibrated them; either way.
		differ("scale 0.2 %", func(w *world) {
			w.growth, w.used = span{-0.002, -0.002}, at48
			w.inside, w.outside = span{0, 0.35}, span{-0.10, 0.20}
		}),
		differ("shrinkage 0.4 %", func(w *world) { w.growth, w.used = span{-0.004, -0.004}, at48 }), // moulders allow 0.4 to 0.7 % for such plastics; from memory
		differ("hand 0.06 higher", func(w *world) { w.starts = span{0.03, 0.07} }),
		differ("closed entry", func(w *world) { w.entry = span{0.05, 0.25} }),                       // up to a first layer that spreads 0.12 mm a side
		differ("rough flanks", func(w *world) { w.rough, w.rub = span{0.02, 0.10}, span{0, 0.08} }), // strings and sagging half a layer high
		differ("cone", func(w *world) { w.cone = span{-0.10, 0.10} }),                               // a hot bed keeps the lower end large
		differ("by pitch", func(w *world) { w.byPitch, w.used = span{-0.03, 0.03}, use{20, 3, 0.2} }),
		differ("mixed up", func(w *world) { w.mixed = 0.08 }),
		differ("finer layers", func(w *world) { w.used.layer = 0.1 }),
	}
}

// machine is one printer, with the hand that tries what it prints.
type machine struct {
	inside, outside, share, growth, print, plate, starts, free, feel, entry, rough, rub, cone, byPitch, mixed float64
	// knows says that the hand tells a tight first turn from a thread that does not start.
	knows bool
}

func (w world) machine(rng *rand.Rand) machine {
	m := machine{
		inside: w.inside.draw(rng), outside: w.outside.draw(rng), share: w.share.draw(rng), growth: w.growth.draw(rng), print: w.print.draw(rng), plate: w.plate.draw(rng),
		starts: w.starts.draw(rng), feel: w.feel.draw(rng), entry: w.entry.draw(rng), rough: w.rough.draw(rng), rub: w.rub.draw(rng), cone: w.cone.draw(rng),
		byPitch: w.byPitch.draw(rng), mixed: w.mixed, knows: rng.Float64() < 0.8, // most people do, once it is asked for
	}
	m.free = m.starts + w.band.draw(rng)
	return m
}

// plain is the error that a caliper would find on the crests of u: what a bore loses, or an outside gains.
func (m machine) plain(side printer.Side, u use) float64 {
	grown := m.growth * (u.diameter - 20)
	if side == printer.Inside {
		return m.inside - grown
	}
	return m.outside + grown
}

// felt is the error that a mate feels on the flanks of u, of 60 degrees: half circles as tall as the layer reach past the flank drawn
// through their outermost points by s along the axis, and the pitch diameter counts 4 s over twice the tangent.
func (m machine) felt(side printer.Side, u use) float64 {
	sin, cos := math.Sincos(math.Pi / 6)
	s := u.layer / 2 * (1 - sin) / cos
	layers := 2 * (s + s) / (2 * math.Tan(math.Pi/6))
	return m.plain(side, u) + m.share*layers + m.rough + m.byPitch*u.pitch + math.Abs(m.cone)/2
}

// givesMM is how far plastic gives at the entry when a hand forces the first turn on (common practice, no published source).
const givesMM = 0.10

// firstTurn are the words for a thread of which only the entry is tight, where they are known; else it does not start.
func firstTurn() printer.Felt {
	if f, err := printer.ParseFelt("first turn tight, then free"); err == nil {
		return f
	}
	return printer.DoesNotStart
}

// try is what the hand says of a thread that is made with that clearance.
func (m machine) try(clearance float64) printer.Felt {
	entry := clearance - m.entry
	switch free := m.free + m.rub; {
	case entry <= m.starts-givesMM, entry <= m.starts && !m.knows:
		return printer.DoesNotStart
	case clearance <= m.starts:
		return printer.DoesNotStart
	case clearance <= free:
		return printer.Snug
	case entry <= m.starts:
		return firstTurn()
	case entry <= m.free && m.knows:
		return firstTurn()
	case entry <= m.free:
		return printer.Snug
	}
	return printer.Goes
}

// ladder is what the hand says of rungs of one plate, modelled with these clearances on part of the given room.
func (m machine) ladder(rng *rand.Rand, side printer.Side, u use, modelled []float64, room float64) []printer.Felt {
	plate := m.plate * rng.NormFloat64()
	did := make([]printer.Felt, len(modelled))
	for k, c := range modelled {
		did[k] = m.try(c - m.felt(side, u) + room + plate + m.print*rng.NormFloat64() + m.feel*rng.NormFloat64())
	}
	told := append([]printer.Felt{}, did...)
	for k := range told {
		if rng.Float64() < m.mixed {
			told[k] = did[rng.IntN(len(did))]
		}
	}
	return told
}
