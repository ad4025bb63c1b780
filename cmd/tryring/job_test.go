package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/check"
	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/standing"
	"tryring/internal/unit"
)

// bath is the job of a bath's drain, with all that is read and decided.
const bath = `version = 1
among = "drain"
outer = "1 7/8-14 UNS"
inner = "1 5/8-16 UN"
[[stays]]
id = 1
bore = "45.75mm"
[[stays]]
id = 2
look = 1
leaf = "14tpi"
[[goes]]
id = 3
outside = "1.62in"
[[goes]]
id = 4
look = 3
count = "17 over 1in"
[[decided]]
id = 5
side = "stays"
thread = "1 7/8-14 UNS"
chance = 0.73
second = "1 7/8-16 UN"
second_chance = 0.2
[[parts]]
id = 6
file = "adapters.csv"
`

// jobIn writes the bath's job into an empty folder, beside the parts list.
func jobIn(t *testing.T, text string) {
	t.Helper()
	list, err := os.ReadFile("../../testdata/adapters.csv")
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("tub.toml", []byte(text), 0o600))
	require.NoError(t, os.WriteFile("adapters.csv", list, 0o600))
}

func TestJobScreen(t *testing.T) {
	unraced(t)
	jobIn(t, bath)
	code, stdout, stderr := tryring(t, "job", "tub.toml")
	require.Equal(t, exitDone, code, stderr)
	lines := strings.Split(strings.TrimSpace(stdout), "\n")
	assert.LessOrEqual(t, len(lines), 24)
	assert.Contains(t, lines[0], "Part D joins both threads")
	assert.Empty(t, lines[3], "the answer takes three lines")
	assert.Equal(t, "Next: tryring ring tub.toml", lines[len(lines)-1], "a command to paste stands last")
	assert.Equal(t, 1, strings.Count(strings.Join(strings.Fields(stdout), " "), check.Caution))
	for _, says := range []string{"1 bore 45.75mm", "4 counted 17 over 1in", "at 73 % then against 1 7/8-16 UN", "part A or part F 80 %", "Order part D", "1 3/8 in by the bore, 1 5/8 in by the outside (41.3 mm)"} {
		assert.Contains(t, stdout, says)
	}
	_, bare, _ := tryring(t, "tub.toml")
	assert.Equal(t, stdout, bare)
	_, details, _ := tryring(t, "job", "tub.toml", "--details")
	assert.Contains(t, details, "part H 0 %")
	assert.NotContains(t, stdout, "part H 0 %")
}

func TestJobJSON(t *testing.T) {
	jobIn(t, bath)
	for _, args := range [][]string{{"job", "tub.toml", "--json"}, {"--json", "tub.toml"}} {
		code, stdout, stderr := tryring(t, args...)
		require.Equal(t, exitDone, code, stderr)
		var told map[string]any
		require.NoError(t, json.Unmarshal([]byte(stdout), &told))
		of := func(v any, keys ...string) {
			for _, key := range keys {
				assert.Contains(t, v, key)
			}
		}
		of(told, "sides", "tries", "contradictions", "next", "order")
		of(told["next"], "text", "command")
		of(told["order"], "part", "chance", "names", "ask")
		for _, side := range []string{"stays", "goes"} {
			of(told["sides"].(map[string]any)[side], "readings", "candidates", "decided", "among", "use")
		}
		stays := told["sides"].(map[string]any)["stays"].(map[string]any)
		of(stays["readings"].([]any)[0], "id", "what", "text", "instrument", "when")
		of(stays["candidates"].([]any)[0], "designation", "standard", "weight", "why")
		assert.Equal(t, map[string]any{"designation": "1 7/8-14 UNS", "weight": 0.73, "second": "1 7/8-16 UN"}, stays["decided"])
		assert.Equal(t, "part D", told["order"].(map[string]any)["part"])
	}
	require.NoError(t, os.WriteFile("empty.toml", nil, 0o600))
	_, stdout, _ := tryring(t, "job", "empty.toml", "--json")
	var told toldJob
	require.NoError(t, json.Unmarshal([]byte(stdout), &told))
	assert.Nil(t, told.Order)
	assert.Nil(t, told.Sides["goes"].Decided)
	assert.Equal(t, `tryring identify --job empty.toml --side stays --bore LENGTH --count N --over 1in`, told.Next.Command)
}

