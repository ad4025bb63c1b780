package ring

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// gaugeSpec is a gauge on the limits of a standard, for no printer.
func gaugeSpec(t *testing.T, name string, kind GaugeKind, limit GaugeLimit) GaugeSpec {
	t.Helper()
	th, err := thread.BuiltIn().Parse(name)
	require.NoError(t, err)
	l, err := th.Limits("", kind == RingGauge)
	require.NoError(t, err)
	return GaugeSpec{Thread: th, Kind: kind, Limit: limit, Class: th.Class, Limits: l, Printer: exact()}
}

// exact is a printer that adds and takes nothing, uncertain by 0.1 mm.
func exact() printer.Profile {
	p := printer.Unnamed()
	p.OutsideAdds, p.InsideTakes, p.LayerShare, p.LayerShareU, p.ScaleUPct = 0, 0, 0, 0, 0
	p.OutsideU, p.InsideU = 0.1, 0.1
	return p
}

// Limits of the parts are those that the standards publish; crest, root and length of the gauges follow by the rules of
// the gauge's own standard.
func TestGaugeDiameters(t *testing.T) {
	in := func(x float64) float64 { return x * 25.4 }
	const p20 = 25.4 / 20
	h20 := p20 * 0.8660254
	tests := []struct {
		name                string
		thread              string
		kind                GaugeKind
		limit               GaugeLimit
		major, pitch, minor float64
		turns               int
	}{
		// ASME B1.1, public table of limits: pitch diameter 0.2127 to 0.2164 in, major 0.2489 in at most; 2B: pitch 0.2175 to
		// 0.2224 in, minor 0.196 in at least, basic major 0.2500 in.
		{"go ring 2A", "1/4-20 UNC-2A", RingGauge, Go, in(0.2489), in(0.2164), in(0.2164) - h20/2, 3},
		{"no-go ring 2A", "1/4-20 UNC-2A", RingGauge, NoGo, (in(0.2489) + in(0.2127) + h20) / 2, in(0.2127), in(0.2127) - h20/4, 3},
		{"go plug 2B", "1/4-20 UNC-2B", PlugGauge, Go, in(0.25), in(0.2175), in(0.196), 3},
		{"no-go plug 2B", "1/4-20 UNC-2B", PlugGauge, NoGo, in(0.2224) + h20/2, in(0.2224), (in(0.196) + in(0.2224) - h20) / 2, 3},
		// ISO 965-2, table of limits: M10 6g: major 9.968 at most, pitch 8.862 to 8.994; 6H: pitch 9.026 to 9.206, minor 8.376 at least.
		{"go ring 6g", "M10", RingGauge, Go, 9.968, 8.994, 8.994 - 0.8660254*1.5/2, 2},
		{"no-go ring 6g", "M10", RingGauge, NoGo, (9.968 + 8.862 + 0.8660254*1.5) / 2, 8.862, 8.862 - 0.8660254*1.5/4, 2},
		{"go plug 6H", "M10", PlugGauge, Go, 10, 9.026, 8.376, 2},
		{"no-go plug 6H", "M10", PlugGauge, NoGo, 9.206 + 0.8660254*1.5/2, 9.206, (8.376 + 9.206 - 0.8660254*1.5) / 2, 2},
		// ISO 228-1 table 1: G 1/2: 20.955 / 19.793 / 18.631, external pitch tolerance A 0.142, internal 0.142.
		{"go ring G", "G 1/2", RingGauge, Go, 20.955, 19.793, 18.631, 2},
		{"no-go ring G", "G 1/2 A", RingGauge, NoGo, (20.955 + 19.651 + 0.960491*1.814286) / 2, 19.651, 19.651 - 0.640327*1.814286 + 0.960491*1.814286/4, 2},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			g, err := NewGauge(gaugeSpec(t, tt.thread, tt.kind, tt.limit))
			require.NoError(t, err)
			const rounding = 0.0015 // mm: the standards round basic sizes to 0.0001 in or 0.001 mm
			assert.InDelta(t, tt.major, g.Wanted.Major.MM(), rounding, "major")
			assert.InDelta(t, tt.pitch, g.Wanted.Pitch.MM(), rounding, "pitch")
			assert.InDelta(t, tt.minor, g.Wanted.Minor.MM(), rounding, "minor")
			assert.Equal(t, tt.turns, g.Entry.Turns)
			assert.Equal(t, g.Wanted, g.Modelled, "a printer that errs in nothing takes nothing")
		})
	}
}

