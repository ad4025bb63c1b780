package build

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/check"
	"tryring/internal/fault"
	"tryring/internal/mesh"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/whole"
)

// planned settles a job and plans its ring, with files going to a folder of the test's own.
func planned(t testing.TB, text string) (Asked, ring.Plan) {
	t.Helper()
	r := parse(t, text)
	r.Out = filepath.Join(t.TempDir(), "out")
	a, err := Resolve(r, thread.NewTables(), printers(t))
	require.NoError(t, err)
	p, err := ring.New(a.Spec)
	require.NoError(t, err)
	return a, p
}

// in is the folder that the files of a go to.
func in(a Asked) whole.Store { return &whole.Folder{Dir: a.Out} }

func filesIn(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// ringFiles is how many files a ring has: STL, 3MF, drawing, report and manifest.
const ringFiles = 6

const small = "name='small'\ninner='M12x1.5'\nouter='M20x2'\nheight=12\nclearance=0.3\nprinter='filament-0.4'\n"

func TestMake(t *testing.T) {
	a, p := planned(t, small)
	r, err := Make(t.Context(), in(a), a, p)
	require.NoError(t, err)
	assert.Len(t, filesIn(t, a.Out), ringFiles)
	for _, f := range r.Paths {
		assert.FileExists(t, f)
	}
	assert.True(t, r.Mesh.Closed)
	assert.NotEqual(t, check.Stop, check.Worst(r.Checks))
	// The file holds what was planned, to the hundredth of a millimetre.
	require.NotNil(t, r.Inner.Measured)
	require.NotNil(t, r.Outer.Measured)
	assert.InDelta(t, r.Inner.Modelled.Pitch.MM(), r.Inner.Measured.PitchDMM, check.SizeTolMM)
	assert.InDelta(t, r.Outer.Modelled.Pitch.MM(), r.Outer.Measured.PitchDMM, check.SizeTolMM)
	assert.InDelta(t, 2, r.Outer.Measured.LeadMM, check.SizeTolMM)

	text, err := os.ReadFile(a.Path(".json"))
	require.NoError(t, err)
	var told Result
	require.NoError(t, json.Unmarshal(text, &told))
	assert.JSONEq(t, asJSON(t, r), asJSON(t, told), "NAME.json tells what the command tells")

	stl, err := os.ReadFile(a.Path(".stl"))
	require.NoError(t, err)
	assert.Equal(t, r.Mesh.Bytes, int64(len(stl)))
	assert.Contains(t, string(stl[:stlHeaderBytes]), "TEST FIT ONLY IN M12x1.5 OUT M20x2")
	packed, err := os.ReadFile(a.Path(".3mf"))
	require.NoError(t, err)
	objects, meta, err := mesh.Read3MF(bytes.NewReader(packed), int64(len(packed)))
	require.NoError(t, err)
	require.Len(t, objects, 1)
	assert.Equal(t, check.Caution, meta.Description)
	assert.Contains(t, meta.Title, "TEST FIT ONLY")
}

func TestMakeIsTheSameEachTime(t *testing.T) {
	var first []byte
	for i := range 2 {
		a, p := planned(t, small)
		_, err := Make(t.Context(), in(a), a, p)
		require.NoError(t, err)
		var all []byte
		for _, ending := range []string{".stl", ".3mf"} {
			b, err := os.ReadFile(a.Path(ending))
			require.NoError(t, err)
			all = append(all, b...)
		}
		if i == 0 {
			first = all
			continue
		}
		assert.True(t, string(first) == string(all), "the same job gave other bytes")
	}
}

func TestMakeReplacesOnlyWithForce(t *testing.T) {
	a, p := planned(t, small)
	require.NoError(t, os.Mkdir(a.Out, 0o700))
	require.NoError(t, os.WriteFile(a.Path(".3mf"), []byte("mine"), 0o600))
	_, err := Make(t.Context(), in(a), a, p)
	require.ErrorIs(t, err, whole.ErrExists)
	assert.Equal(t, []string{"small.3mf"}, filesIn(t, a.Out), "nothing half done is left")
	kept, err := os.ReadFile(a.Path(".3mf"))
	require.NoError(t, err)
	assert.Equal(t, "mine", string(kept))

	_, err = Make(t.Context(), &whole.Folder{Dir: a.Out, Force: true}, a, p)
	require.NoError(t, err)
	assert.Len(t, filesIn(t, a.Out), ringFiles)
}

func TestMakeShowsThePart(t *testing.T) {
	a, p := planned(t, small)
	_, err := Make(t.Context(), in(a), a, p)
	require.NoError(t, err)
	page, err := os.ReadFile(a.Path(".html"))
	require.NoError(t, err)
	assert.Contains(t, string(page), "data:image/png;base64,")
}

// A file that does not measure as planned is refused with the figures, and removed.
func TestMakeProves(t *testing.T) {
	tests := []struct {
		name  string
		spoil func(*ring.Plan)
		says  string
	}{
		{"pitch diameter", func(p *ring.Plan) { p.Outer.Modelled.Pitch += 0.05 }, "pitch diameter"},
		{"lead", func(p *ring.Plan) { p.Inner.Thread.Pitch += 0.02 }, "lead"},
		{"hand", func(p *ring.Plan) { p.Inner.Thread.Hand = thread.Left }, "hand"},
		{"wall", func(p *ring.Plan) { p.Wall += 0.5 }, "wall"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a, p := planned(t, small)
			tt.spoil(&p)
			_, err := Make(t.Context(), in(a), a, p)
			require.ErrorIs(t, err, ErrNotProved)
			assert.ErrorContains(t, err, tt.says)
			assert.NoDirExists(t, a.Out, "the folder was made for the ring")
		})
	}
}