// toldJob is some of what job tells scripts.
type toldJob struct {
	Sides          map[string]struct{ Decided any }
	Contradictions []string
	Next           struct{ Command string }
	Order          *standing.Order
}

func TestJobDrop(t *testing.T) {
	jobIn(t, bath)
	code, stdout, stderr := tryring(t, "job", "tub.toml", "--drop", "3", "--drop", "4")
	require.Equal(t, exitDone, code, stderr)
	assert.NotContains(t, stdout, "1.62in")
	after, err := os.ReadFile("tub.toml")
	require.NoError(t, err)
	for name, c := range map[string]struct {
		args []string
		code int
		says string
	}{
		"no such entry":      {[]string{"job", "tub.toml", "--drop", "3"}, exitBadInput, `"3": no entry has this number`},
		"one of two":         {[]string{"job", "tub.toml", "--drop", "1,99"}, exitBadInput, `"99"`},
		"no number":          {[]string{"job", "tub.toml", "--drop", "x"}, exitBadInput, "--drop"},
		"no file":            {[]string{"job", "bath.toml", "--drop", "1"}, exitFailed, "bath.toml"},
		"no file to look at": {[]string{"bath.toml"}, exitFailed, "bath.toml"},
		"two files":          {[]string{"tub.toml", "bath.toml"}, exitBadInput, "write tryring job"},
	} {
		t.Run(name, func(t *testing.T) {
			code, stdout, stderr := tryring(t, c.args...)
			assert.Equal(t, c.code, code)
			assert.Contains(t, stderr, c.says)
			assert.Empty(t, stdout)
		})
	}
	now, err := os.ReadFile("tub.toml")
	require.NoError(t, err)
	assert.Equal(t, string(after), string(now), "a command that fails changes nothing")
	assert.NoFileExists(t, "bath.toml")
}

// Every step is a command that its own flags take, whatever the file is called.
func TestStepsAreCommands(t *testing.T) {
	file := filepath.Join("my jobs", "tub $1.toml")
	for _, s := range []standing.Step{
		{Action: standing.TakeBack, Entry: 3},
		{Action: standing.Read, Side: job.Stays, Fields: []reading.Field{{Key: "over_wires"}, {Key: "wire", Text: "1.05mm"}}},
		{Action: standing.Read, Side: job.Goes, Fields: []reading.Field{{Key: "no_leaf", Text: "14tpi"}, {Key: "angle"}, {Key: "tapers"}}},
		{Action: standing.MakeLeaf, Side: job.Stays},
		{Action: standing.MakeSheet, Side: job.Goes},
		{Action: standing.TryGauge, Side: job.Stays, Gauge: "out/my drawer/go-plug"},
		{Action: standing.Decide, Side: job.Goes, Take: 1, Sure: true},
		{Action: standing.Together},
		{Action: standing.Shortlist},
		{Action: standing.Ask, List: "a list.csv"},
		{Action: standing.OrderPart, List: "a list.csv", Part: "part D"},
		{Action: standing.Print},
		{Action: standing.Print, Outer: "1 7/8-14 UNS", Clearance: 0.2 * unit.Millimetre},
		{Action: standing.Try, Side: job.Stays},
		{Action: standing.Measure, Side: job.Stays},
		{Action: standing.Measure, Side: job.Goes, Printer: "filament-0.4"},
	} {
		words := shellWords(strings.ReplaceAll(commandFor(s, file), "'", `"`))
		require.Greater(t, len(words), 2, "%+v", s)
		root := newRoot(&strings.Builder{}, &strings.Builder{})
		cmd, rest, err := root.Find(words[1:])
		require.NoError(t, err)
		require.NotEqual(t, "tryring", cmd.Name(), words)
		require.NoError(t, cmd.ParseFlags(rest), words)
		require.NoError(t, cmd.Args(cmd, cmd.Flags().Args()), words)
		if s.Action != standing.Measure {
			assert.Contains(t, words, file)
		}
	}
}
