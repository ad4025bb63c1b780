package combs

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

func named1(t testing.TB, name string) thread.Thread {
	t.Helper()
	one, err := thread.BuiltIn().Parse(name)
	require.NoError(t, err)
	return one
}

// TestElevenAgainstElevenAndAHalf: over an inch the two differ by half a pitch.
func TestElevenAgainstElevenAndAHalf(t *testing.T) {
	p, err := New([]Candidate{{named1(t, "G 1 1/2"), true, false}, {named1(t, "1 1/2-11.5 NPSM"), true, false}})
	require.NoError(t, err)
	require.Len(t, p.Combs, 2)
	assert.Equal(t, "11.5 to the inch", p.Combs[0].Pitch, "the finest first")
	for i := range p.Combs {
		require.Len(t, p.Combs[i].OffMM, 1)
		assert.InDelta(t, 25.4, p.Combs[i].OffMM[0], 1e-9)
		assert.Greater(t, p.Combs[i].LengthMM, 25.4)
	}
	require.Len(t, p.Decides, 2)
	assert.Equal(t, "If the crests fall half a pitch behind the comb of 11 to the inch after 25 mm, it is 11.5: 1 1/2-11.5 NPSM.", p.Decides[0])
	// ISO 228-1, table 1: G 1 1/2 is 47.803 mm over its crests. ASME B1.20.1: 1 1/2 NPSM has 1.8788 in or so, which is near.
	require.Len(t, p.Circles, 1)
	assert.InDelta(t, 47.803, p.Circles[0].Diameter.MM(), 0.001)
	assert.Equal(t, "Too near to another to have a circle, outside: 1 1/2-11.5 NPSM.", p.Decides[1])
}

func TestOneCombForTheSameCrests(t *testing.T) {
	p, err := New([]Candidate{{named1(t, "G 1"), false, true}, {named1(t, "Rp 1"), false, true}, {named1(t, "M33x2"), false, true}, {named1(t, "33mm x 11tpi 60deg"), true, true}})
	require.NoError(t, err)
	require.Len(t, p.Combs, 3)
	assert.Equal(t, []string{"G 1", "Rp 1"}, p.Combs[1].Names)
	assert.Contains(t, strings.Join(p.Decides, " "), "does not tell G 1 or Rp 1 from")
	assert.Contains(t, strings.Join(p.Decides, " "), "G 1 and Rp 1 have the same crests")
	inside := 0
	for _, c := range p.Circles {
		if !c.External {
			inside++
		}
	}
	assert.Equal(t, len(p.Circles)-1, inside, "bores but for the one of unknown side")
}

// TestHalfPitchOff counts crests: where they stand half a pitch off, the numbers of pitches differ by a half.
func TestHalfPitchOff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q := rapid.Float64Range(0.3, 6).Draw(t, "p"), rapid.Float64Range(0.3, 6).Draw(t, "q")
		if math.Abs(p-q) < 1e-3 {
			return
		}
		l := HalfPitchOff(unit.MM(p), unit.MM(q))
		if got := math.Abs(l/p - l/q); math.Abs(got-0.5) > 1e-6 {
			t.Fatalf("%v and %v: %v pitches apart after %v mm", p, q, got, l)
		}
	})
}

func TestAlike(t *testing.T) {
	names := func(all []thread.Thread) (out []string) {
		for _, one := range all[:min(3, len(all))] {
			out = append(out, one.Designation)
		}
		return out
	}
	// 1 1/2 NPT and G 1 1/2 are those that people take for each other, and 1/2 NPT and G 1/2, which have one pitch (common practice, no
	// published source).
	like, _ := Alike(thread.BuiltIn(), named1(t, "G 1 1/2"), true)
	assert.Contains(t, names(like), "1 1/2-11.5 NPT")
	like, same := Alike(thread.BuiltIn(), named1(t, "1/2-14 NPT"), true)
	assert.Contains(t, names(same), "G 1/2")
	assert.NotContains(t, names(like), "G 1/2")
	page, err := Of(thread.BuiltIn(), true, false, named1(t, "1/2-14 NPT"))
	require.NoError(t, err)
	assert.Contains(t, page.Decides[len(page.Decides)-1], "Not told from 1/2-14 NPT here")
	like, same = Alike(thread.BuiltIn(), named1(t, "48mm x 2mm 2start"), true)
	assert.Empty(t, append(like, same...), "no table has two starts")
	for _, external := range []bool{true, false} {
		own := named1(t, "M20")
		like, same := Alike(thread.BuiltIn(), own, external)
		require.NotEmpty(t, like)
		for _, one := range like {
			assert.Less(t, HalfPitchOff(own.Pitch, one.Pitch), longestMM)
		}
		assert.NotContains(t, names(same), own.Designation)
	}
}