func TestMakeFailures(t *testing.T) {
	a, p := planned(t, small)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Make(ctx, in(a), a, p)
	require.ErrorIs(t, err, context.Canceled)
	assert.ErrorContains(t, err, "no file was made")
	assert.NoDirExists(t, a.Out)

	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	a.Out = filepath.Join(file, "below")
	_, err = Make(t.Context(), in(a), a, p)
	assert.ErrorContains(t, err, "output folder")
}

func TestSTLHeaderFits(t *testing.T) {
	_, p := planned(t, small)
	p.Inner.Thread.Designation = "±0.1mm Ø " + strings.Repeat("Ø", 100)
	assert.Equal(t, "mm TEST FIT ONLY IN +-0.1mm ? ...", stlHeader(title(p)))
}

// TestSTLHeadersEndWithAWord sweeps pairs of all threads, as their tables and as people write them in full: what is cut off begins with a word, and no number is cut in two.
func TestSTLHeadersEndWithAWord(t *testing.T) {
	all := thread.BuiltIn().All()
	halved := regexp.MustCompile(`^.*[0-9] ?\|[ .,/]?[0-9]`)
	cut, whole := 0, 0
	for i, inner := range all {
		for j := i % 101; j < len(all); j += 101 {
			p := ring.Plan{Inner: ring.Side{Thread: inner, Clearance: 0.25}, Outer: ring.Side{Thread: all[j], Clearance: 0.5}}
			full := p
			for _, side := range []*ring.Side{&full.Inner, &full.Outer} {
				b := side.Thread
				side.Thread.Designation = fmt.Sprintf("%s x %s %sdeg %dstart LH", b.Basic.Major.TextMM(), b.Pitch.TextMM(), b.Form.AngleWords(), 1+j%3)
			}
			classes := p
			classes.Inner.Thread.Designation, classes.Outer.Thread.Designation = inner.WithClass("2A")+" 2start LH", all[j].WithClass("±0.1mm")+" LH"
			for _, asked := range []string{title(p), title(full), title(classes)} {
				asked = "mm " + strings.ReplaceAll(asked, "±", "+-")
				h := stlHeader(asked[3:])
				kept, short := strings.CutSuffix(h, " ...")
				require.LessOrEqual(t, len(h), 80)
				if !short {
					require.Equal(t, asked, h)
					whole++
					continue
				}
				cut++
				require.Greater(t, len(h), 50, "no more is cut than must be")
				rest, ok := strings.CutPrefix(asked, kept)
				require.True(t, ok && rest[0] == ' ', "%q of %q", h, asked)
				require.False(t, halved.MatchString(kept+"|"+rest), "%q of %q", h, asked)
			}
		}
	}
	assert.Greater(t, cut, 1000)
	assert.Greater(t, whole, 1000)
}

// asJSON is what scripts are told.
func asJSON(t testing.TB, told any) string {
	t.Helper()
	text, err := json.Marshal(told)
	require.NoError(t, err)
	return string(text)
}

// A chord that is too coarse for the threads is a fault that names one which is not.
func TestTheCoarsestChordIsNamed(t *testing.T) {
	const text = "inner = '40mm x 1.5mm 2start'\nouter = '54mm x 0.5mm 3start'\ngrip = 'none'\nchord = '"
	a, p := planned(t, text+"0.1mm'\n")
	var f fault.Fault
	require.ErrorAs(t, CheckChord(t.Context(), a, p), &f)
	assert.Equal(t, "chord", f.Field)
	assert.Equal(t, "0.100 mm", f.Read)
	named := regexp.MustCompile(`(0\.\d+) mm is the coarsest`).FindStringSubmatch(f.Want)
	require.NotNil(t, named, f.Want)
	a, p = planned(t, text+named[1]+"mm'\n")
	require.NoError(t, CheckChord(t.Context(), a, p))
	var store whole.Memory
	_, err := Make(t.Context(), &store, a, p)
	require.NoError(t, err, "it is proved, too")
}
