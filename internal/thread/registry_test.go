package thread

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSearch(t *testing.T) {
	assert.Equal(t, All(), Search(""), "no text lists all")
	for _, c := range []struct{ text, has string }{
		{"npsm", "1 1/2-11.5 NPSM"},
		{"ISO 228", "G 1 1/2"},
		{"unef 15/16", "15/16-20 UNEF"},
		{"aerator", "15/16-27 UNS"},
		{"hose", "3/4-11.5 NH"},
	} {
		t.Run(c.text, func(t *testing.T) {
			found := false
			for _, th := range Search(c.text) {
				found = found || th.Designation == c.has
			}
			assert.True(t, found, "Search(%q) lists %q", c.text, c.has)
		})
	}
	one := Search("8-16 UN")
	require.Len(t, one, 1, "a text that reads as a thread gives that thread, also outside the tables")
	assert.Equal(t, "8-16 UNS", one[0].Designation)
	assert.Empty(t, Search("no such thing"))
	for _, none := range []string{"G 7", "G 4 1/2", "R 3 1/2", "W 1/2"} {
		assert.Empty(t, Search(none), "%s has no such size", none)
	}
	for _, th := range Search("8 NPT") {
		assert.Contains(t, th.Designation, "-8 NPT", "8 threads to the inch, not a size with an 8 in it")
	}
}

func TestAllIsUniqueAndWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, th := range All() {
		require.False(t, seen[th.Designation], "%s twice", th.Designation)
		seen[th.Designation] = true
		b := th.Basic
		require.True(t, b.Major > b.Pitch && b.Pitch > b.Minor && b.Minor > 0, th.Designation)
		require.NotEmpty(t, th.Standard, th.Designation)
		require.NotEmpty(t, th.Source(), th.Designation)
		for _, external := range []bool{true, false} {
			_, err := th.Limits("", external)
			require.NoError(t, err, th.Designation)
		}
	}
}

func TestFreeThreadsHaveNoLimits(t *testing.T) {
	th, err := Parse("44.4mm x 12tpi")
	require.NoError(t, err)
	_, err = th.Limits("", true)
	assert.ErrorIs(t, err, ErrNoLimits)
}

func TestOwnThreadsStandBeforeAllOthers(t *testing.T) {
	own, err := ReadFolder(fstest.MapFS{"boat.toml": &fstest.MapFile{Data: []byte(`
standard = "threads of the boat shop"
units = "mm"
basis = "from memory"
checked = "three old sockets, caliper"
rows = [
  { designation = "skin fitting 40", major = 39.8, pitch = 2.0, external_pitch_dia_max = 38.4 },
  { designation = "G 1/2", major = 21.1, pitch = 1.8 },
]
`)}})
	require.NoError(t, err)
	tables := NewTables(own...)
	th, err := tables.Parse("Skin  fitting 40 LH")
	require.NoError(t, err)
	assert.Equal(t, "skin fitting 40 LH", th.Designation)
	again, err := tables.Parse(th.Designation)
	require.NoError(t, err)
	assert.Equal(t, th, again)
	l, err := th.Limits("", true)
	require.NoError(t, err)
	assert.InDelta(t, 38.4, l.PitchMax.MM(), sameMM)
	assert.NotEmpty(t, tables.Search("skin"))
	th, err = tables.Parse("g 1/2")
	require.NoError(t, err)
	assert.InDelta(t, 21.1, th.Basic.Major.MM(), sameMM)
	_, err = tables.Parse("1 3/4-12 UN")
	require.NoError(t, err, "the built-in tables stay")
}

func TestEngagement(t *testing.T) {
	for _, c := range []struct {
		thread string
		mm     float64
		says   string
	}{
		{"1 3/4-12 UN", 9 * 25.4 / 12, "9 pitches (ASME B1.1"},
		{"1-8 UNC", 25.4, "one basic diameter (ASME B1.1"},
		{"1/4-20 UNC", 6 * 25.4 / 20, "raised to the 6 pitches"},
		{"4-8 UN", 9 * 25.4 / 8, "cut to 9 pitches"},
		{"M10", 4.47 * 1.5 * 1.4113, "normal group"}, // 5.6^0.2 = 1.4113
		{"R 1/2", 13.2, "useful thread of ISO 7-1"},  // ISO 7-1 table 1, from memory
		{"44.4mm x 12tpi", 9 * 25.4 / 12, "one diameter"},
	} {
		t.Run(c.thread, func(t *testing.T) {
			th, err := Parse(c.thread)
			require.NoError(t, err)
			got, rule := th.Engagement()
			assert.InDelta(t, c.mm, got.MM(), 1e-3)
			assert.Contains(t, rule, c.says)
		})
	}
	for _, th := range All() {
		l, rule := th.Engagement()
		turns := float64(l / th.Pitch)
		require.True(t, turns > 5.99 && turns < 17.5, "%s: %v pitches", th.Designation, turns)
		require.NotEmpty(t, rule)
	}
}

// BenchmarkTwoUnifiedThreads is what a ring of two Unified threads spends here once the table is read.
func BenchmarkTwoUnifiedThreads(b *testing.B) {
	total := 0.0
	for b.Loop() {
		for _, text := range []string{"1 3/4-12 UN", "1 7/8-16 UN-2A"} {
			th, err := Parse(text)
			if err != nil {
				b.Fatal(err)
			}
			l, _ := th.Engagement()
			total += l.MM()
		}
	}
	if total <= 0 {
		b.Fatal("no length")
	}
}

// BenchmarkReadUnifiedTable is the reading of the table itself, which happens once in a process.
func BenchmarkReadUnifiedTable(b *testing.B) {
	rows := 0
	for b.Loop() {
		rows = len(embedded[unifiedRow]("unified.toml").Rows)
	}
	if rows == 0 {
		b.Fatal("no rows")
	}
}
