package datafile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fault"
)

// sheet is a file with one key of each kind.
type sheet struct {
	Name    string            `toml:"name"`
	Width   float64           `toml:"width_mm"`
	Sources map[string]string `toml:"sources"`
}

func TestDecode(t *testing.T) {
	var s sheet
	text := []byte("# a sheet\nname = 'x'\n\nwidth_mm = 2\n[sources]\nwidth_mm = \"\"\"a\\\nb\"\"\"\nname = 'c'\n")
	require.NoError(t, Decode("a.toml", text, &s))
	assert.Equal(t, sheet{Name: "x", Width: 2, Sources: map[string]string{"width_mm": "ab", "name": "c"}}, s)
	assert.Equal(t, Lines{"name": 2, "width_mm": 4, "sources": 5, "sources.width_mm": 6, "sources.name": 8}, KeyLines(text))
}

func TestDecodeRefuses(t *testing.T) {
	tests := []struct {
		name, text string
		says       []string
	}{
		{"unknown keys, all of them", "name='x'\nwidht_mm=1\n\ncolour='red'\n", []string{`a.toml:2: widht_mm: there is no such key`, `a.toml:4: colour: there is no such key`}},
		{"unknown table", "name='x'\n[more]\nb=1\n", []string{`a.toml:2: more: there is no such key`}},
		{"wrong type", "name='x'\nwidth_mm='wide'\n", []string{"a.toml:2: width_mm: \"wide\": a number without quotes is wanted"}},
		{"number for text", "name=5\n", []string{"a.toml:1: name: \"5\": text in quotes is wanted"}},
		{"list for text", "name=['x']\n", []string{"a.toml:1: name: \"['x']\": text in quotes is wanted"}},
		{"table for text", "[name]\n", []string{"a.toml:1: name: text in quotes is wanted"}},
		{"text for table", "sources='x'\n", []string{"a.toml:1: sources: \"x\": a table is wanted"}},
		{"broken line", "name='x'\nwidth_mm 3\n", []string{"a.toml:2: "}},
		{"twice the same key", "name='x'\nname='y'\n", []string{"a.toml:2: "}},
		{"too large", strings.Repeat("#", MaxBytes+1), []string{"a.toml: ", "65537"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := Decode("a.toml", []byte(tt.text), &sheet{})
			require.Error(t, err)
			for _, want := range tt.says {
				assert.Contains(t, err.Error(), want)
			}
		})
	}
}

// What is wrong is data: where it stands, its key, what was read, and what would be right.
func TestDecodeTellsFaults(t *testing.T) {
	type row struct {
		Size float64 `toml:"size"`
	}
	var into struct {
		Name string `toml:"name"`
		Rows []row  `toml:"rows"`
	}
	for text, want := range map[string]fault.Fault{
		"name = 5 # five": {Place: "a.toml:1", Field: "name", Read: "5", Want: "text in quotes is wanted"},
		"\nrows = [\n {size=1}, { size = 'big' },\n]": {Place: "a.toml:3", Field: "size", Read: "big", Want: "a number without quotes is wanted"},
		"[[rows]]\nsize = true":                       {Place: "a.toml:2", Field: "size", Read: "true", Want: "a number without quotes is wanted"},
		"name = 'x'\nnaem = 'y'":                      {Place: "a.toml:2", Field: "naem", Want: NoSuchKey},
		"name 'x'":                                    {Place: "a.toml:1", Read: "name 'x'", Want: "expected '=' after key"},
	} {
		got := fault.Each(Decode("a.toml", []byte(text), &into))
		assert.Equal(t, []fault.Fault{want}, got, text)
	}
}

func FuzzDecode(f *testing.F) {
	f.Add([]byte("name='x'\n[sources]\na='b'\n"))
	f.Add([]byte("[[a]]\nb.c={d=1}\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		if err := Decode("a.toml", text, &sheet{}); err != nil {
			if !strings.HasPrefix(err.Error(), "a.toml:") {
				t.Errorf("Decode(%q) = %q, want the file's name first", text, err)
			}
			return
		}
		last := strings.Count(string(text), "\n") + 1
		for key, line := range KeyLines(text) {
			if line < 1 || line > last {
				t.Errorf("Decode(%q): key %q on line %d of %d", text, key, line, last)
			}
		}
	})
}