// A taper thread has one fault: limits would not make a pair of it.
func TestTaperAloneIsTold(t *testing.T) {
	taper, err := thread.BuiltIn().Parse("1/2-14 NPT")
	require.NoError(t, err)
	_, err = NewGauge(GaugeSpec{Thread: taper, Kind: RingGauge, Limit: Go, Printer: exact()})
	require.ErrorIs(t, err, ErrTaperGauge)
	assert.NotContains(t, err.Error(), "a tolerance")
	straight := gaugeSpec(t, "M20", RingGauge, Steps)
	_, err = NewGauge(straight)
	require.ErrorContains(t, err, "only a taper thread")
}

// The steps stand where the standards put the part: on a ring by its small end, on a plug by its face.
func TestSteps(t *testing.T) {
	tests := []struct {
		name, thread string
		kind         GaugeKind
		// pitch is the basic pitch diameter in the gauge plane, place and tol how far the part's end stands from it, mm.
		pitch, place, tol float64
	}{
		// ASME B1.20.1: 1/2-14: E1 = 0.77843 in, L1 = 0.320 in; one turn either way (from memory).
		{"NPT ring", "1/2-14 NPT", RingGauge, 0.77843 * 25.4, 0.320 * 25.4, 25.4 / 14},
		{"NPT plug", "1/2-14 NPT", PlugGauge, 0.77843 * 25.4, 0, 25.4 / 14},
		// ISO 7-1 table 1: 1/2: gauge length 8.2 mm, 1.8 mm either way outside and 1 1/4 turns inside (from memory); ISO 228-1: pitch diameter 19.793 mm.
		{"R ring", "R 1/2", RingGauge, 19.793, 8.2, 1.8},
		{"Rc plug", "Rc 1/2", PlugGauge, 19.793, 0, 1.25 * 25.4 / 14},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			th, err := thread.BuiltIn().Parse(tt.thread)
			require.NoError(t, err)
			l, err := th.TaperLengths()
			require.NoError(t, err)
			s := GaugeSpec{Thread: th, Kind: tt.kind, Limit: Steps, StandOff: StandOffOf(l, tt.kind), Printer: exact()}
			s.Limits = TaperLimits(th, s.StandOff)
			g, err := NewGauge(s)
			require.NoError(t, err)
			assert.InDelta(t, tt.pitch, g.Wanted.Pitch.MM(), 0.002)
			wall := g.Shape.Inner
			plane := 0.0 // of a ring: its large end
			if tt.kind == PlugGauge {
				wall = g.Shape.Outer
				plane = wall.RefMM
			}
			const rounding = 0.05 // mm: ISO 7-1 rounds turns to 0.1 mm
			assert.InDelta(t, plane+tt.place-tt.tol, g.StepsMM[0], rounding)
			assert.InDelta(t, plane+tt.place+tt.tol, g.StepsMM[1], rounding)
			// The turns stand up to one step, and none past it.
			ridge := func(z float64) float64 {
				least, most := math.Inf(1), 0.0
				for k := range 720 {
					r := wall.Radius(float64(k)*math.Pi/360, z)
					least, most = math.Min(least, r), math.Max(most, r)
				}
				return most - least
			}
			d := depth(wall)
			if tt.kind == RingGauge {
				assert.InDelta(t, g.StepsMM[1], g.Shape.HeightMM, 1e-9, "the rim is the high step")
				assert.InDelta(t, d, ridge(g.StepsMM[0]-0.05), 0.02)
				assert.Less(t, ridge(g.StepsMM[0]+d), 0.3*d)
				assert.InDelta(t, 0, ridge(g.StepsMM[1]-0.05), 1e-9)
			} else {
				assert.InDelta(t, 0, ridge(g.StepsMM[1]-0.05), 1e-9, "the neck is smooth")
				assert.Positive(t, ridge(g.StepsMM[1]+0.3))
				_, shoulder := wall.Ends(g.StepsMM[0] - shoulderRiseMM)
				_, neck := wall.Ends(g.StepsMM[0])
				assert.Greater(t, shoulder, neck+d, "the shoulder stands out")
			}
			// The pitch diameter of a part that stops on a step is at its limit: 1 in 16 of the way to the middle.
			assert.InDelta(t, tt.tol/16, (*g.Limits.PitchMax - g.Wanted.Pitch).MM(), 0.003)
			assert.Equal(t, "STEP "+strings.ToUpper(string(tt.kind))+" "+th.Designation, g.Name())
			// 0.2 mm of uncertainty on the diameter is 3.2 mm along a taper of 1 in 16.
			along, turns := g.Decision().StandOff(0.2)
			assert.InDelta(t, 3.2, along.MM(), 1e-9)
			assert.InDelta(t, 3.2/th.Pitch.MM(), turns, 1e-9)
			assert.Contains(t, g.Decision().Words(), "cannot resolve")
			s.Printer.InsideU, s.Printer.OutsideU = 0.01, 0.01
			assert.Contains(t, s.decision().Words(), "Surely in: a part that stops within")
		})
	}
}

