package reading

// This file holds what is believed of threads of no table to the families of the tables, each left out in its turn.

import (
	"io/fs"
	"maps"
	"math"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"tryring/internal/thread"
	"tryring/profiles"
)

// seen is how the other families look at one thread: the densities of its size and pitch by each of the three ways in which a thread
// of no table may come about.
type seen struct{ alike, kin, own float64 }

// lookedAt is how all threads of each listed family look to the others, but those that another has too, with kin spread so far, and
// each thread of a family of so many counting as looks says.
func lookedAt(t *testing.T, spread float64, looks func(float64) float64) map[string][]seen {
	out := map[string][]seen{}
	for _, text := range listed(t) {
		for _, m := range regexp.MustCompile(`\bword = "([^"]+)"`).FindAllStringSubmatch(text, -1) {
			out[m[1]] = nil
		}
	}
	for external, side := range Believe(thread.NewTables(), Any).side {
		of := map[string]float64{}
		all := make([]candidate, len(side))
		for i, one := range side {
			all[i] = one.candidate(external)
			of[one.thread.Series]++
		}
		for _, x := range all {
			if _, is := out[x.thread.Series]; !is {
				continue
			}
			// As the program takes what a careful person reads.
			d := Combine((x.low+x.high)/2, Part{U: 0.1, DOF: math.Inf(1)})
			pitch := x.thread.Pitch.MM()
			p := Combine(pitch, Part{U: 0.01 * pitch, DOF: math.Inf(1)})
			one := seen{own: anyDiameter / d.Value * anyPitch / pitch}
			var others float64
			for _, y := range all {
				if y.thread.Series == x.thread.Series {
					continue
				}
				if same(x.thread, y.thread) {
					others = 0
					break
				}
				others += looks(of[y.thread.Series])
				like := looks(of[y.thread.Series]) * blurred(p, madePitch(y.thread.Pitch.MM()))
				u := math.Hypot(spread*y.basic, d.U)
				one.alike += like * blurred(d, y.sizes(Set{}))
				one.kin += like * density((d.Value-y.basic)/u, math.Inf(1)) / u
			}
			if others > 0 {
				one.alike, one.kin = one.alike/others, one.kin/others
				out[x.thread.Series] = append(out[x.thread.Series], one)
			}
		}
	}
	maps.DeleteFunc(out, func(_ string, of []seen) bool { return len(of) == 0 })
	return out
}

// same says whether two names are those of one thread, as far as tables agree.
func same(x, y thread.Thread) bool {
	return math.Abs(x.Basic.Pitch.MM()-y.Basic.Pitch.MM()) < 0.04 && math.Abs(x.Pitch.MM()/y.Pitch.MM()-1) < 0.002 &&
		math.Abs(x.Form.AngleDeg()-y.Form.AngleDeg()) < 1 && math.Abs(x.Taper-y.Taper) < 0.01
}

// listed are the files of listed families.
func listed(t *testing.T) (texts []string) {
	files, err := fs.Glob(profiles.Threads, "threads/listed/*.toml")
	require.NoError(t, err)
	for _, file := range files {
		text, err := fs.ReadFile(profiles.Threads, file)
		require.NoError(t, err)
		texts = append(texts, string(text))
	}
	return texts
}

// likelihood is the mean logarithm of the density over the families but one ("" for none), each counting the same.
func likelihood(of map[string][]seen, without string, alike, kin float64) float64 {
	var all []float64
	for series, threads := range of {
		if series == without {
			continue
		}
		var sum float64
		for _, x := range threads {
			sum += math.Log(alike*x.alike + kin*x.kin + (1-alike-kin)*x.own)
		}
		all = append(all, sum/float64(len(threads)))
	}
	return stat.Mean(all, nil)
}

// makersOwn is the share of threads of no table that are of no family either, but some maker's own; common practice, no published source.
const makersOwn = 0.25

// The shares of the three ways are about the likeliest whichever family is left out: no others, nor any other spread, do better by more
// than a tenth in the density. So none of them was chosen by the family that is then tried, and they do better than each way alone.
func TestNoneIsLearned(t *testing.T) {
	chosen := lookedAt(t, kinSpread, looksOf)
	require.Greater(t, len(chosen), 15)
	alikes, kins := alikeShare/(1-makersOwn), kinShare/(1-makersOwn)
	for _, spread := range []float64{0.05, 0.1, kinSpread, 0.3, 0.5} {
		other := lookedAt(t, spread, looksOf)
		for without := range chosen {
			most := likelihood(chosen, without, alikes, kins) + math.Log(1.1)
			for alike := 0.05; alike < 0.9; alike += 0.1 {
				for kin := 0.05; alike+kin < 1; kin += 0.1 {
					assert.Less(t, likelihood(other, without, alike, kin), most, "without %s: alike %.2f, kin %.2f spread by %v", without, alike, kin, spread)
				}
			}
		}
	}
	learned := likelihood(chosen, "", alikes, kins)
	single := lookedAt(t, kinSpread, func(float64) float64 { return 1 })
	assert.Greater(t, learned, likelihood(single, "", alikes, kins)+0.05, "families look like families, not like their threads one by one")
	for _, one := range [][2]float64{{1 - 1e-9, 0}, {0, 1}, {0, 0}} {
		assert.Greater(t, learned, likelihood(chosen, "", one[0], one[1])+0.05)
	}
}

// An angle read speaks against a thread of the tables and not against one of none, of which nothing is known: a thread of 55 degrees
// that has size and pitch of one of 60 is none of these.
func TestAngleTellsAStranger(t *testing.T) {
	none := func(angle string) float64 {
		a := answer(t, Batch{Outside: []string{"9.45"}, Count: []string{"11"}, Over: []string{"15.88mm"}, Angle: angle}) // 3/8-16: as UNC, and as BSW
		c := a.Candidates[len(a.Candidates)-1]
		return c.Weight
	}
	assert.Greater(t, none("47.5"), 3*none("60"))
	assert.Less(t, none("60"), none(""), "the angle speaks for the thread of the tables")
}

// A thread of no table mostly has a pitch that tables have, since taps and gauges are to be had for it.
func TestStrangersHaveUsualPitches(t *testing.T) {
	chance := func(pitch string) float64 {
		s := read(t, Batch{Outside: []string{"55.3mm"}, Pitch: []string{pitch}})
		return Believe(thread.NewTables(), Any).noneWeight(s, s.Find(), nil)
	}
	assert.Greater(t, chance("1.814±0.005mm"), 3*chance("1.9±0.005mm"))
}

// The odds of none of these count the more the larger they are, and are raised up to a third alone.
func TestOddsCount(t *testing.T) {
	b := Believe(thread.NewTables(), Any)
	last := 0.0
	for odds := 1e-4; odds < 100; odds *= 1.1 {
		counted := b.odds(odds)
		assert.GreaterOrEqual(t, counted, math.Max(odds, last))
		assert.LessOrEqual(t, counted, math.Max(odds, 1.0/3))
		last = counted
	}
	assert.InDelta(t, 4*b.odds(0.05), b.odds(0.1), 1e-9, "as a square")
	assert.InDelta(t, 0.25, b.odds(0.2)/(1+b.odds(0.2)), 1e-9, "a name is said at three in four")
	b.Doubtful = 0
	assert.InDelta(t, 0.2, b.odds(0.2), 1e-9)
}
