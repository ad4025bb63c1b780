package check

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/caliper"
	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// subject is a ring of M42x1.5 in M48x2 that measures as planned, after change.
func subject(t *testing.T, change func(*ring.Spec)) Subject {
	t.Helper()
	spec := ring.DefaultSpec(parsed(t, "M42x1.5"), parsed(t, "M48x2"))
	if change != nil {
		change(&spec)
	}
	p, err := ring.New(spec)
	require.NoError(t, err)
	found := func(s ring.Side) *caliper.Thread {
		return &caliper.Thread{
			MajorMM: s.Modelled.Major.MM(), PitchDMM: s.Modelled.Pitch.MM(), MinorMM: s.Modelled.Minor.MM(),
			LeadMM: s.Thread.Lead().MM(), PitchMM: s.Thread.Pitch.MM(), Starts: 1, Hand: "right", AngleDeg: 60, FlankDeg: [2]float64{30, 30}, ZMM: s.FullMM,
		}
	}
	return Subject{
		Plan: &p, Printer: spec.Printer,
		Soundness: &mesh.Soundness{Shells: 1, VolumeMM3: 1000, BoundsMM: [2][3]float64{{-30, -30, 0}, {30, 30, 20}}},
		Measured:  &caliper.Report{Inner: found(p.Inner), Outer: found(p.Outer), WallMM: p.Wall.MM()},
		Inner:     WantedOf(p.Inner, false), Outer: WantedOf(p.Outer, true),
	}
}

func parsed(t *testing.T, text string) thread.Thread {
	t.Helper()
	th, err := thread.BuiltIn().Parse(text)
	require.NoError(t, err)
	return th
}

func levelOf(t *testing.T, fs []Finding, id string) Level {
	t.Helper()
	for _, f := range fs {
		if f.ID == id {
			return f.Level
		}
	}
	t.Fatalf("no finding %q in %v", id, fs)
	return ""
}

func TestASoundRingPasses(t *testing.T) {
	fs := All(subject(t, nil))
	assert.Equal(t, Note, Worst(fs), "the caution is a note, nothing is worse: %v", fs)
	assert.Equal(t, Caution, fs[0].Text, "the caution comes first")
	seen := map[string]bool{}
	for _, f := range fs {
		assert.False(t, seen[f.ID], "%s twice", f.ID)
		assert.NotEmpty(t, f.Text)
		seen[f.ID] = true
	}
}

func TestTheCautionNeedsNothing(t *testing.T) {
	assert.Equal(t, []Finding{{"caution", Note, Caution}}, All(Subject{Printer: printer.Unnamed()}))
}