// A gauge must not be stopped by what it does not judge.
func TestNoGoGaugesAreCleared(t *testing.T) {
	for _, name := range []string{"1/4-20 UNC-2A", "1/4-20 UNC-1A", "1 3/4-12 UN", "M10", "M45x1.5", "G 1/2", "G 2 B", "3/4-11.5 NH", "1 1/2-11.5 NPSM"} {
		for _, kind := range []GaugeKind{RingGauge, PlugGauge} {
			t.Run(string(kind)+" "+name, func(t *testing.T) {
				s := gaugeSpec(t, name, kind, NoGo)
				if s.Limits.PitchMin == nil {
					t.Skip("no limits published for this side")
				}
				noGo, err := NewGauge(s)
				require.NoError(t, err)
				s.Limit = Go
				goes, err := NewGauge(s)
				require.NoError(t, err)
				if kind == RingGauge {
					assert.Greater(t, noGo.Wanted.Minor, goes.Wanted.Minor, "crest is clear of the part's root")
					assert.Less(t, noGo.Wanted.Pitch, goes.Wanted.Pitch)
				} else {
					assert.Less(t, noGo.Wanted.Major, goes.Wanted.Major, "crest is clear of the part's root")
					assert.Greater(t, noGo.Wanted.Pitch, goes.Wanted.Pitch)
				}
				// Told apart by hand: two turns or three millimetres at least, the groove, and the words.
				assert.GreaterOrEqual(t, goes.Length-noGo.Length, min(2*s.Thread.Pitch, 3))
				assert.Greater(t, goes.Height, noGo.Height)
				assert.Contains(t, goes.Label, "GO "+map[GaugeKind]string{RingGauge: "RING", PlugGauge: "PLUG"}[kind])
				assert.Contains(t, noGo.Label, "NO-GO ")
				if kind == RingGauge {
					assert.InDelta(t, grooveMM, deepest(noGo), 1e-9)
				} else {
					turn := noGo.Shape.Outer.Profile.MajorMM/2 - noGo.Shape.Outer.Profile.MinorMM/2
					ratio := deepest(noGo) / turn
					assert.True(t, ratio >= 2-1e-9 || ratio < 0.45, "a groove of %.2f times a turn's depth looks like a turn", ratio)
					assert.Greater(t, deepest(noGo), 0.4, "a groove that a finger nail feels")
				}
				assert.Less(t, deepest(goes), 1e-9)
			})
		}
	}
}

// deepest is the depth of the groove around a gauge's body.
func deepest(g Gauge) float64 {
	line := g.Shape.Outer.Lo
	groove := 0.0
	for i, k := range line[1:] { // a dip is lower than the first knot, and the line comes back up after it
		for _, after := range line[i+2:] {
			groove = max(groove, min(line[0].R, after.R)-k.R)
		}
	}
	return groove
}

