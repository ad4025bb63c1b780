package main

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/job"
	"tryring/internal/reading"
)

// Whatever commands a job goes through, in whatever order: each reading that was kept and not taken back stands in it as it was
// typed, with its instrument and day, and so does all that the person wrote beside.
func TestCommandsLoseNothing(t *testing.T) {
	unraced(t)
	r := rand.New(rand.NewPCG(1, 2))
	pick := func(from ...string) string { return from[r.IntN(len(from))] }
	kept := 0
	for round := range 6 {
		file := filepath.Join(t.TempDir(), "tub.toml")
		comments := []string{"# mine " + strconv.Itoa(round), "# by lamp", "# twice"}
		require.NoError(t, os.WriteFile(file, []byte(comments[0]+"\nlabel = 'L'\n\n"+comments[1]+"\n[[stays]]\nbore = ['45.7', '45.8mm'] "+comments[2]+"\nwhen = 'in May'\n"), 0o600))
		model := map[int]reading.Record{1: {What: "bore", Text: "45.7", When: "in May"}, 2: {What: "bore", Text: "45.8mm", When: "in May"}}
		side := map[int]string{1: job.Stays, 2: job.Stays}
		last := 2
		for range 8 {
			if len(model) > 0 && r.IntN(3) == 0 {
				n := slices.Sorted(maps.Keys(model))[r.IntN(len(model))]
				code, _, stderr := tryring(t, "job", file, "--drop", strconv.Itoa(n))
				require.Equal(t, exitDone, code, stderr)
				delete(model, n)
				continue
			}
			one := reading.Record{Instrument: pick("caliper", "ruler", "tape", "dial"), When: pick("2026-03-01", `in "May"`, "Tuesday, at 5")}
			of := pick(job.Stays, job.Goes)
			args := []string{"identify", "--job", file, "--side", of, "--instrument", one.Instrument, "--date", one.When, "--again"}
			switch r.IntN(3) {
			case 0:
				one.What, one.Text = map[string]string{job.Stays: "bore", job.Goes: "outside"}[of], fmt.Sprintf("%.2f mm", 45+r.Float64())
				args = append(args, "--"+one.What, one.Text)
			case 1:
				one.What, one.Text = "count", pick("15", "14 spaces", "15 crests")+" over "+pick("1in", "25,4 mm")
				n, over, _ := strings.Cut(one.Text, " over ")
				args = append(args, "--count", n, "--over", over)
			case 2:
				one.What, one.Text = "leaf", pick("14tpi", "1.8mm")
				args = append(args, "--leaf", one.Text)
			}
			code, _, stderr := tryring(t, args...)
			require.Equal(t, exitDone, code, stderr)
			last++
			model[last], side[last] = one, of
			kept++
		}
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, c := range append(comments, "label = 'L'") {
			assert.Contains(t, string(text), c)
		}
		d, err := job.Load(t.Context(), file)
		require.NoError(t, err)
		assert.Len(t, append(slices.Clone(d.Stays), d.Goes...), len(model), "%s", text)
		for _, of := range []string{job.Stays, job.Goes} {
			for _, got := range *d.Readings(of) {
				assert.Equal(t, side[got.ID], of)
				assert.Equal(t, model[got.ID], reading.Record{What: got.What, Text: got.Text, Instrument: got.Instrument, When: got.When}, "entry %d of\n%s", got.ID, text)
			}
		}
	}
	assert.Greater(t, kept, 20)
}
