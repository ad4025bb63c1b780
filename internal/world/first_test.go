package world

// This file holds how often the first candidate is right to what it was before the tables of threads grew.

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/reading"
)

// mostLost is what a larger table may cost.
const mostLost = 0.01

// firstRight is how many first candidates are right among people who take care and count crests, of a mix of threads: household,
// or drains that are said to be some.
func firstRight(seed uint64, of string, people int) share {
	var right share
	program := knows{}
	for at := 0; at < people; at += neighbours {
		rng := random(seed, "first of "+of, at)
		w, _ := townOf(careful, rng)
		among, threads := reading.Any, house()
		if of == "drain" {
			among, threads = reading.Drain, nil
			for _, r := range house() {
				if r.use == "drain" {
					threads = append(threads, r)
				}
			}
		}
		from := newMix(rng, threads)
		for range neighbours {
			thread := from.draw(rng)
			external := thread.external && (!thread.internal || chance(rng, 0.5))
			s := w.read(rng, w.maker.cut(rng, thread, external))
			a, err := program.identify(s, among, "")
			right.count(err == nil && a.names(s.part))
		}
	}
	return right
}

// TestFirstCandidateStaysRight compares with testdata/first.csv.
func TestFirstCandidateStaysRight(t *testing.T) {
	if os.Getenv("TRYRING_BRIEF") != "" {
		t.Skip("long work of one goroutine")
	}
	file, err := os.Open("testdata/first.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	recorded, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(recorded), 2)
	for _, line := range recorded[1:] {
		seed, err := strconv.ParseUint(line[1], 10, 64)
		require.NoError(t, err)
		people, err := strconv.Atoi(line[2])
		require.NoError(t, err)
		before, err := strconv.ParseFloat(line[3], 64)
		require.NoError(t, err)
		now := firstRight(seed, line[0], people)
		t.Logf("%s: right %s, %.4f before", line[0], now, before)
		assert.GreaterOrEqual(t, now.rate(), before-mostLost, line[0])
	}
}
