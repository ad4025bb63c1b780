package reading

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fault"
)

// fields are those of the faults of err.
func fields(err error) []string {
	var out []string
	for _, f := range fault.Each(err) {
		out = append(out, f.Field)
	}
	return out
}

func TestReadFaults(t *testing.T) {
	r := func(what, text string) Record { return Record{What: what, Text: text} }
	for _, c := range []struct {
		name    string
		records []Record
		fields  []string
		says    string
	}{
		{"nothing", nil, []string{""}, "nothing read"},
		{"only a throat", []Record{r("throat", "38mm")}, []string{""}, "nothing read"},
		{"external and internal", []Record{r("outside", "20"), r("bore", "18")}, []string{"bore", "outside"}, "external or internal"},
		{"a bore that is held", []Record{{ID: 7, What: "bore", Text: "18"}, r("outside", "20")}, []string{"outside", "7.bore"}, "it is of an internal thread, outside 20 of an external one"},
		{"wires in a bore", []Record{r("bore", "18"), r("over_wires", "20 over 1mm")}, []string{"over_wires", "bore"}, "external or internal"},
		{"larger than any thread", []Record{r("outside", "400mm")}, []string{"outside"}, "0.5 to 300 mm"},
		{"± as large as the reading", []Record{r("outside", "20±15")}, []string{"outside"}, "more than half"},
		{"nothing counted over", []Record{r("count", "9 over 0")}, []string{"count"}, "must be above 0"},
		{"counted over no length", []Record{r("count", "9")}, []string{"count"}, "15 over 1in"},
		{"± of a count", []Record{r("count", "9 over 20±15")}, []string{"count"}, "more than half"},
		{"half a crest", []Record{r("count", "2.5 over 20")}, []string{"count"}, "whole crests"},
		{"tapers", []Record{r("outside", "20"), r("tapers", "a bit")}, []string{"tapers"}, "yes or no"},
		{"worn", []Record{r("outside", "20"), r("worn", "rather")}, []string{"worn"}, "yes or no"},
		{"thick wire", []Record{r("over_wires", "20 over 9mm")}, []string{"over_wires"}, "third"},
		{"no wire", []Record{r("over_wires", "20mm")}, []string{"over_wires"}, "49.2mm over 1.05mm"},
		{"two angles", []Record{r("outside", "20"), r("angle", "55"), r("angle", "60°")}, []string{"angle", "angle"}, "cannot both be right"},
		{"tapers and not", []Record{r("outside", "20"), {ID: 2, What: "tapers", Text: "no"}, r("tapers", "yes")}, []string{"tapers", "2.tapers"}, "cannot both be right"},
		{"no such kind", []Record{r("girth", "20")}, []string{"girth"}, "no reading"},
		{"all at once", []Record{r("outside", "x"), r("no_leaf", "y"), r("angle", "100")}, []string{"outside", "no_leaf", "angle"}, ""},
		{"one instrument, named once", []Record{{What: "outside", Text: "20", Instrument: "eye"}, {What: "tpi", Text: "14", Instrument: "eye"}}, []string{"instrument"}, "caliper"},
		{"the instrument of one that is held", []Record{{ID: 3, What: "outside", Text: "20", Instrument: "eye"}}, []string{"3.instrument"}, "caliper"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read(c.records...)
			require.Error(t, err)
			assert.Equal(t, c.fields, fields(err))
			assert.Contains(t, err.Error(), c.says)
		})
	}
}

// Every kind is read into the set, with its own instrument and look.
func TestReadEveryKind(t *testing.T) {
	texts := map[string]string{
		"outside": "47.55mm ± 0.05", "throat": "1.5in", "depth": "20mm", "length": "12", "count": "15 over 1in", "tpi": "14", "pitch": "1.8mm", "leaf": "14tpi",
		"no_leaf": "1.75mm", "angle": "60", "tapers": "no", "over_wires": "49mm over 1.05mm", "worn": "yes", "bore": "45.7", "ratio": "0.0334 +- 0.0003",
	}
	require.Len(t, texts, len(kinds))
	for _, side := range []string{internal, external} {
		var records []Record
		for i, k := range Kinds() {
			if k.Of == side || k.Of == "" {
				records = append(records, Record{ID: i + 1, What: k.Key, Text: texts[k.Key], Instrument: "dial", Look: 4})
			}
		}
		s, err := Read(records...)
		require.NoError(t, err)
		assert.Equal(t, side == external, s.External())
		all := append(append(append(append(append(append([]Reading{}, s.Outside...), s.Bore...), s.Throat...), s.Depth...), s.Length...), s.overWires()...)
		all = append(all, s.Counts[0].Over)
		assert.Len(t, all, map[string]int{internal: 5, external: 6}[side])
		for _, r := range all {
			assert.Equal(t, "dial", r.Instrument.Name)
			assert.Equal(t, 4, r.Look)
		}
		assert.Equal(t, []int{4, 4}, []int{s.Pitches[0].Look, s.Pitches[1].Look})
		assert.Equal(t, []bool{true, false}, []bool{s.Leaves[0].Matches, s.Leaves[1].Matches})
		assert.Equal(t, 4, s.Leaves[0].Look)
		assert.InDelta(t, 60, s.AngleDeg, 1e-9)
		assert.True(t, s.Worn)
		require.NotNil(t, s.Tapers)
		assert.False(t, *s.Tapers)
	}
}

