package printer

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fault"
	"tryring/profiles"
)

// comesWith reads the text of a profile that comes with the program.
func comesWith(t testing.TB, name string) string {
	t.Helper()
	text, err := profiles.Printers.ReadFile("printers/" + name + ".toml")
	require.NoError(t, err)
	return string(text)
}

func TestLoadWhatComesWithTheProgram(t *testing.T) {
	list, err := Load("")
	require.NoError(t, err)
	assert.Equal(t, []string{"filament-0.25", "filament-0.4", "resin"}, list.Names())
	for _, p := range list {
		t.Run(p.Name, func(t *testing.T) {
			require.NoError(t, p.Validate())
			assert.Positive(t, p.InsideTakes, "printed bores come out small")
			for _, f := range p.figures() {
				assert.True(t, strings.HasPrefix(p.Sources[f.key], CommonPractice), "%s: source of %s = %q", p.Name, f.key, p.Sources[f.key])
			}
		})
	}
}

func TestOwnFolderReplaces(t *testing.T) {
	dir := t.TempDir()
	own := strings.Replace(comesWith(t, "resin"), "layer_mm = 0.05", "layer_mm = 0.03", 1)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "resin.toml"), []byte(own), 0o600))
	attic := strings.Replace(own, `name = "resin"`, `name = "attic"`, 1)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "attic.toml"), []byte(attic), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "notes.txt"), []byte("not a profile"), 0o600))

	list, err := Load(dir)
	require.NoError(t, err)
	assert.Equal(t, []string{"attic", "filament-0.25", "filament-0.4", "resin"}, list.Names())
	p, err := list.Find("resin")
	require.NoError(t, err)
	assert.InDelta(t, 0.03, p.Layer.MM(), roundingMM)
}

func TestLoadFaults(t *testing.T) {
	_, err := Load(filepath.Join(t.TempDir(), "nowhere"))
	require.ErrorIs(t, err, fs.ErrNotExist)
	assert.Equal(t, "printers", fault.Each(err)[0].Field)

	dir := t.TempDir()
	for _, name := range []string{"one", "two"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".toml"), []byte("nozle_mm = 1\n"), 0o600))
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "gone"+journalEnding), nil, 0o600))
	list, err := Load(dir)
	require.NoError(t, err)
	assert.Equal(t, []string{"filament-0.25", "filament-0.4", "resin"}, list.Names(), "the others are spoilt by none of them")
	for name, says := range map[string]string{"one": "one.toml:1: ", "two": "two.toml:1: ", "gone": `no printer profile "gone"`} {
		_, err := list.Find(name)
		assert.ErrorContains(t, err, says)
	}
}

func TestParseRefuses(t *testing.T) {
	good := comesWith(t, "resin")
	tests := []struct {
		name, old, new string
		says           []string
	}{
		{"unknown key", "layer_mm = 0.05", "layer_mm = 0.05\nlayers = 3", []string{`resin.toml:10: layers: there is no such key`}},
		{"figure out of range", "layer_mm = 0.05", "layer_mm = 50", []string{`resin.toml:9: layer_mm: "50": it lies between 0.005 and 1.5`}},
		{"figure missing", "layer_mm = 0.05\n", "", []string{"resin.toml: layer_mm: it is missing"}},
		{"text for a figure", "layer_mm = 0.05", `layer_mm = "thin"`, []string{"resin.toml:9: "}},
		{"another name", `name = "resin"`, `name = "risen"`, []string{"resin.toml:4: ", "call the file risen.toml"}},
		{"not a number", "layer_mm = 0.05", "layer_mm = nan", []string{`resin.toml:9: layer_mm: "NaN"`}},
		{"source of nothing", "[sources]", "[sources]\nlayers = 'x'", []string{"resin.toml:28: sources.layers: there is no such figure"}},
		{"two faults", "layer_mm = 0.05\nbed_x_mm = 120.0", "layer_mm = 0\nbed_x_mm = 0", []string{"resin.toml:9: layer_mm", "resin.toml:10: bed_x_mm"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			text := strings.Replace(good, tt.old, tt.new, 1)
			require.NotEqual(t, good, text)
			_, err := Parse("resin.toml", []byte(text))
			require.Error(t, err)
			for _, want := range tt.says {
				assert.Contains(t, err.Error(), want)
			}
		})
	}
	_, err := Parse("none.toml", []byte(strings.Replace(good, `name = "resin"`, `name = "none"`, 1)))
	assert.ErrorContains(t, err, "is taken")
}

func TestFind(t *testing.T) {
	list, err := Load("")
	require.NoError(t, err)
	for _, name := range []string{"", "none", "None"} {
		p, err := list.Find(name)
		require.NoError(t, err)
		assert.Equal(t, Unnamed(), p)
	}
	p, err := list.Find(" Resin")
	require.NoError(t, err)
	assert.Equal(t, "resin", p.Name)
	_, err = list.Find("filament0.4")
	assert.EqualError(t, err, `"filament0.4": there is no such printer profile; did you mean filament-0.4?`)
	_, err = list.Find("laser")
	assert.EqualError(t, err, `"laser": there is no such printer profile; there are: filament-0.25, filament-0.4, resin`)
}

// Whatever Parse accepts is a valid profile, and whatever it refuses names the file.
func FuzzParse(f *testing.F) {
	for _, name := range []string{"filament-0.4", "filament-0.25", "resin"} {
		f.Add([]byte(comesWith(f, name)))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := Parse("resin.toml", text)
		if err == nil {
			err = p.Validate()
		} else if strings.HasPrefix(err.Error(), "resin.toml:") {
			return
		}
		if err != nil {
			t.Errorf("Parse(%q): %v", text, err)
		}
	})
}
