package job

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/reading"
)

// old is a file as it was written before documents had a version.
const old = `# the tub on the first floor
name = "tub" # short
outer = '1 7/8-14 UNS'
height = "7/8 in"

# read in the cellar
[[stays]]
instrument = 'caliper'
date = '2026-03-01'
bore = ['45.6', '45,7 mm'] # both by lamp
count = ['15']
over = ['1in']
counted = 'spaces'
worn = true

[[goes]]
outside = ['41.2mm']

[[tries]]
side = 'inner'
thread = '1 5/8-16 UN'
major_mm = 41.5
pitch_diameter_mm = 40.5
minor_mm = 39.5
engaged_mm = 12.0
printer = 'filament-0.4'
off_mm = 0.0
u_mm = 0.1
result = 'goes'
`

func parse(t rapid.TB, text string) *Document {
	t.Helper()
	d, err := Parse("tub.toml", []byte(text))
	require.NoError(t, err)
	return d
}

func text(t rapid.TB, d *Document) string {
	t.Helper()
	out, err := d.Text()
	require.NoError(t, err)
	return string(out)
}

func TestParseOld(t *testing.T) {
	d := parse(t, old)
	assert.Equal(t, "7/8 in", d.Height)
	assert.Equal(t, []reading.Record{
		{ID: 1, What: "bore", Text: "45.6", Instrument: "caliper", When: "2026-03-01", Look: 1},
		{ID: 2, What: "bore", Text: "45,7 mm", Instrument: "caliper", When: "2026-03-01", Look: 1},
		{ID: 3, What: "count", Text: "15 spaces over 1in", Instrument: "caliper", When: "2026-03-01", Look: 1},
		{ID: 4, What: "worn", Text: "yes", Instrument: "caliper", When: "2026-03-01", Look: 1},
	}, d.Stays)
	assert.Equal(t, 5, d.Goes[0].ID)
	assert.Equal(t, 6, d.Tries[0].ID)
	assert.Equal(t, old, text(t, d), "looking changes nothing")
}

func TestChangeOld(t *testing.T) {
	d := parse(t, old)
	require.NoError(t, d.AddReadings(Goes, false, reading.Record{What: "tpi", Text: "16"}, reading.Record{What: "outside", Text: "41.3"}))
	require.NoError(t, d.Decide(Decision{Side: Goes, Designation: "1 5/8-16 UN", Weight: 0.9}))
	require.NoError(t, d.Drop(2))
	d.Tries[0].Note = "stiff"
	d.Height = ""
	d.Name = "tub-2"
	got := text(t, d)
	t.Log(got)
	for _, kept := range []string{"# the tub", "# short", "# read in the cellar", "# both by lamp", "off_mm = 0.0", "u_mm = 0.1\nresult = 'goes'\nnote = \"stiff\"\n", "outside = ['41.2mm']"} {
		assert.Contains(t, got, kept)
	}
	back := parse(t, got)
	assert.Equal(t, d.Goes, back.Goes)
	assert.Len(t, back.Stays, 3)
	assert.Equal(t, []int{2}, back.Dropped)
	assert.Equal(t, 7, back.Goes[2].Look)
}

func TestJSONCarriesADocument(t *testing.T) {
	d := parse(t, old)
	data, err := json.Marshal(d)
	require.NoError(t, err)
	var back Document
	require.NoError(t, json.Unmarshal(data, &back))
	assert.Equal(t, string(d.plain()), string(back.plain()))
}