func TestEachRuleCanFail(t *testing.T) {
	for name, c := range map[string]struct {
		id     string
		level  Level
		spec   func(*ring.Spec)
		change func(*Subject)
	}{
		"open mesh":             {"mesh", Stop, nil, func(s *Subject) { s.Soundness.OpenEdges = 3 }},
		"too many faces":        {"mesh", Warn, nil, func(s *Subject) { s.Soundness.Unsearched = true }},
		"rounded apart":         {"welded", Note, nil, func(s *Subject) { s.Part = &mesh.Part{Welded: 7, WeldedMM: 1e-6} }},
		"inside out":            {"mesh", Stop, nil, func(s *Subject) { s.Soundness.VolumeMM3 = -1000 }},
		"pitch diameter off":    {"measured-inner", Stop, nil, func(s *Subject) { s.Measured.Inner.PitchDMM += 0.011 }},
		"lead off":              {"measured-outer", Stop, nil, func(s *Subject) { s.Measured.Outer.LeadMM -= 0.011 }},
		"wrong hand":            {"measured-outer", Stop, nil, func(s *Subject) { s.Measured.Outer.Hand = "left" }},
		"one flank off":         {"measured-outer", Stop, nil, func(s *Subject) { s.Measured.Outer.FlankDeg[1] = 31 }},
		"no thread":             {"measured-inner", Stop, nil, func(s *Subject) { s.Measured.Inner = nil }},
		"thinner than promised": {"wall", Stop, nil, func(s *Subject) { s.Measured.WallMM = s.Plan.Wall.MM() - 0.05; s.Measured.WallZMM = 10 }},
		"thin wall":             {"wall", Warn, nil, func(s *Subject) { s.Printer.MinWall = s.Plan.Wall + 0.1 }},
		"short":                 {"engagement-outer", Note, func(s *ring.Spec) { s.Height = unit.MM(14) }, nil},
		"hardly a turn":         {"engagement-outer", Warn, func(s *ring.Spec) { s.Height = unit.MM(9) }, nil},
		"fine pitch":            {"pitch-inner", Warn, nil, func(s *Subject) { s.Printer.Layer = 0.4 }},
		"overhang":              {"overhang-inner", Warn, nil, func(s *Subject) { s.Printer.Layer = 0.3 }},
		"resin hangs together":  {"overhang-inner", OK, nil, func(s *Subject) { s.Printer.Process, s.Printer.Nozzle = printer.Resin, 0.05 }},
		"weak overhang":         {"overhang-inner", Note, nil, func(s *Subject) { s.Printer.MaxOverhangDeg = 45 }},
		"the other end down":    {"overhang-outer", Warn, func(s *ring.Spec) { s.Outer = parsed(t, "80mm x 4mm 3/45deg") }, nil},
		"its back inside":       {"overhang-inner", OK, func(s *ring.Spec) { s.Inner = parsed(t, "30mm x 2mm 3/45deg") }, nil},
		"in the air either way": {"overhang-outer", Stop, func(s *ring.Spec) {
			s.Inner, s.Outer = parsed(t, "30mm x 2mm 3/45deg"), parsed(t, "80mm x 4mm 3/45deg")
		}, nil},
		"steep both ways": {"overhang-outer", Warn, func(s *ring.Spec) { s.Outer = parsed(t, "80mm x 4mm 20deg") }, nil},
		"a worm": {"overhang-outer", OK, func(s *ring.Spec) {
			s.Outer = parsed(t, "80mm x 4mm 30deg trapezoidal")
			s.Printer.MaxOverhangDeg = 80
			s.Printer.Layer = 0.1
		}, nil},
		"tight":                 {"allowance-inner", Warn, func(s *ring.Spec) { s.InnerClearance = 0.05 }, nil},
		"sloppy":                {"allowance-outer", Warn, func(s *ring.Spec) { s.OuterClearance = 1.2 }, nil},
		"unsure inside":         {"allowance-inner", Warn, nil, func(s *Subject) { s.Printer.InsideU, s.Printer.OutsideU = 0.2, 0.01 }},
		"unsure outside only":   {"allowance-inner", OK, nil, func(s *Subject) { s.Printer.InsideU, s.Printer.OutsideU = 0.01, 0.2 }},
		"less than a line":      {"wall", Stop, nil, func(s *Subject) { wallOfLines(s, 0.99) }},
		"a line and no more":    {"wall", Warn, nil, func(s *Subject) { wallOfLines(s, 1.01) }},
		"taper off":             {"measured-inner", Stop, nil, func(s *Subject) { s.Measured.Inner.Taper = 0.0025 }},
		"taper hardly off":      {"measured-inner", OK, nil, func(s *Subject) { s.Measured.Inner.Taper = 0.0015 }},
		"too large for the bed": {"bed", Warn, nil, func(s *Subject) { s.Printer.BedX = 50 }},
		"nothing engraved":      {"label", Warn, func(s *ring.Spec) { s.Grip = ring.NoGrip }, nil},
		"letters close up":      {"stroke", Warn, nil, func(s *Subject) { s.Printer.Nozzle = 0.6 }},
		"letters spread shut":   {"stroke", Warn, nil, func(s *Subject) { s.Printer.FirstLayerSpread = 0.3 }},
		"letters run together":  {"gap", Warn, nil, func(s *Subject) { s.Printer.Nozzle = 0.5 }},
		"islets are left out":   {"islet", Warn, nil, func(s *Subject) { s.Printer.Nozzle = 0.6 }},
		"a layer of letters":    {"pocket", Warn, nil, func(s *Subject) { s.Printer.Layer = 0.4 }},
		"no room on the bed": {"label", Note, func(s *ring.Spec) {
			s.Inner, s.Outer, s.Label = parsed(t, "8mm x 1.25mm 2start LH"), parsed(t, "M12 LH"), "X"
		}, nil},
		"elephant foot": {"first-layer", Warn, nil, func(s *Subject) { s.Printer.FirstLayerSpread = 0.6 }},
	} {
		t.Run(name, func(t *testing.T) {
			s := subject(t, c.spec)
			if c.change != nil {
				c.change(&s)
			}
			assert.Equal(t, c.level, levelOf(t, All(s), c.id))
		})
	}
}

