package build

import (
	"archive/zip"
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/whole"
)

func TestStoresHoldTheSame(t *testing.T) {
	asked, err := Resolve(job.Ring{Inner: "M20x1.5", Outer: "M30x2", Out: t.TempDir()}, thread.NewTables(), printer.Profiles{})
	require.NoError(t, err)
	plan, err := ring.New(asked.Spec)
	require.NoError(t, err)
	onDisk, err := Make(t.Context(), in(asked), asked, plan)
	require.NoError(t, err)
	var memory whole.Memory
	inMemory, err := Make(t.Context(), &memory, asked, plan)
	require.NoError(t, err)
	var archive bytes.Buffer
	zipped, err := Make(t.Context(), &whole.Zip{To: &archive}, asked, plan)
	require.NoError(t, err)
	assert.Equal(t, inMemory, zipped)
	entries, err := zip.NewReader(bytes.NewReader(archive.Bytes()), int64(archive.Len()))
	require.NoError(t, err)
	require.Len(t, entries.File, ringFiles)
	for i, name := range inMemory.Paths {
		want := memory.Bytes(name)
		entry, err := entries.Open(name)
		require.NoError(t, err)
		got, err := io.ReadAll(entry)
		require.NoError(t, err)
		assert.Equal(t, want, got, name)
		if i == ringFiles-1 {
			continue // the manifest says where the files are
		}
		got, err = os.ReadFile(filepath.Join(asked.Out, name))
		require.NoError(t, err)
		assert.Equal(t, want, got, name)
	}
	onDisk.Paths = inMemory.Paths
	assert.Equal(t, inMemory, onDisk)
}

func TestMakeStopsWhenCancelled(t *testing.T) {
	asked, err := Resolve(job.Ring{Inner: "M20x1.5", Outer: "M30x2"}, thread.NewTables(), printer.Profiles{})
	require.NoError(t, err)
	plan, err := ring.New(asked.Spec)
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	stop()
	_, err = Make(ctx, new(whole.Memory), asked, plan)
	assert.ErrorIs(t, err, context.Canceled)
}
