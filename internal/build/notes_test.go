package build

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/reading"
)

func TestNotesGrowAJob(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job.toml")
	require.NoError(t, os.WriteFile(path, []byte("# the tub on the first floor\nname = \"tub\" # short"), 0o600))
	first := reading.Batch{Outside: []string{"41.2mm"}, TPI: []string{"16"}, Instrument: "caliper", Date: "2026-03-01"}
	second := reading.Batch{Bore: []string{"45.6", "45,7 mm"}, Worn: true}
	require.NoError(t, Note(path, Goes, first))
	require.NoError(t, Note(path, Stays, second))
	require.NoError(t, Take(path, Goes, "1 5/8-16 UN"))
	require.NoError(t, Take(path, Stays, "1 7/8-14 UNS"))
	require.NoError(t, Take(path, Goes, `44.4mm x 1.5mm`))

	r, err := LoadRing(path)
	require.NoError(t, err)
	assert.Equal(t, "tub", r.Name)
	assert.Equal(t, "44.4mm x 1.5mm", r.Inner)
	assert.Equal(t, "1 7/8-14 UNS", r.Outer)
	assert.Equal(t, []reading.Batch{first}, r.Goes)
	assert.Equal(t, []reading.Batch{second}, r.Stays)
	assert.Equal(t, []string{
		"The part that goes in: outside 41.2mm, threads to the inch 16, read with caliper, on 2026-03-01.",
		"The fitting that stays: bore 45.6, bore 45,7 mm, worn.",
	}, r.told())
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Contains(t, string(text), "# the tub on the first floor\n", "comments stay")
	assert.Contains(t, string(text), "# short")
}

func TestNotesMakeTheFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new.toml")
	require.NoError(t, Note(path, Stays, reading.Batch{Bore: []string{"45.6"}}))
	require.NoError(t, Take(path, Stays, "M48x2"))
	r, err := LoadRing(path)
	require.NoError(t, err)
	assert.Equal(t, "M48x2", r.Outer)
	assert.Len(t, r.Stays, 1)
}

func TestNotesSpoilNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "broken.toml")
	const broken = "inner = \n"
	require.NoError(t, os.WriteFile(path, []byte(broken), 0o600))
	require.ErrorContains(t, Note(path, Goes, reading.Batch{}), "broken.toml:1")
	require.ErrorContains(t, Take(path, Goes, "M48x2"), "broken.toml:1")
	require.ErrorIs(t, Note(path, "left", reading.Batch{}), ErrSide)
	require.ErrorIs(t, Take(path, "", "M48x2"), ErrSide)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, broken, string(text))

	_, err = Ring{}.ReadingsOf("top")
	require.ErrorIs(t, err, ErrSide)
}

// Whatever is noted reads back as it was said, quotes and all.
func TestNotesReadBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job.toml")
	var want []reading.Batch
	rapid.Check(t, func(rt *rapid.T) {
		rec := reading.Batch{
			Outside:    rapid.SliceOfN(rapid.StringMatching(`[0-9 /",'.mi+-]{1,9}`), 1, 3).Draw(rt, "outside"),
			Instrument: rapid.StringMatching(`[a-z"\\]{1,6}`).Draw(rt, "instrument"),
			Date:       rapid.StringMatching(`[ -~]{1,12}`).Draw(rt, "date"),
		}
		if len(want) == 50 {
			return
		}
		require.NoError(rt, Note(path, Goes, rec))
		want = append(want, rec)
		r, err := LoadRing(path)
		require.NoError(rt, err)
		assert.Equal(rt, want, r.Goes)
	})
	require.NotEmpty(t, want)
}