// wallOfLines makes the wall so many lines thick.
func wallOfLines(s *Subject, lines float64) {
	s.Plan.Wall = unit.MM(lines * s.Printer.Nozzle.MM())
	s.Measured.WallMM = s.Plan.Wall.MM()
}

func TestATaperIsComparedAnywhereAlongIt(t *testing.T) {
	want := Wanted{
		Designation: "taper", TolMM: 0.1, AnyPlane: true,
		Wanted: caliper.Wanted{MajorMM: 21, PitchDMM: 20, MinorMM: 19, LeadMM: 1.8, AngleDeg: 60, Taper: 1.0 / 16, Starts: 1, Hand: "right"},
	}
	got := caliper.Thread{MajorMM: 20.5, PitchDMM: 19.5, MinorMM: 18.5, LeadMM: 1.8, AngleDeg: 60, Taper: 1.0 / 16, Starts: 1, Hand: "right", ZMM: [2]float64{0, 10}}
	assert.Equal(t, OK, against("x", "inner", want, &got, "")[0].Level)
	want.AnyPlane = false
	assert.Equal(t, Stop, against("x", "inner", want, &got, "")[0].Level)
}

// A saw thread of 3 and 30 degrees lies in the air with one end down and prints with the other; a ring's inside faces the other way than a
// plug's outside. Threads of 60 degrees, and of 30, print as they lie.
func TestUndersides(t *testing.T) {
	parse := func(text string) thread.Thread {
		th, err := thread.BuiltIn().Parse(text)
		require.NoError(t, err)
		return th
	}
	saw, turned := parse("60mm x 9mm 3/30deg"), parse("60mm x 9mm 30/3deg")
	warned := 0
	for _, th := range []thread.Thread{saw, turned} {
		for _, external := range []bool{true, false} {
			if text := Undersides(th, external); text != "" {
				warned++
				assert.Contains(t, text, "lean 87.0 degrees from the vertical, and 60.0 with the other end down")
			}
		}
		assert.NotEqual(t, Undersides(th, true) == "", Undersides(th, false) == "")
	}
	assert.Equal(t, 2, warned)
	for _, plain := range []string{"M20", "Tr 40x7", "G 1"} {
		assert.Empty(t, Undersides(parse(plain), true)+Undersides(parse(plain), false), plain)
	}
}

// A thread that is met twice is named once, with its danger.
func TestShared(t *testing.T) {
	lamp, err := thread.BuiltIn().Parse("E27")
	require.NoError(t, err)
	plain, err := thread.BuiltIn().Parse("Tr 40x7")
	require.NoError(t, err)
	assert.Equal(t, "Dangerous joints share E27 (mains voltage: never near a live holder): no printed part goes there.", Shared(lamp, plain, lamp))
	assert.Empty(t, Shared(plain))
}
