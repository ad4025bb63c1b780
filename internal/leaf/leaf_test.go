package leaf_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/check"
	"tryring/internal/job"
	"tryring/internal/leaf"
	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

var tables = thread.BuiltIn()

func named(t testing.TB, length unit.Length, texts ...string) (leaf.Plan, error) {
	t.Helper()
	o, err := leaf.Named(texts, tables, printer.Unnamed())
	require.NoError(t, err)
	o.Length = length
	return leaf.New(o)
}

// 11 and 11.5 threads to the inch part by half a pitch over an inch: 25.4/11 - 25.4/11.5 = 0.1004 mm a pitch, 1.15 mm in 11.5 pitches.
func TestHalfAPitchOverAnInch(t *testing.T) {
	p, err := named(t, 0, "1 1/2-11.5 NPSM", "1 1/2-11.5 NPT", "1in x 11tpi")
	require.NoError(t, err)
	require.Len(t, p.Edges, 2, "two of them share an edge")
	assert.Equal(t, []string{"11.5 TPI 60", "11 TPI 60"}, []string{p.Edges[0].Label, p.Edges[1].Label})
	assert.Len(t, p.Edges[0].Threads, 2)
	for _, e := range p.Edges {
		between := float64(e.Teeth-1) * 0.100395 // from the first tooth to the last
		assert.GreaterOrEqual(t, between, 25.4/11/2, e.Label)
		assert.Less(t, between, 25.4/11/2+0.2, e.Label)
	}
	assert.Len(t, p.Decides, 1)
	assert.Empty(t, p.Undecided)
	// A far coarser edge between them changes nothing of what the two nearest need; it gets four teeth at least.
	three, err := named(t, 0, "1 1/2-11.5 NPSM", "40mm x 6mm", "1in x 11tpi")
	require.NoError(t, err)
	assert.Equal(t, []int{p.Edges[0].Teeth, 5, p.Edges[1].Teeth}, []int{three.Edges[0].Teeth, three.Edges[1].Teeth, three.Edges[2].Teeth})
}

func TestWhatALookDecides(t *testing.T) {
	for _, c := range []struct {
		name   string
		length unit.Length
		texts  []string
		tells  bool
		says   string
	}{
		{"enough thread", 12, []string{"G 1 1/2", "1 1/2-11.5 NPSM"}, true, "from 11.5 mm of thread on"},
		{"too little", 11, []string{"G 1 1/2", "1 1/2-11.5 NPSM"}, false, "11.0 mm of thread are too short, 11.5 mm would do"},
		{"little will do", 8, []string{"M48x2", "1 7/8-14 UNS"}, true, ""},
		{"flanks of 55 and 60 degrees", 0, []string{"G 1/2", "20mm x 14tpi"}, false, "the flanks part by 0.0"},
		{"flanks of 30 and 60 degrees", 0, []string{"40mm x 4mm 60deg", "40mm x 4mm 30deg trapezoidal"}, true, "the flanks part by 0."},
		{"hidden by what makers get wrong", 0, []string{"40mm x 2mm", "40mm x 2.01mm"}, false, "on any length"},
		{"longer than any edge", 0, []string{"40mm x 2mm", "40mm x 2.024mm"}, false, "no edge is so long"},
		{"one alone", 0, []string{"M48x2"}, true, "whether it is 2 MM 60"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := named(t, c.length, c.texts...)
			require.NoError(t, err)
			told := p.Undecided
			if c.tells {
				told = p.Decides
			}
			require.Len(t, told, 1, "%v and %v", p.Decides, p.Undecided)
			assert.Contains(t, told[0], c.says)
		})
	}
	// An eye's eighth of 2.309 mm, 0.289 mm, beyond two standard uncertainties of n pitches: 0.002 of them twice (scale and maker), and
	// 0.025 mm. After 3 of 0.1004 mm 0.238 mm are left, after 4 there are 0.329 mm: five teeth, 11.5 mm.
	least, ok := leaf.LeastThread(parse(t, "G 1 1/2"), parse(t, "1 1/2-11.5 NPSM"), printer.Unnamed())
	assert.True(t, ok)
	assert.InDelta(t, 5*25.4/11, least.MM(), 0.001)
}

func parse(t testing.TB, text string) thread.Thread {
	t.Helper()
	th, err := tables.Parse(text)
	require.NoError(t, err)
	return th
}

const tub = "[[stays]]\nid = 1\nbore = \"45.9mm\"\n[[stays]]\nid = 2\ntpi = \"15±1.5\"\n"

func TestLeafOfAJob(t *testing.T) {
	of := func(text, side string) (leaf.Plan, error) {
		d, err := job.Parse("tub.toml", []byte(text))
		require.NoError(t, err)
		o, err := leaf.OfJob(d, side, tables, printer.Unnamed())
		if err != nil {
			return leaf.Plan{}, err
		}
		return leaf.New(o)
	}
	p, err := of(tub, job.Stays)
	require.NoError(t, err)
	assert.True(t, p.InBore)
	assert.GreaterOrEqual(t, len(p.Edges), 2)
	sum := 0.0
	for i, e := range p.Edges {
		sum += e.Weight
		if i > 0 {
			assert.LessOrEqual(t, e.Weight, p.Edges[i-1].Weight, "the likeliest first")
		}
	}
	assert.Greater(t, sum, 0.85)
	_, err = of(tub, job.Goes)
	assert.ErrorContains(t, err, "nothing was read")
	_, err = of(tub+"[[stays]]\nid = 3\nlength = \"4mm\"\n", job.Stays)
	assert.ErrorContains(t, err, "the part's 4.0 mm of thread are too short")
	_, err = of("[[stays]]\nid = 1\nbore = \"45.75mm\"\n[[stays]]\nid = 2\nleaf = \"14tpi\"\n[[stays]]\nid = 3\ncount = \"15 over 1in\"\n[[stays]]\nid = 4\nangle = \"60\"\n", job.Stays)
	assert.ErrorContains(t, err, "differ in size alone")
}