func TestGaugeCompensation(t *testing.T) {
	s := gaugeSpec(t, "M20", RingGauge, Go)
	s.Printer.InsideTakes, s.Printer.OutsideAdds = 0.15, 0.05
	ringGauge, err := NewGauge(s)
	require.NoError(t, err)
	assert.InDelta(t, 0.15, (ringGauge.Modelled.Pitch - ringGauge.Wanted.Pitch).MM(), 1e-9)
	s = gaugeSpec(t, "M20", PlugGauge, Go)
	s.Printer.InsideTakes, s.Printer.OutsideAdds = 0.15, 0.05
	plug, err := NewGauge(s)
	require.NoError(t, err)
	assert.InDelta(t, -0.05, (plug.Modelled.Major - plug.Wanted.Major).MM(), 1e-9)
}

func TestGaugeFaults(t *testing.T) {
	tests := []struct {
		name   string
		thread string
		change func(*GaugeSpec)
		says   string
	}{
		{"taper", "1/2-14 NPT", func(*GaugeSpec) {}, "taper"},
		{"no limits", "44.4mm x 12tpi", func(*GaugeSpec) {}, "a tolerance"},
		{"kind", "M10", func(s *GaugeSpec) { s.Kind = "cup" }, "ring or plug"},
		{"limit", "M10", func(s *GaugeSpec) { s.Limit = "maybe" }, "go or no-go"},
		{"turned round", "M10", func(s *GaugeSpec) { s.Limits.PitchMin, s.Limits.PitchMax = s.Limits.PitchMax, s.Limits.PitchMin }, "below"},
		{"too small", "M2", func(s *GaugeSpec) { s.Kind = PlugGauge }, "wall"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			th, err := thread.BuiltIn().Parse(tt.thread)
			require.NoError(t, err)
			s := GaugeSpec{Thread: th, Kind: RingGauge, Limit: Go, Printer: exact()}
			s.Limits, _ = th.Limits("", true) // none for some
			tt.change(&s)
			_, err = NewGauge(s)
			assert.ErrorContains(t, err, tt.says)
		})
	}
}

func TestJudged(t *testing.T) {
	for _, c := range []struct{ thread, class, want string }{
		{"1/4-20 UNC", "2A", "1/4-20 UNC-2A"},
		{"1/4-20 UNC-2A LH", "2B", "1/4-20 UNC-2B LH"},
		{"M16x1.5-6g 2start LH", "6H", "M16x1.5-6H 2start LH"},
		{"G 1/2 A", "B", "G 1/2 B"},
		{"G 1/2 A", "", "G 1/2"},
		{"44.4mm x 12tpi", "±0.1mm", "44.4mm x 12tpi ±0.1mm"},
	} {
		th, err := thread.BuiltIn().Parse(c.thread)
		require.NoError(t, err)
		assert.Equal(t, c.want, Judged(th, c.class), c.thread)
	}
}

func TestDecision(t *testing.T) {
	s := GaugeSpec{Kind: RingGauge, Printer: exact()} // inside uncertain by 0.1 mm, U = 0.2 mm
	s.Limits.PitchMin, s.Limits.PitchMax = new(unit.MM(40)), new(unit.MM(41))
	d := s.decision()
	assert.True(t, d.Resolves)
	assert.InDeltaSlice(t, []float64{40.2, 40.8, 39.8, 41.2}, []float64{d.InFrom.MM(), d.InTo.MM(), d.OutBelow.MM(), d.OutAbove.MM()}, 1e-9)
	s.Limits.PitchMax = new(unit.MM(40.39))
	d = s.decision()
	assert.False(t, d.Resolves, "U is more than half the tolerance of 0.39 mm")
	assert.Contains(t, d.Words(), "cannot resolve")
	s.Limits.PitchMax = new(unit.MM(40.41))
	assert.True(t, s.decision().Resolves)
}

