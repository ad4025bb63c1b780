package build

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
)

func TestBuildMakesWhatMakeMakes(t *testing.T) {
	asked, err := Resolve(job.Ring{Inner: "M20x1.5", Outer: "M30x2", Out: t.TempDir()}, thread.NewTables(), printer.Profiles{})
	require.NoError(t, err)
	plan, err := ring.New(asked.Spec)
	require.NoError(t, err)
	made, err := Make(context.Background(), asked, plan, false)
	require.NoError(t, err)
	built, err := Build(context.Background(), asked, plan, nil)
	require.NoError(t, err)
	for _, ending := range []string{".stl", ".3mf", ".svg", ".html"} { // .json names the folder
		onDisk, err := os.ReadFile(asked.Path(ending))
		require.NoError(t, err)
		assert.Equal(t, onDisk, built.Files[ending], ending)
	}
	made.Files = built.Result.Files
	assert.Equal(t, made, built.Result)
}

func TestBuildStopsWhenCancelled(t *testing.T) {
	asked, err := Resolve(job.Ring{Inner: "M20x1.5", Outer: "M30x2"}, thread.NewTables(), printer.Profiles{})
	require.NoError(t, err)
	plan, err := ring.New(asked.Spec)
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	stop()
	_, err = Build(ctx, asked, plan, nil)
	assert.ErrorIs(t, err, context.Canceled)
}