// A count says what was counted; without a word it is crests.
func TestCountTexts(t *testing.T) {
	for text, want := range map[string]float64{
		"15 over 1in": 14, "15 crests over 1in": 14, "14 spaces over 1in": 14, "15  Crests over 25.4 mm": 14, "11.5 spaces over 1in": 11.5,
	} {
		s, err := Read(Record{What: "count", Text: text})
		require.NoError(t, err, text)
		assert.InDelta(t, want, s.Counts[0].pitches(), 1e-9, text)
	}
}

func TestHalves(t *testing.T) {
	count, _ := FindKind("count")
	assert.Equal(t, "15 over 1in", count.Text("15", " 1in"))
	first, over := count.Halves("16 spaces over 1in")
	assert.Equal(t, [2]string{"16 spaces", "1in"}, [2]string{first, over})
	bore, _ := FindKind("bore")
	assert.Equal(t, "45.7", bore.Text("45.7", "1in"), "a bore has one half")
	first, over = bore.Halves("45.7")
	assert.Equal(t, [2]string{"45.7", ""}, [2]string{first, over})
}

func TestSame(t *testing.T) {
	r := Record{ID: 1, What: "bore", Text: "45.75mm", When: "2026-03-01"}
	same := r
	same.ID, same.Text, same.Instrument, same.Look, same.Note = 2, " 45.75MM", "digital caliper", 9, "by lamp"
	assert.True(t, r.Same(same))
	for _, change := range []func(*Record){
		func(r *Record) { r.What = "throat" }, func(r *Record) { r.Text = "45.76mm" }, func(r *Record) { r.Instrument = "ruler" }, func(r *Record) { r.When = "2026-03-02" },
	} {
		other := same
		change(&other)
		assert.False(t, r.Same(other), "%+v", other)
	}
}

func TestTold(t *testing.T) {
	assert.Equal(t, []string{"bore 45.75mm, seats a leaf of 14tpi, read with caliper, on May 4", "counted 15 over 1in, read with ruler, on May 4", "worn: yes"}, Told([]Record{
		{ID: 1, What: "bore", Text: "45.75mm", Instrument: "caliper", When: "May 4", Look: 1},
		{ID: 2, What: "leaf", Text: "14tpi", Instrument: "caliper", When: "May 4", Look: 1},
		{ID: 3, What: "count", Text: "15 over 1in", Instrument: "ruler", When: "May 4", Look: 1},
		{ID: 4, What: "worn", Text: "yes"},
	}))
}

// Whatever is written, reading it ends in a set that can be evaluated, or in an error that names a field.
func FuzzRead(f *testing.F) {
	f.Add("47.5±0.1", "15", "1in", "14", "1.5mm", "60", "1mm")
	f.Add("1-7/8\"", "9", "20", "11 1/2 tpi ± 0.5", "14 tpi", "55°", "0.6")
	f.Fuzz(func(t *testing.T, length, count, over, tpi, pitch, angle, wire string) {
		for _, b := range []Batch{
			{Outside: []string{length}, Count: []string{count}, Over: []string{over}, Angle: angle},
			{Bore: []string{length, over}, TPI: []string{tpi}, Pitch: []string{pitch}, Leaf: []string{pitch}},
			{OverWires: []string{length}, Wire: wire, Throat: []string{over}, TPI: []string{tpi}},
		} {
			records := b.records()
			s, err := Read(records...)
			if err != nil {
				for _, field := range fields(err) {
					if _, known := FindKind(field); !known && !strings.HasPrefix(err.Error(), "nothing read") {
						t.Errorf("Read(%+v) = %q, which names %q", records, err, field)
					}
				}
				continue
			}
			found := s.Find()
			for _, e := range []*Estimate{found.Diameter, found.Major, found.Pitch, found.PitchDiameter, found.Throat} {
				if e != nil && !(e.U > 0) {
					t.Errorf("Read(%+v): u = %v, want it above 0", records, e.U)
				}
			}
		}
	})
}

func TestKinds(t *testing.T) {
	seen := map[string]bool{}
	for i, k := range Kinds() {
		assert.False(t, seen[k.Key], k.Key)
		seen[k.Key] = true
		assert.NotEmpty(t, k.Words, k.Key)
		assert.Equal(t, 2, strings.Count(k.Ask, "`"), "%s: the word for its text", strconv.Itoa(i))
		assert.NotContains(t, k.Ask, "--")
		assert.Equal(t, k.Over == "", k.AskOver == "")
	}
}
