package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The README's story: from the first reading to the part to order in eight commands, each of which the job asks for by itself.
func TestStoryOfOneJob(t *testing.T) {
	list, err := os.ReadFile(filepath.Join("..", "..", "testdata", "adapters.csv"))
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("adapters.csv", list, 0o600))
	where := func() (told jobInfo, command string) {
		code, stdout, stderr := tryring(t, "job", "tub.toml", "--json")
		require.Equal(t, exitDone, code, stderr)
		require.NoError(t, json.Unmarshal([]byte(stdout), &told))
		if told.Next.Command != nil {
			command = *told.Next.Command
		}
		return told, command
	}
	for _, step := range []struct{ command, next string }{
		{"identify --job tub.toml --side stays --bore 45.75mm --leaf 14tpi --among drain --take 1", "tryring identify --job tub.toml --side goes --outside LENGTH --count N --over 1in"},
		{"identify --job tub.toml --side goes --outside 1.62in --count 17 --over 1in --take 1", "tryring shortlist PARTS.csv --job tub.toml"},
		{"fit --job tub.toml", "tryring shortlist PARTS.csv --job tub.toml"},
		{"shortlist adapters.csv --job tub.toml", "tryring ring tub.toml"},
		{"ring tub.toml --printer filament-0.4 --name tub", "tryring trial --job tub.toml --side outer --result goes"},
		{"trial --job tub.toml --side outer --result goes", "tryring trial --job tub.toml --side inner --result goes"},
		{"trial --job tub.toml --side inner --result snug", ""},
	} {
		code, _, stderr := tryring(t, strings.Fields(step.command)...)
		require.Contains(t, []int{exitDone, exitNo}, code, "%s\n%s", step.command, stderr)
		told, next := where()
		assert.Equal(t, step.next, next, "after %s: %s", step.command, told.Next.Text)
		assert.Empty(t, told.Contradictions)
	}
	told, _ := where()
	require.NotNil(t, told.Order)
	assert.Equal(t, "part D", told.Order.Part)
	assert.Greater(t, told.Order.Chance, 0.9)
	assert.Len(t, told.Tries, 2)
	_, stdout, _ := tryring(t, "tub.toml")
	assert.True(t, strings.HasPrefix(stdout, "Order part D: it joins both threads"), stdout)
	assert.LessOrEqual(t, strings.Count(stdout, "\n"), 24)

	before, err := os.ReadFile("tub.toml")
	require.NoError(t, err)
	code, _, stderr := tryring(t, "shortlist", "adapters.csv", "--job", "tub.toml")
	require.Equal(t, exitDone, code, stderr)
	after, err := os.ReadFile("tub.toml")
	require.NoError(t, err)
	assert.Equal(t, string(before), string(after), "the same list again is no new entry")
}

// A list that says nothing of its columns is read in a job as it was told once.
func TestJobKeepsHowAListIsRead(t *testing.T) {
	jobIn(t, strings.Replace(bath, "[[parts]]\nid = 6\nfile = \"adapters.csv\"\n", "", 1))
	require.NoError(t, os.WriteFile("bare.csv", []byte("D,41.275,16,47.625,14\nE,35,16,40,16\n"), 0o600))
	args := []string{"shortlist", "bare.csv", "--job", "tub.toml", "--unit", "mm", "--columns", "part,inner size,inner tpi,outer size,outer tpi"}
	code, _, stderr := tryring(t, args...)
	require.Equal(t, exitDone, code, stderr)
	_, stdout, _ := tryring(t, "job", "tub.toml", "--json")
	var told jobInfo
	require.NoError(t, json.Unmarshal([]byte(stdout), &told))
	require.NotNil(t, told.Order, stdout)
	assert.Equal(t, "D", told.Order.Part)
	assert.Empty(t, told.Contradictions)
	kept, err := os.ReadFile("tub.toml")
	require.NoError(t, err)
	assert.Contains(t, string(kept), `gave = ["D: inner 1 5/8-16 UN`)
	assert.NotContains(t, string(kept), `"E: `, "a part that does not join gave nothing")

	_, shortlisted, _ := tryring(t, append(args, "--json")...)
	var ranked shortlistInfo
	require.NoError(t, json.Unmarshal([]byte(shortlisted), &ranked))
	assert.InDelta(t, told.Order.Chance, ranked.Parts[0].Chance, 1e-12, "one chance for one part, whichever command tells it")
	_, named, _ := tryring(t, append(args, "--json", "--inner", "1 5/8-16", "--outer", "1 7/8-14")...)
	require.NoError(t, json.Unmarshal([]byte(named), &ranked))
	assert.Greater(t, ranked.Parts[0].Chance, told.Order.Chance, "threads that are named are taken as said")
}
