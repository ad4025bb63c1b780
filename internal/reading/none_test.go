package reading

// This file holds what is believed of threads of no table to the families of the tables: half of them teach, the others test.

import (
	"io/fs"
	"math"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/thread"
	"tryring/profiles"
)

// halves are the series of every other file of listed families, in the order of their names, the first among those that teach.
func halves(t *testing.T) (teach, test map[string]bool) {
	files, err := fs.Glob(profiles.Threads, "threads/listed/*.toml")
	require.NoError(t, err)
	word := regexp.MustCompile(`\bword = "([^"]+)"`)
	teach, test = map[string]bool{}, map[string]bool{}
	for k, file := range files {
		text, err := fs.ReadFile(profiles.Threads, file)
		require.NoError(t, err)
		for _, m := range word.FindAllStringSubmatch(string(text), -1) {
			switch series := m[1]; {
			case k%2 == 0:
				teach[series] = true
			case !teach[series]:
				test[series] = true
			}
		}
	}
	return teach, test
}

// seen is how the other families look at one thread: the densities of its size and pitch by each of the three ways in which a thread
// of no table may come about, and its share, such that each family has the same.
type seen struct{ alike, kin, own, share float64 }

// lookedAt is how all threads of the series in half look to the families of other series, with kin spread so far, and each thread of a
// series of so many counting as looks says.
func lookedAt(half map[string]bool, external bool, spread float64, looks func(float64) float64) (out []seen) {
	side := Believe(thread.NewTables(), Any).side[external]
	of := map[string]float64{}
	all := make([]candidate, len(side))
	for i, one := range side {
		all[i] = one.candidate(external)
		of[one.thread.Series]++
	}
	for _, x := range all {
		if !half[x.thread.Series] {
			continue
		}
		d := Combine((x.low+x.high)/2, Part{U: 0.05, DOF: math.Inf(1)}) // as a careful person reads
		pitch := x.thread.Pitch.MM()
		p := Combine(pitch, Part{U: 0.005 * pitch, DOF: math.Inf(1)})
		one := seen{share: 1 / of[x.thread.Series], own: anyDiameter / d.Value * anyPitch / pitch}
		var others float64
		for _, y := range all {
			if y.thread.Series == x.thread.Series {
				continue
			}
			others += looks(of[y.thread.Series])
			like := looks(of[y.thread.Series]) * blurred(p, madePitch(y.thread.Pitch.MM()))
			u := math.Hypot(spread*y.basic, d.U)
			one.alike += like * blurred(d, y.sizes(Set{}))
			one.kin += like * density((d.Value-y.basic)/u, math.Inf(1)) / u
		}
		one.alike, one.kin = one.alike/others, one.kin/others
		out = append(out, one)
	}
	return out
}

// likelihood is the mean logarithm of the density by those shares.
func likelihood(of []seen, alike, kin float64) float64 {
	var sum, all float64
	for _, x := range of {
		sum += x.share * math.Log(alike*x.alike+kin*x.kin+(1-alike-kin)*x.own)
		all += x.share
	}
	return sum / all
}

// The shares of the three ways are about the likeliest on the families that teach, external and internal: no others, nor any other
// spread, do better by more than a tenth in the density. On the families that test they do better than each of the three ways alone.
func TestNoneIsLearned(t *testing.T) {
	teach, test := halves(t)
	both := func(half map[string]bool, alike, kin, spread float64) float64 {
		return likelihood(lookedAt(half, true, spread, looksOf), alike, kin)/2 + likelihood(lookedAt(half, false, spread, looksOf), alike, kin)/2
	}
	chosen := both(teach, alikeShare, kinShare, kinSpread)
	for _, spread := range []float64{0.05, 0.1, 0.2, kinSpread, 0.5} {
		outside, inside := lookedAt(teach, true, spread, looksOf), lookedAt(teach, false, spread, looksOf)
		for alike := 0.05; alike < 0.9; alike += 0.1 {
			for kin := 0.05; alike+kin < 1; kin += 0.1 {
				other := likelihood(outside, alike, kin)/2 + likelihood(inside, alike, kin)/2
				assert.Less(t, other, chosen+math.Log(1.1), "alike %.2f, kin %.2f spread by %v", alike, kin, spread)
			}
		}
	}
	single := func(float64) float64 { return 1 }
	singly := likelihood(lookedAt(teach, true, kinSpread, single), alikeShare, kinShare)/2 + likelihood(lookedAt(teach, false, kinSpread, single), alikeShare, kinShare)/2
	assert.Greater(t, chosen, singly+math.Log(1.2), "families look like families, not like their threads one by one")
	held := both(test, alikeShare, kinShare, kinSpread)
	t.Logf("mean log density: %.3f on the families that teach, %.3f on those that test", chosen, held)
	for _, one := range [][2]float64{{1 - 1e-9, 0}, {0, 1}, {0, 0}} {
		assert.Greater(t, held, both(test, one[0], one[1], kinSpread)+0.05)
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
	assert.Less(t, none("60"), 0.8*none(""), "the angle speaks for the thread of the tables")
}

// A thread of no table mostly has a pitch that tables have, since taps and gauges are to be had for it.
func TestStrangersHaveUsualPitches(t *testing.T) {
	chance := func(pitch string) float64 {
		s := read(t, Batch{Outside: []string{"55.3mm"}, Pitch: []string{pitch}})
		return Believe(thread.NewTables(), Any).noneWeight(s, s.Find(), nil)
	}
	assert.Greater(t, chance("1.814±0.005mm"), 3*chance("1.9±0.005mm"))
}