// Any few threads give leaves that are sound, one body each, measure as planned, and are proved so; or a reason.
func TestAnyLeaf(t *testing.T) {
	made := 0
	all := tables.All()
	coarse := slices.DeleteFunc(slices.Clone(all), func(t thread.Thread) bool { return t.Pitch < 1.2 })
	rapid.Check(t, func(rt *rapid.T) {
		o := leaf.Open{Side: rapid.SampledFrom([]string{"", job.Stays, job.Goes}).Draw(rt, "side"), Printer: printer.Unnamed()}
		o.Printer.Nozzle = rapid.SampledFrom([]unit.Length{0.25, 0.4, 0.6}).Draw(rt, "nozzle")
		o.Printer.Layer = rapid.SampledFrom([]unit.Length{0.1, 0.2, 0.3, 0.6}).Draw(rt, "layer")
		o.Printer.ScalePct = rapid.Float64Range(-1, 1).Draw(rt, "scale")
		from := coarse
		if rapid.IntRange(0, 4).Draw(rt, "any") == 0 {
			from = all
		}
		for range rapid.IntRange(1, 5).Draw(rt, "threads") {
			o.Threads, o.Weights = append(o.Threads, rapid.SampledFrom(from).Draw(rt, "thread")), append(o.Weights, rapid.Float64Range(0, 1).Draw(rt, "weight"))
		}
		p, err := leaf.New(o)
		if err != nil {
			assert.Regexp(rt, "no leaf tells|finer than|run straight|groove climbs|too narrow|size alone|its bed holds", err.Error())
			return
		}
		assert.Len(rt, append(p.Decides, p.Undecided...), max(1, len(p.Edges)*(len(p.Edges)-1)/2))
		store := &whole.Memory{}
		r, err := p.Make(context.Background(), store)
		require.NoError(rt, err)
		made++
		for i, e := range r.Edges {
			assert.InDelta(rt, e.PitchMM, e.Measured.PitchMM*(1+o.Printer.ScalePct/100), 0.001, "%s", e.Label)
			assert.Equal(rt, p.Edges[i].Teeth, e.Measured.Teeth)
			assert.InDelta(rt, e.FlanksDeg[0], e.Measured.FlanksDeg[0], 0.05)
		}
		for k, l := range p.Leaves {
			if p.InBore {
				for _, th := range p.Threads {
					assert.Less(rt, math.Hypot(l.AcrossMM, l.ThicknessMM), th.Basic.Minor.MM())
				}
			}
			assert.InDelta(rt, l.LengthMM, r.Leaves[k].LengthMM, 1e-6)
		}
	})
	assert.Greater(t, made, 10)
}

// Each thing that can be wrong with an edge is found on its mesh.
func TestAnEdgeIsJudged(t *testing.T) {
	p, err := named(t, 0, "60mm x 9mm 3/30deg", "M48x2", "G 1 1/2")
	require.NoError(t, err)
	l := p.Leaves[0]
	m, err := mesh.Slab(l.Slab)
	require.NoError(t, err)
	worst := func() check.Level {
		return check.Worst(check.All(check.Subject{Leaf: &l, Body: m, Printer: p.Printer}))
	}
	assert.Equal(t, check.Note, worst(), "the caution")
	for i := range l.Edges {
		was := l.Edges[i]
		l.Edges[i].ModelledMM += 0.001
		assert.Equal(t, check.Stop, worst(), "pitch of %s", was.Label)
		l.Edges[i] = was
		l.Edges[i].NearRad += 0.002
		assert.Equal(t, check.Stop, worst(), "flank of %s", was.Label)
		l.Edges[i] = was
		l.Edges[i].Teeth++
		assert.Equal(t, check.Stop, worst(), "teeth of %s", was.Label)
		l.Edges[i] = was
	}
	for i, v := range m.Vertices { // one tooth of one edge, moved
		if v[1] > float32(l.AcrossMM/2-0.5) && math.Abs(float64(v[0])-float64(m.Bounds()[1][0])+4) < 3 {
			m.Vertices[i][0] += 0.01
		}
	}
	assert.Equal(t, check.Stop, worst(), "a tooth out of its row")
}

func TestNames(t *testing.T) {
	p, err := named(t, 0, "M48x2", "G 1 1/2", "M20")
	require.NoError(t, err)
	assert.Equal(t, "leaf-2-MM-60-11-TPI-55", p.Name)
	p.Open.Name = "a/b"
	_, err = leaf.New(p.Open)
	assert.ErrorContains(t, err, "name")
	assert.Equal(t, "out/leaf-stays.json", leaf.FileOf(job.Ring{}, job.Stays))
	assert.Equal(t, "rings/tub-leaf-goes.json", leaf.FileOf(job.Ring{Name: "tub", Out: "rings"}, job.Goes))
}
