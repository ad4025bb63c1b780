// Package world simulates people, shops and their threads, has them use the program as a person would, and compares what it
// says with what is so. It holds tests alone. It shares no figure with the code under test: each figure here says where it
// comes from, a published source, "common practice, no published source", or "unknown": then it is drawn by seed from a range
// so wide that the truth should lie in it.
package world

// This file holds the threads of the world, read from testdata/threads.csv, and the parts that shops cut of them.

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// span is a range in mm.
type span struct{ low, high float64 }

func (s span) width() float64 { return s.high - s.low }

// row is one thread of the table, in mm; see the head of testdata/threads.csv.
type row struct {
	name, use                  string
	angle, pitch, taper, gauge float64
	major, pitchDia, minor     float64
	extMajor, extPitch         span
	intMinor, intPitch         span
	external, internal, house  bool
}

// household are the uses that a household has, and how often each is met, more or less: unknown, but who asks about adapters has
// a drain or a tap at hand. The other uses are met in workshops and hobbies.
var household = map[string]float64{"drain": 4, "tap": 4, "aerator": 2, "garden": 2, "toilet": 1, "compression": 1, "lamp": 1, "furniture": 1}

var rows = sync.OnceValue(func() []*row {
	file, err := os.Open("testdata/threads.csv")
	if err != nil {
		panic(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	table, err := r.ReadAll()
	if err != nil {
		panic(err)
	}
	var out []*row
	for _, cells := range table[1:] {
		at := map[string]string{}
		for k, cell := range cells {
			at[table[0][k]] = cell
		}
		mm := func(column string) float64 {
			if at[column] == "" {
				return math.NaN()
			}
			x, err := strconv.ParseFloat(at[column], 64)
			if err != nil {
				panic(err)
			}
			return x
		}
		t := &row{
			name: at["name"], use: at["use"], angle: mm("angle"), pitch: mm("pitch"), taper: mm("taper"), gauge: mm("gauge"),
			major: mm("major"), pitchDia: mm("pitch_dia"), minor: mm("minor"),
			extMajor: span{mm("ext_major_min"), mm("ext_major_max")}, extPitch: span{mm("ext_pd_min"), mm("ext_pd_max")},
			intMinor: span{mm("int_minor_min"), mm("int_minor_max")}, intPitch: span{mm("int_pd_min"), mm("int_pd_max")},
			external: strings.Contains(at["sides"], "e"), internal: strings.Contains(at["sides"], "i"),
		}
		t.house = household[t.use] > 0
		out = append(out, t)
	}
	return out
})

func TestTableIsSound(t *testing.T) {
	require.Greater(t, len(rows()), 400)
	for _, r := range rows() {
		require.True(t, r.major > r.pitchDia && r.pitchDia > r.minor && r.minor > 0 && r.pitch > 0, r.name)
		require.True(t, r.external || r.internal, r.name)
		for _, s := range []span{r.extMajor, r.extPitch, r.intMinor, r.intPitch} {
			require.False(t, s.width() <= 0, r.name)
		}
		// The pitch diameter stands about half way; the depth of every form here is 0.3 to 0.9 pitches on the radius.
		depth := (r.major - r.minor) / 2 / r.pitch
		require.True(t, depth > 0.25 && depth < 0.95, "%s: depth %v", r.name, depth)
	}
}

// maker is how one workshop cuts threads. All figures are unknown.
type maker struct {
	// centre and scatter are where in their limits sizes lie, -1 to 1, and how they spread; off is the share that misses them.
	centre, scatter, off float64
	// follows is how far a crest follows its flanks, 0 to 1; shrinks is the share by which its pitches are off.
	follows, shrinks float64
}

func someMaker(rng *rand.Rand) maker {
	return maker{
		centre: between(rng, -0.6, 0.6), scatter: between(rng, 0.15, 0.5), off: between(rng, 0, 0.1),
		follows: rng.Float64(), shrinks: between(rng, -0.002, 0.002),
	}
}

func between(rng *rand.Rand, low, high float64) float64 { return low + (high-low)*rng.Float64() }

func chance(rng *rand.Rand, p float64) bool { return rng.Float64() < p }

// part is one thread in the hand. Its diameters are those at the face or small end of a straight thread, and in the gauge plane
// of a taper one.
type part struct {
	*row
	external bool
	// crest is the outside of an external thread and the bore of an internal one.
	crest, flank, pitchMM float64
}

// openTolerance are how many pitches the tolerances of threads measure of which no limits were found: unknown. Those of ISO
// 965-1 grade 6 are 0.1 to 0.25 pitches at the crest (its formula for T_d), and less at the flanks.
var openTolerance = span{0.05, 0.25}

// cut makes a part of t. Material is removed from its largest size on, outside and inside.
func (m maker) cut(rng *rand.Rand, t *row, external bool) part {
	p := part{row: t, external: external, pitchMM: t.pitch * (1 + m.shrinks*rng.NormFloat64())}
	crest, flank := t.intMinor, t.intPitch
	if external {
		crest, flank = t.extMajor, t.extPitch
	}
	open := between(rng, openTolerance.low, openTolerance.high) * t.pitch
	fill := func(s *span, basic, share float64) {
		switch {
		case !math.IsNaN(s.low) && !math.IsNaN(s.high):
		case external:
			*s = span{basic - share*open, basic}
		default:
			*s = span{basic, basic + share*open}
		}
	}
	fill(&crest, map[bool]float64{true: t.major, false: t.minor}[external], 1)
	fill(&flank, t.pitchDia, 0.6)
	if t.taper > 0 { // the gauge plane lies within a turn of its place (ASME B1.20.1, clause on gauging; ISO 7-1 about as much)
		turn := t.taper * t.pitch
		crest, flank = span{crest.low - turn, crest.high + turn}, span{t.pitchDia - turn, t.pitchDia + turn}
	}
	place := func() float64 { return math.Max(-1, math.Min(1, m.centre+m.scatter*rng.NormFloat64())) }
	at, own := place(), place()
	size := func(s span, x float64) float64 { return (s.low+s.high)/2 + x*s.width()/2 }
	p.flank, p.crest = size(flank, at), size(crest, m.follows*at+(1-m.follows)*own)
	if chance(rng, m.off) {
		// Out of limits by up to their width again: unknown; both ways.
		miss := between(rng, -1, 1) * crest.width()
		p.crest, p.flank = p.crest+miss, p.flank+miss*m.follows
	}
	return p
}
