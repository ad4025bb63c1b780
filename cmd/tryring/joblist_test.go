package main

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A list that says nothing of its columns is read in a job as it was told once.
func TestJobKeepsHowAListIsRead(t *testing.T) {
	jobIn(t, strings.Replace(bath, "[[parts]]\nid = 6\nfile = \"adapters.csv\"\n", "", 1))
	require.NoError(t, os.WriteFile("bare.csv", []byte("D,41.275,16,47.625,14\nE,35,16,40,16\n"), 0o600))
	args := []string{"shortlist", "bare.csv", "--job", "tub.toml", "--unit", "mm", "--columns", "part,inner size,inner tpi,outer size,outer tpi"}
	code, _, stderr := tryring(t, args...)
	require.Equal(t, exitDone, code, stderr)
	_, stdout, _ := tryring(t, "job", "tub.toml", "--json")
	var told toldJob
	require.NoError(t, json.Unmarshal([]byte(stdout), &told))
	require.NotNil(t, told.Order, stdout)
	assert.Equal(t, "D", told.Order.Part)
	assert.Empty(t, told.Contradictions)
	kept, err := os.ReadFile("tub.toml")
	require.NoError(t, err)
	assert.Contains(t, string(kept), `gave = ["D: inner 1 5/8-16 UN`)
	assert.NotContains(t, string(kept), `"E: `, "a part that does not join gave nothing")

	_, shortlisted, _ := tryring(t, append(args, "--json")...)
	var ranked struct{ Parts []struct{ Chance float64 } }
	require.NoError(t, json.Unmarshal([]byte(shortlisted), &ranked))
	assert.InDelta(t, told.Order.Chance, ranked.Parts[0].Chance, 1e-12, "one chance for one part, whichever command tells it")
	_, named, _ := tryring(t, append(args, "--json", "--inner", "1 5/8-16", "--outer", "1 7/8-14")...)
	require.NoError(t, json.Unmarshal([]byte(named), &ranked))
	assert.Greater(t, ranked.Parts[0].Chance, told.Order.Chance, "threads that are named are taken as said")
}
