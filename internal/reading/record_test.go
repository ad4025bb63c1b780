package reading

import (
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// read reads records that are right.
func read(t testing.TB, records ...Batch) Set {
	t.Helper()
	s, err := Read(Flag, records...)
	require.NoError(t, err)
	return s
}

func TestReadFaults(t *testing.T) {
	for _, c := range []struct {
		name   string
		record Batch
		says   []string
	}{
		{"nothing", Batch{}, []string{"nothing read", "--outside"}},
		{"external and internal", Batch{Outside: []string{"20"}, Bore: []string{"18"}}, []string{"--outside and --bore"}},
		{"wires in a bore", Batch{Bore: []string{"18"}, OverWires: []string{"20"}, Wire: "1mm"}, []string{"--over-wires and --bore"}},
		{"larger than any thread", Batch{Outside: []string{"400mm"}}, []string{"--outside", "400", "0.5 to 300 mm"}},
		{"± as large as the reading", Batch{Outside: []string{"20±15"}}, []string{"--outside", "more than half"}},
		{"nothing counted over", Batch{Outside: []string{"20"}, Count: []string{"9"}, Over: []string{"0"}}, []string{"--over", "must be above 0"}},
		{"± of a count", Batch{Count: []string{"9"}, Over: []string{"20±15"}}, []string{"--over", "more than half"}},
		{"counts and lengths", Batch{Count: []string{"9", "10"}, Over: []string{"20"}}, []string{"--count", "2 counts with 1 lengths"}},
		{"tapers", Batch{Outside: []string{"20"}, Tapers: "a bit"}, []string{"--tapers", "yes or no"}},
		{"thick wire", Batch{OverWires: []string{"20"}, Wire: "9mm"}, []string{"--over-wires", "third"}},
		{"all at once", Batch{Outside: []string{"x"}, NoLeaf: []string{"y"}, Angle: "90", Instrument: "eye"}, []string{"--outside", "--no-leaf", "--angle", "--instrument"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read(Flag, c.record)
			require.Error(t, err)
			for _, want := range c.says {
				assert.Contains(t, err.Error(), want)
			}
		})
	}
	_, err := Read(Flag, Batch{Outside: []string{"20"}, Angle: "55"}, Batch{Angle: "60°"})
	assert.ErrorContains(t, err, "one angle")
}

// Each record has its own instrument.
func TestReadRecords(t *testing.T) {
	s := read(t, Batch{Instrument: "ruler", Count: []string{"15"}, Over: []string{"1in"}}, Batch{Instrument: "caliper", Outside: []string{"47.6"}, Worn: true, Tapers: "no"})
	assert.Equal(t, "ruler", s.Counts[0].Over.Instrument.Name)
	assert.Equal(t, "caliper", s.Outside[0].Instrument.Name)
	assert.True(t, s.Worn)
	require.NotNil(t, s.Tapers)
	assert.False(t, *s.Tapers)
	assert.True(t, s.External())
}

// What is kept in a file comes back as it was.
func TestRecordTOML(t *testing.T) {
	r := Batch{
		Instrument: "dial", Date: "May, at the boat", Outside: []string{"47.55mm ± 0.05", "1 7/8in"}, Throat: []string{"1.5in"}, Length: []string{"12"},
		Count: []string{"15"}, Over: []string{"1in"}, Counted: "crests", TPI: []string{"14"}, Pitch: []string{"1.8mm"}, Leaf: []string{"14tpi"},
		NoLeaf: []string{"1.75mm"}, Angle: "60", Tapers: "no", OverWires: []string{"49mm"}, Wire: "1.05mm", Worn: true,
	}
	text, err := toml.Marshal(r)
	require.NoError(t, err)
	var back Batch
	require.NoError(t, toml.Unmarshal(text, &back))
	assert.Equal(t, r, back)
	assert.Equal(t, read(t, r), read(t, back))
}

func TestRecordWith(t *testing.T) {
	file := Batch{Instrument: "ruler", Outside: []string{"47"}, TPI: []string{"14"}, Angle: "60"}
	got := file.With(Batch{Instrument: "caliper", Outside: []string{"47.6"}, Worn: true})
	assert.Equal(t, Batch{Instrument: "caliper", Outside: []string{"47", "47.6"}, TPI: []string{"14"}, Angle: "60", Worn: true}, got)
	assert.Equal(t, []string{"47"}, file.Outside, "the file's own stays as it was")
}

// Whatever is written, reading it ends in a set that can be evaluated, or in an error that names a flag.
func FuzzRead(f *testing.F) {
	f.Add("47.5±0.1", "15", "1in", "14", "1.5mm", "60", "1mm")
	f.Add("1-7/8\"", "9", "20", "11 1/2 tpi ± 0.5", "14 tpi", "55°", "0.6")
	f.Fuzz(func(t *testing.T, length, count, over, tpi, pitch, angle, wire string) {
		for _, r := range []Batch{
			{Outside: []string{length}, Count: []string{count}, Over: []string{over}, Angle: angle},
			{Bore: []string{length, over}, TPI: []string{tpi}, Pitch: []string{pitch}, Leaf: []string{pitch}},
			{OverWires: []string{length}, Wire: wire, Throat: []string{over}, TPI: []string{tpi}},
		} {
			s, err := Read(Flag, r)
			if err != nil {
				if !strings.Contains(err.Error(), "--") {
					t.Errorf("Read(%+v) = %q, which names no flag", r, err)
				}
				continue
			}
			found := s.Find()
			for _, e := range []*Estimate{found.Diameter, found.Major, found.Pitch, found.PitchDiameter, found.Throat} {
				if e != nil && !(e.U > 0) {
					t.Errorf("Read(%+v): u = %v, want it above 0", r, e.U)
				}
			}
		}
	})
}
