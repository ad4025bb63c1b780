package photo_test

// This file draws lots for the pictures of threads on which the room is tested, from a seed.

import (
	"math"
	"math/rand/v2"
)

// scene is everything that makes a picture of a thread.
type scene struct {
	// The part: threads to the inch, largest diameter over the crests and threaded length in mm, growth of the diameter a
	// mm, hand, half angle of the flanks, rounded crests and roots.
	tpi, diameter, length, taper float64
	hand                         int
	flank                        float64
	rounded                      bool
	// smooth leaves the thread out: a plain cylinder.
	smooth bool
	// collar is the diameter of what the thread stands on, 0 for none; chamfer the length of the thread's lead-in.
	collar, chamfer float64

	// The camera: picture size in pixels, focal length for 35 mm film, share of the picture that the part fills, how far it
	// lies off the middle (shares of the picture), lean toward the camera and turn on the picture in radians.
	width, height         int
	focal35, fill         float64
	offX, offY            float64
	lean, turn            float64
	blur, noise           float64
	quality               int
	background, part      float64
	uneven, slope         float64
	shadow, shadowSoft    float64
	shadowX, shadowY      float64
	glare, backlit, gloss float64
	texture, cornerHand   bool

	// What the person knows: the diameter as read, in mm, with its standard uncertainty; the focal length in the file, the
	// distance.
	read, uRead          float64
	writesFocal, saysFar bool
	seed                 uint64
}

func (s scene) pitch() float64 { return 25.4 / s.tpi }

// distance is from the camera to the middle of the thread's axis, in mm.
func (s scene) distance() float64 {
	collar := 0.0
	if s.collar > 0 {
		collar = collarLength
	}
	wide, long := math.Max(s.diameter, s.collar), s.length+collar
	w, h := float64(s.width), float64(s.height)
	// The part's box, turned, must fill the share of the frame on the side where it is tightest.
	sin, cos := math.Abs(math.Sin(s.turn)), math.Abs(math.Cos(s.turn))
	boxW, boxH := wide*cos+long*sin, wide*sin+long*cos
	pixelsPerMM := s.fill * math.Min(w/boxW, h/boxH)
	return math.Max(s.focal()/pixelsPerMM, nearest)
}

// focal is in pixels; 43.27 mm is the diagonal of a 36 by 24 mm frame.
func (s scene) focal() float64 {
	return s.focal35 / math.Hypot(36, 24) * math.Hypot(float64(s.width), float64(s.height))
}

const collarLength = 12.0

// nearest is the distance in mm below which phones do not focus, and nobody would hold one.
const nearest = 120.0

// draw returns scene number n of a seed.
func draw(seed, n uint64) scene {
	r := rand.New(rand.NewPCG(seed, n))
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	chance := func(p float64) bool { return r.Float64() < p }
	pick := func(v ...float64) float64 { return v[r.IntN(len(v))] }

	s := scene{seed: seed*1_000_003 + n, hand: 1, flank: math.Pi / 6}
	s.tpi = pick(8, 9, 10, 11, 11, 11.5, 12, 13, 14, 14, 16, 18, 19, 20, 24, 26, 27, 28, 32)
	least := math.Max(12, 5*s.pitch())
	s.diameter = math.Exp(between(math.Log(least), math.Log(90)))
	s.length = math.Min(math.Max(between(0.25, 1)*s.diameter, between(8, 14)*s.pitch()), 34*s.pitch())
	if chance(0.25) {
		s.taper = 1.0 / 16
	}
	if chance(0.15) {
		s.hand = -1
	}
	if chance(0.3) {
		s.flank, s.rounded = 27.5*math.Pi/180, true
	}
	switch r.IntN(3) {
	case 0:
		s.collar = s.diameter * between(1.1, 1.3)
	case 1:
		s.collar = s.diameter * between(0.75, 0.88)
	}
	s.chamfer = between(0, 1.2) * s.pitch()

	s.width, s.height = 1200, 900
	s.focal35 = pick(24, 26, 26, 28, 52, 70)
	s.fill = between(0.45, 0.85)
	s.offX, s.offY = between(-0.05, 0.05), between(-0.05, 0.05)
	s.lean = math.Max(-7, math.Min(7, 2.5*r.NormFloat64())) * math.Pi / 180
	s.turn = between(-10, 10) * math.Pi / 180
	if chance(0.5) {
		s.turn += math.Pi / 2
	}
	s.blur = between(0.5, 1.8)
	s.noise = between(1, 6)
	s.quality = 60 + r.IntN(36)
	s.background, s.part = between(190, 245), between(40, 110)
	if chance(0.1) { // a light part on a dark ground
		s.background, s.part = between(30, 60), between(170, 220)
	}
	s.uneven, s.slope = between(0, 0.3), between(0, 2*math.Pi)
	if chance(0.6) {
		s.shadow = between(0.1, 0.45)
	}
	s.shadowSoft = between(4, 20)
	s.shadowX, s.shadowY = between(-25, 25), between(-25, 25)
	if chance(0.4) {
		s.glare = between(0.3, 1)
	}
	s.gloss = between(0, 0.8)
	s.backlit = between(0, 1)
	s.texture = chance(0.4)
	s.cornerHand = chance(0.15)

	s.uRead = between(0.02, 0.1)
	s.read = s.diameter + s.uRead*r.NormFloat64()
	s.writesFocal = chance(0.6)
	s.saysFar = !s.writesFocal && chance(0.5)
	return s
}

// small is the scene on a picture two thirds the size, for tests that are to be quick.
func (s scene) small() scene {
	const k = 2.0 / 3
	s.width, s.height = int(k*float64(s.width)), int(k*float64(s.height))
	s.blur, s.shadowSoft, s.shadowX, s.shadowY = k*s.blur, k*s.shadowSoft, k*s.shadowX, k*s.shadowY
	return s
}