// Every thread of the tables gives its gauges, or is refused for a reason that a person can act on.
func TestGaugesOfAllThreads(t *testing.T) {
	made, refused := 0, map[string]int{}
	for i, th := range thread.BuiltIn().All() {
		if i%3 != 0 { // every third is a sample of each series
			continue
		}
		for _, kind := range []GaugeKind{RingGauge, PlugGauge} {
			limits, err := th.Limits("", kind == RingGauge)
			if err != nil {
				refused["limits"]++
				continue
			}
			for _, limit := range []GaugeLimit{Go, NoGo} {
				g, err := NewGauge(GaugeSpec{Thread: th, Kind: kind, Limit: limit, Limits: limits, Printer: exact()})
				if err != nil {
					for _, reason := range []string{"taper", "a tolerance", "small cannot be printed", "across", "tall"} {
						if strings.Contains(err.Error(), reason) {
							refused[reason]++
							err = nil
							break
						}
					}
					require.NoError(t, err, "%s %s %s", limit, kind, th.Designation)
					continue
				}
				made++
				assert.Greater(t, g.Wanted.Major, g.Wanted.Pitch, th.Designation)
				assert.Greater(t, g.Wanted.Pitch, g.Wanted.Minor, th.Designation)
				assert.Positive(t, g.Wall, th.Designation)
			}
		}
	}
	t.Logf("%d gauges made, refused: %v", made, refused)
	assert.Greater(t, made, 500)
	assert.Positive(t, refused["taper"])
}

// Whatever the two printed gauges really measure within their uncertainty, they never contradict the decision: a part that
// is surely in passes, one that is surely out does not.
func TestDecisionHoldsForEveryPrintedPair(t *testing.T) {
	in, out := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		external := rapid.Bool().Draw(t, "external")
		s := GaugeSpec{Kind: PlugGauge, Printer: exact()}
		if external {
			s.Kind = RingGauge
		}
		s.Printer.InsideU = unit.MM(rapid.Float64Range(0.001, 0.3).Draw(t, "inside u"))
		s.Printer.OutsideU = unit.MM(rapid.Float64Range(0.001, 0.3).Draw(t, "outside u"))
		lo := rapid.Float64Range(3, 100).Draw(t, "least")
		hi := lo + rapid.Float64Range(0.01, 2).Draw(t, "tolerance")
		s.Limits = thread.Limits{PitchMin: new(unit.MM(lo)), PitchMax: new(unit.MM(hi))}
		d := s.decision()
		error1, error2 := rapid.Float64Range(-1, 1).Draw(t, "go"), rapid.Float64Range(-1, 1).Draw(t, "no-go")
		u := d.U.MM()
		x := rapid.Float64Range(lo-2*u, hi+2*u).Draw(t, "part")
		largest, smallest := hi+error1*u, lo+error2*u // the go and the no-go ring as printed
		if !external {
			largest, smallest = hi+error2*u, lo+error1*u // the no-go and the go plug
		}
		passes := x <= largest && x >= smallest
		part := unit.MM(x)
		switch {
		case d.Resolves && part > d.InFrom && part < d.InTo:
			in++
			if !passes {
				t.Fatalf("part of %v is surely in (%v to %v), and a pair of %v and %v refuses it", x, d.InFrom, d.InTo, smallest, largest)
			}
		case part < d.OutBelow || part > d.OutAbove:
			out++
			if passes {
				t.Fatalf("part of %v is surely out, and a pair of %v and %v passes it", x, smallest, largest)
			}
		}
	})
	assert.Positive(t, in)
	assert.Positive(t, out)
}

// The document that says how far a no-go gauge may enter is the one of the thread's own standard (ISO 228-2 for G).
func TestEntryNamesTheGaugingStandard(t *testing.T) {
	for text, source := range map[string]string{"G 1/2": "ISO 228-2", "M20": "ISO 1502", "1/4-20 UNC": "ASME B1.2", "1-11.5 NPSM": "ASME B1.2"} {
		th, err := thread.BuiltIn().Parse(text)
		require.NoError(t, err)
		assert.Contains(t, entryOf(th).Source, source, text)
	}
}
