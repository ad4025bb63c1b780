package gauge

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/build"
	"tryring/internal/thread"
	"tryring/internal/whole"
)

func TestParseDrawer(t *testing.T) {
	tests := []struct{ name, file, text string }{
		{"commas", "a.csv", "thread,kind,limit,class,tolerance\n1/4-20 UNC,ring,both,2A,\n44.4mm x 12tpi,,go,,0.1mm\n"},
		{"semicolons and decimal commas", "a.csv", "Thread;Kind;Limit;Class;Tolerance\n1/4-20 UNC;ring;both;2A;\n44.4mm x 12tpi;;go;;0,1\n"},
		{"other order, blanks and a note", "a.CSV", "\ufeff# of mine\nlimit, tolerance, kind, class, thread\r\nboth,,ring,2A, 1/4-20 UNC \r\n\n,,,,\ngo,0.1,,,44.4mm x 12tpi\n"},
		{"tabs", "a.csv", "thread\tkind\tlimit\tclass\ttolerance\r\n1/4-20 UNC\tring\tboth\t2A\r\n44.4mm x 12tpi\t\tgo\t\t0,1 mm\r\n"},
		{"quotes", "a.csv", "thread,kind,limit,class,tolerance\n\"1/4-20 UNC\",ring,both,2A\n\"44.4mm x 12tpi\",,go,,\"0,1 mm\"\n"},
		{"TOML", "a.toml", "[[gauge]]\nthread='1/4-20 UNC'\nkind='ring'\nlimit='both'\nclass='2A'\n[[gauge]]\nthread='44.4mm x 12tpi'\nlimit='go'\ntolerance=0.1\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			list, _, err := parseDrawer(tt.file, []byte(tt.text))
			require.NoError(t, err)
			require.Len(t, list, 2)
			assert.Equal(t, Gauge{Thread: "1/4-20 UNC", Kind: "ring", Limit: "both", Class: "2A"}, list[0].Gauge)
			assert.Equal(t, "44.4mm x 12tpi", list[1].Thread)
			assert.Equal(t, "go", list[1].Limit)
			require.NotNil(t, list[1].Tolerance)
			assert.InDelta(t, 0.1, list[1].Tolerance.MM(), 1e-12)
		})
	}
}

func TestParseDrawerFaults(t *testing.T) {
	tests := []struct {
		name, file, text string
		says             []string
	}{
		{"empty", "a.csv", "", []string{"a.csv", "thread, kind"}},
		{"heading alone", "a.csv", "thread\n", []string{"names no thread"}},
		{"no heading", "a.csv", "M10,ring\n", []string{`a.csv:1: "M10,ring" is no heading`, "thread,kind"}},
		{"no column of threads", "a.csv", "kind,class\nring,6g\n", []string{"a.csv:1", `no column "thread"`}},
		{"column twice", "a.csv", "thread,thread\nM10,M10\n", []string{"twice"}},
		{"too many fields", "a.csv", "thread,kind\nM10,ring\nM12,ring,go\n", []string{"a.csv:3", "3 fields"}},
		{"tolerance that is none", "a.csv", "thread,tolerance\nM10,fine\n", []string{"a.csv:2", "tolerance", `"fine"`}},
		{"quote left open", "a.csv", "thread\n\"M10\n", []string{"a.csv"}},
		{"unknown key", "a.toml", "[[gauge]]\nthread='M10'\nsize=3\n", []string{"a.toml:3", "size"}},
		{"other ending", "a.xls", "thread\nM10\n", []string{".csv or .toml"}},
		{"too long", "a.csv", "thread\n" + strings.Repeat("M10\n", maxDrawer+1), []string{"at most"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, _, err := parseDrawer(tt.file, []byte(tt.text))
			require.Error(t, err)
			for _, want := range tt.says {
				assert.ErrorContains(t, err, want)
			}
		})
	}
}

// All faults of a list are told at once, each with its line.
func TestResolveDrawerFaults(t *testing.T) {
	list, _, err := parseDrawer("a.csv", []byte("thread,kind\nM10,\nRc 1/2,ring\nM10-6g,ring\nquarter,\n"))
	require.NoError(t, err)
	_, err = ResolveDrawer(list, thread.NewTables(), gaugeJob(t, ""))
	require.Error(t, err)
	for _, want := range []string{"a.csv:3: ", "plug gauge judges", "a.csv:4: ", "already, at a.csv:2", "a.csv:5: ", `"quarter"`} {
		assert.ErrorContains(t, err, want)
	}
}

// A column that nobody reads is left out and told, and no reason to refuse a shop's own list.
func TestParseDrawerTellsUnusedColumns(t *testing.T) {
	list, unused, err := parseDrawer("a.csv", []byte("Shelf,thread,,kind\n3,M10,x,ring\n"))
	require.NoError(t, err)
	assert.Equal(t, []string{"Shelf"}, unused)
	require.Len(t, list, 1)
	assert.Equal(t, Gauge{Thread: "M10", Kind: "ring"}, list[0].Gauge)
}

func TestLoadDrawer(t *testing.T) {
	list, _, err := LoadDrawer(t.Context(), "../../testdata/drawer.csv")
	require.NoError(t, err)
	gauges, err := ResolveDrawer(list, thread.NewTables(), gaugeJob(t, "filament-0.4"))
	require.NoError(t, err)
	assert.Len(t, gauges, 16)
	longest := filepath.Join(t.TempDir(), "longest.csv")
	line := "1 3/4-12 UN-2A LH,ring,both,2A," + strings.Repeat("a note on it ", 30) + "\n"
	require.NoError(t, os.WriteFile(longest, []byte("thread,kind,limit,class,note\n"+strings.Repeat(line, maxDrawer)), 0o600))
	list, _, err = LoadDrawer(t.Context(), longest)
	require.NoError(t, err)
	assert.Len(t, list, maxDrawer)
	_, _, err = LoadDrawer(t.Context(), "nowhere.csv")
	assert.ErrorIs(t, err, os.ErrNotExist)
}

// Whatever a list holds, it is read or refused with the file's name.
func FuzzParseDrawer(f *testing.F) {
	f.Add("a.csv", "thread,kind,limit,class,tolerance\n1/4-20 UNC,ring,both,2A,\n44.4mm x 12tpi,,go,,0.1mm\n")
	f.Add("a.csv", "thread;tolerance\nM10;0,1\n")
	f.Add("a.toml", "[[gauge]]\nthread='M10'\ntolerance='1/64in'\n")
	f.Add("a.csv", "\"")
	tables := thread.NewTables()
	f.Fuzz(func(t *testing.T, name, text string) {
		list, _, err := parseDrawer(name, []byte(text))
		if err != nil {
			if !strings.Contains(err.Error(), name) {
				t.Errorf("parseDrawer(%q, %q): %v does not name the file", name, text, err)
			}
			return
		}
		j := Job{Chord: build.DefaultChord}
		for _, l := range list[:min(len(list), 3)] {
			asked, err := l.Resolve(tables, j)
			if err != nil {
				continue
			}
			for _, a := range asked {
				if whole.CheckFileName(a.Name) != nil {
					t.Errorf("gauge of %q is called %q", fmt.Sprint(l), a.Name)
				}
			}
		}
	})
}
