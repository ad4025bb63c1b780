package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Threads without an ordinary use, by name or by size, and dangerous uses of any thread: every command that makes or
// judges a part says no, with the reason and nothing written.
func TestHandsOff(t *testing.T) {
	unraced(t)
	dir := t.TempDir()
	t.Chdir(dir)
	list := filepath.Join(dir, "list.csv")
	require.NoError(t, os.WriteFile(list, []byte("part,inner thread,outer thread\nx,G 1,G 2\n"), 0o600))
	require.NoError(t, os.WriteFile("gas.toml", []byte("use = \"gas cooker\"\ninner = \"G 1/2\"\nouter = \"G 1\"\n"), 0o600))
	require.NoError(t, os.WriteFile("pol.toml", []byte("inner = \"POL\"\nouter = \"G 1\"\n"), 0o600))
	for _, c := range []struct {
		args []string
		says []string
	}{
		{[]string{"ring", "--inner", "W21.8x1/14 LH", "--outer", "G 1 1/2"}, []string{"--inner", "cylinders", "licensed practice"}},
		{[]string{"ring", "--inner", "21.8mm x 14tpi LH", "--outer", "G 1 1/2"}, []string{"has the sizes of W21.8x1/14 LH"}},
		{[]string{"ring", "--inner", "G 1/2", "--outer", "G 1", "--use", "propane hose"}, []string{"--use", `"propane"`}},
		{[]string{"ring", "gas.toml"}, []string{"gas.toml", `"gas"`}},
		{[]string{"ladder", "--inner", ".825-14 NGO", "--outer", "G 1", "--from", "0.1mm", "--to", "0.2mm", "--step", "0.1mm"}, []string{".825-14 NGO"}},
		{[]string{"gauge", "G 3/8 LH"}, []string{"fuel gas"}},
		{[]string{"shortlist", list, "--inner", "Rd 40x1/7", "--outer", "G 1"}, []string{"--inner", "breathing"}},
		{[]string{"ring", "gas.toml", "--use", "a lamp"}, []string{"gas.toml:1: use", `"gas"`}},
		{[]string{"job", "gas.toml"}, []string{`"gas"`}},
		{[]string{"gauge", "G 1/2", "--use", "medical"}, []string{"--use", `"medical"`}},
		{[]string{"gauge", "--drawer", list, "--use", "fuel line"}, []string{"--use", `"fuel"`}},
		{[]string{"ladder", "--inner", "G 1/2", "--outer", "G 1", "--rungs", "0.1", "--use", "brake line"}, []string{"--use", `"brake"`}},
		{[]string{"fit", "--external", "G 1", "--internal", "G 1", "--use", "high-pressure hose"}, []string{"--use", `"high-pressure"`}},
		{[]string{"fit", "--job", "gas.toml"}, []string{"gas.toml:1: use", `"gas"`}},
		{[]string{"shortlist", list, "--inner", "G 1/2", "--outer", "G 1", "--use", "fuel"}, []string{"--use", `"fuel"`}},
		{[]string{"shortlist", list, "--job", "gas.toml"}, []string{"gas.toml:1: use", `"gas"`}},
		{[]string{"trial", "--printer", "filament-0.4", "--caliper-outside", "20mm=20.1mm", "--use", "gas"}, []string{"--use", `"gas"`}},
		{[]string{"trial", "--job", "gas.toml", "--side", "inner", "--result", "goes"}, []string{"gas.toml:1: use", `"gas"`}},
		{[]string{"job", "pol.toml"}, []string{".885-14 NGO LH"}},
	} {
		code, stdout, stderr := tryring(t, c.args...)
		assert.Equal(t, exitNo, code, "%v: %s", c.args, stderr)
		assert.Empty(t, stdout, "%v", c.args)
		for _, says := range c.says {
			assert.Contains(t, stderr, says, "%v", c.args)
		}
	}
	code, _, stderr := tryring(t, "ring", "--inner", "S60x6", "--outer", "G 3")
	assert.Equal(t, exitBadInput, code, "a tank's saw thread differs by maker")
	assert.Contains(t, stderr, "depth and both flanks differ by maker")
	code, _, stderr = tryring(t, "ring", "--inner", "POL", "--outer", "G 1", "--json")
	assert.Equal(t, exitNo, code)
	assert.Contains(t, stderr, `"field": "inner"`)
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, left, 3, "nothing is written")

	// It is told also where two of one size share the chance, so that none of these is likelier than either.
	for _, outside := range []string{"21.75mm", "21.65mm"} {
		code, stdout, _ := tryring(t, "identify", "--outside", outside, "--tpi", "14", "--angle", "55")
		assert.Equal(t, exitDone, code)
		assert.Contains(t, stdout, "cylinders of fuel", outside)
		assert.NotContains(t, stdout, "print a ring", outside)
	}
	code, stdout, _ := tryring(t, "ring", "--inner", "G 1/2", "--outer", "G 1 1/4", "--out", filepath.Join(dir, "out"))
	assert.Equal(t, exitDone, code)
	assert.Contains(t, stdout, "no printed part")
}
