package gauge

import (
	"fmt"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/build"
	"tryring/internal/mesh"
	"tryring/internal/reading"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

const (
	// The sizes of which gauges are made here, mm.
	leastMM, mostMM = 4, 200
	leastPitchMM    = 0.6
)

// filed is one row in how many goes on to files that are read back and judged for soundness: both are proved for meshes of any thread
// elsewhere, and take nearly all of the time. TRYRING_FILED=1 files all of them.
func filed(t *testing.T) int {
	t.Helper()
	text := os.Getenv("TRYRING_FILED")
	if text == "" {
		return 25
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err)
	require.Positive(t, n)
	return n
}

// Every row of every table goes the whole way: its name reads as itself, its limits make a gauge, the gauge's plan a
// mesh, the mesh measures as planned, and readings of its basic size name it. Threads that nobody adapts, and those
// that makers cut each in their own way, are refused instead; gauges of tapers are those of TestEveryTaperThreadHasItsGauge.
// A brief run takes one row in forty.
func TestEveryThreadGoesTheWholeWay(t *testing.T) {
	tables := thread.NewTables()
	all := tables.All()
	step, filed := 1, filed(t)
	if os.Getenv("TRYRING_BRIEF") != "" {
		step = 40
	}
	made, refused := 0, 0
	for i := 0; i < len(all); i += step {
		th := all[i]
		t.Run(th.Designation, func(t *testing.T) {
			again, err := tables.Parse(th.Designation)
			require.NoError(t, err)
			require.Equal(t, th, again)
			requireNamed(t, tables, th)

			g := Gauge{Thread: th.Designation, Kind: string(ring.PlugGauge), Limit: "go"}
			if !th.ComesAs(false) {
				g.Kind = string(ring.RingGauge)
			}
			if th.Taper > 0 {
				g.Limit = ""
			} else if l, err := th.Limits("", g.Kind == string(ring.RingGauge)); err == nil && l.PitchMin == nil {
				g.Tolerance = new(unit.Length(0.05) * th.Pitch)
			}
			if mm := th.Basic.Major.MM(); mm < leastMM || mm > mostMM || th.Pitch.MM() < leastPitchMM {
				return // no gauge of that size is printed
			}
			job := Job{Printer: exact(), Chord: build.DefaultChord}
			asked, err := g.Resolve(tables, job)
			if th.Makeable() != nil {
				refused++
				require.Error(t, err)
				return
			}
			require.NoError(t, err)
			made++
			if th.Taper > 0 {
				return
			}
			var r Result
			part := asked[0].Part(&r)
			body, err := part.Mesh(t.Context())
			require.NoError(t, err)
			taken := mesh.Soundness{Shells: 1, VolumeMM3: 1, BoundsMM: body.Bounds()} // for sound: that is looked at where files are made
			require.NoError(t, part.Judge(build.Solid{Mesh: body, Soundness: taken}))
			require.NotNil(t, r.Measured)
			assert.InDelta(t, asked[0].Wanted.Pitch.MM(), r.Measured.PitchDMM, 0.01, "pitch diameter")
			assert.InDelta(t, asked[0].Wanted.Major.MM(), r.Measured.MajorMM, 0.01, "major diameter")
			if made%filed == 0 {
				_, err = Make(t.Context(), new(whole.Memory), "g", asked, job)
				require.NoError(t, err)
			}
		})
	}
	assert.Greater(t, made, len(all)/step/2)
	t.Logf("%d made, %d refused of %d", made, refused, len(all))
}

// Gauges of free threads of any form: each flank is measured, on the cleared and short thread of a no-go gauge too.
func TestGaugesOfEveryForm(t *testing.T) {
	skipInBrief(t)
	for _, form := range []string{"3/30deg", "30/3deg", "7/45deg", "30deg trapezoidal", "29deg", "47.5deg", "80deg", "30deg round", "60deg round"} {
		for _, kind := range []ring.GaugeKind{ring.PlugGauge, ring.RingGauge} {
			for _, limit := range []string{"go", "no-go"} {
				for _, size := range []string{"60mm x 6mm ", "30mm x 2.5mm "} {
					t.Run(fmt.Sprint(size, form, kind, limit), func(t *testing.T) {
						g := Gauge{Thread: size + form, Kind: string(kind), Limit: limit, Tolerance: new(unit.Length(0.2))}
						job := Job{Printer: exact(), Chord: build.DefaultChord}
						asked, err := g.Resolve(thread.NewTables(), job)
						require.NoError(t, err)
						_, err = Make(t.Context(), new(whole.Memory), "g", asked, job)
						require.NoError(t, err)
					})
				}
			}
		}
	}
}

// requireNamed asks what a thread of th's basic size could be.
func requireNamed(t *testing.T, tables *thread.Tables, th thread.Thread) {
	t.Helper()
	external := th.ComesAs(true)
	what, at := "outside", th.Basic.Major
	if !external {
		what, at = "bore", th.Basic.Minor
	}
	if l, err := th.Limits("", external); err == nil && external && l.MajorMin != nil && l.MajorMax != nil {
		at = (*l.MajorMin + *l.MajorMax) / 2
	}
	set, err := reading.Read(
		reading.Record{What: what, Text: fmt.Sprintf("%.4fmm+-0.02", at.MM())},
		reading.Record{What: "pitch", Text: fmt.Sprintf("%.5fmm+-0.005", th.Pitch.MM())},
	)
	require.NoError(t, err)
	answer := reading.Identify(tables, set, reading.Any)
	for _, c := range answer.Candidates {
		if c.Designation == th.Designation {
			return
		}
	}
	t.Errorf("%s is not among what its own size could be; first is %s", th.Designation, answer.Candidates[0].Designation)
}
