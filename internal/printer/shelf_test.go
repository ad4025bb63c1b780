package printer

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestMemoryKeepsAsAFolderDoes does the same to both, and begins anew from what the memory handed out, as a page does.
func TestMemoryKeepsAsAFolderDoes(t *testing.T) {
	folder := Folder(t.TempDir())
	stored := map[string]string{}
	memory := &Memory{Journals: map[string]string{}, Changed: func(printer, text string) { stored[printer] = text }}
	again := func() *Memory { return &Memory{Journals: stored, Changed: memory.Changed} }
	for _, shelf := range []Shelf{folder, memory} {
		p, j, err := shelf.Untried("filament-0.4")
		require.NoError(t, err)
		assert.Equal(t, "filament-0.4", p.Name)
		for _, x := range []Trial{tried(Goes), tried(StopsAfter(2.5)), tried(Snug)} {
			_, err = j.Append(t.Context(), x, agreed)
			require.NoError(t, err)
		}
		_, err = j.Drop(t.Context(), 2, "a Friday")
		require.NoError(t, err)
		_, err = j.Drop(t.Context(), 2, "a Friday")
		require.ErrorIs(t, err, ErrNoEntry)
		_, _, err = shelf.Untried("nonsense")
		require.Error(t, err)
	}
	_, want, err := folder.Untried("filament-0.4")
	require.NoError(t, err)
	taught, err := folder.Load()
	for _, m := range []*Memory{memory, again()} {
		_, got, err := m.Untried("FILAMENT-0.4")
		require.NoError(t, err)
		assert.Equal(t, want.Entries, got.Entries)
		assert.Equal(t, want.text, got.text)
		list, err := m.Load()
		assert.Equal(t, find(t, taught, err), find(t, list, err))
	}
	require.NoError(t, err)
	untaught, err := Load("")
	require.NoError(t, err)
	assert.NotEqual(t, find(t, untaught, err), find(t, taught, err), "three trials teach something")
}
