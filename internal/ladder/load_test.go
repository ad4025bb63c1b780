package ladder

import (
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// The largest table that our own ladders have is read back, and what is none is told by its field.
func TestLoad(t *testing.T) {
	l := Ladder{Ring: job.Ring{Inner: "1 5/8-16", Outer: "1 7/8-14", Name: "l"}, From: new(unit.MM(0)), To: new(unit.MM(0.39)), Step: new(unit.MM(0.01)), Compare: printers(t).Names()}
	p, err := l.Plan(thread.NewTables(), printers(t))
	require.NoError(t, err)
	require.Len(t, p.Rungs, MaxRungs)
	table, err := p.Table()
	require.NoError(t, err)
	text, err := json.MarshalIndent(table, "", "  ")
	require.NoError(t, err)
	assert.Less(t, 4*len(text), mostTable, "room for files and for more printers")
	path := filepath.Join(t.TempDir(), "l.json")
	require.NoError(t, os.WriteFile(path, text, 0o600))
	got, err := Load(t.Context(), path)
	require.NoError(t, err)
	again, err := json.MarshalIndent(got, "", "  ")
	require.NoError(t, err)
	assert.Equal(t, string(text), string(again))
	for text, says := range map[string]string{
		`{"inner": "M8", "rungs": [{`:      "not the JSON file of a ladder",
		`{"inner": {"designation": "M8"}}`: "not that of a ladder",
		`{"inner": "M8", "outer": "M12"}`:  "no rungs",
		"\x00":                             "UTF-8",
		string(make([]byte, mostTable+1)):  "more than",
	} {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		_, err = Load(t.Context(), path)
		require.ErrorContains(t, err, says)
		assert.Equal(t, "ladder", fault.Each(err)[0].Field)
	}
	_, err = Load(t.Context(), path+"x")
	require.ErrorIs(t, err, fs.ErrNotExist)
}

func FuzzParseLadder(f *testing.F) {
	f.Add(`{"inner":"M8","outer":"M12","rungs":[{"rung":"0.10"}]}`)
	f.Add(`{}`)
	f.Fuzz(func(t *testing.T, text string) {
		if l, err := parse("l.json", []byte(text)); err == nil && (l.Inner == "" || len(l.Rungs) == 0) {
			t.Fatalf("%q was taken for a ladder", text)
		}
	})
}
