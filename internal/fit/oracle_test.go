package fit

// This file checks the fast way against closed forms and against a plain search for overlap on the true sections.

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// surface is a thread by the plain definition: the radius at an angle and a height, from thread.Profile alone.
type surface struct {
	profile thread.Profile
	lead    float64
}

func surfaceOf(t testing.TB, th thread.Thread, d thread.Diameters) surface {
	t.Helper()
	p, err := thread.NewProfile(thread.Section{
		PitchMM: th.Pitch.MM(), FlankRad: th.Form.FlankRad, UpperRad: th.Form.UpperRad, MajorMM: d.Major.MM(), PitchDMM: d.Pitch.MM(), MinorMM: d.Minor.MM(),
		Slope: -th.Taper / 2, RoundMajor: th.Form.RoundPerPitch > 0, RoundMinor: th.Form.RoundPerPitch > 0,
	})
	require.NoError(t, err)
	return surface{p, th.Lead().MM()}
}

// radius is r(theta, z): the section moves up by the lead each turn; the taper's share does not.
func (s surface) radius(turn, z float64) float64 {
	return s.profile.Rho(z-s.lead*turn) + s.profile.Slope*z
}

// The grid of the search: heights a pitch, angles a turn, and axial positions.
const (
	bruteHeights   = 64
	bruteAngles    = 128
	brutePositions = 2000
)

// bruteDepth is how deep e goes into i before every axial position overlaps somewhere, with its small end at end; at most
// most. Each position of a straight thread is followed inward until the first overlap.
func bruteDepth(e, i surface, most float64) float64 {
	pitch := i.profile.PitchMM
	best := 0.0
	for k := range brutePositions {
		x := pitch * (float64(k)/brutePositions - 0.5)
		depth := 0.0
		for ; depth < most && !overlaps(e, i, x, 0, depth); depth += pitch / bruteHeights {
		}
		best = math.Max(best, depth)
	}
	return best
}

// overlaps reports whether e, moved up by x and by shift along its taper, stands outside i anywhere at height z.
func overlaps(e, i surface, x, shift, z float64) bool {
	for a := range bruteAngles {
		turn := float64(a) / bruteAngles
		if e.radius(turn, z-x)+e.profile.Slope*(x-shift) > i.radius(turn, z) {
			return true
		}
	}
	return false
}

// bruteTurns is the deepest insertion of a taper thread at which some rotation does not overlap.
func bruteTurns(e, i surface, most float64) float64 {
	pitch := i.profile.PitchMM
	free := func(depth float64) bool {
	rotations:
		for k := range brutePositions / 10 {
			x := pitch * 10 * float64(k) / brutePositions
			for z := 0.0; z <= depth; z += pitch / bruteHeights {
				// The small end of e stands at depth: there its taper's share is nothing.
				if overlaps(e, i, x, depth, z) {
					continue rotations
				}
			}
			return true
		}
		return false
	}
	low, high := 0.0, most
	for range 9 {
		if middle := (low + high) / 2; free(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

func parsed(t testing.TB, text string) thread.Thread {
	t.Helper()
	th, err := thread.BuiltIn().Parse(text)
	require.NoError(t, err)
	return th
}

// Pairs of unlike pitch, angle, starts and hand: the search over angle, height and position finds the turns that the fast way
// computes from one ridge in one groove.
func TestTurnsAgainstBruteForce(t *testing.T) {
	for _, c := range []struct {
		external, internal string
		wider              unit.Length
	}{
		{"1 1/2-11.5 NPSM", "G 1 1/2", 0.1},
		{"G 1 1/2", "1 1/2-11.5 NPSM", 0.1},
		{"M30x2", "M30x1.5", 0.2},
		{"M30x1.5", "M30x2", 0.8},
		{"1 7/8-16 UN", "1 7/8-14 UNS", 0},
		{"1 7/8-14 UNS", "48.2mm x 13tpi 55deg", 0.3},
		{"30mm x 2mm 2start", "30.5mm x 2.1mm 2start", 0},
		{"30mm x 2mm LH", "30.5mm x 2.1mm LH", 0},
		{"30mm x 2mm 3/30deg", "30.5mm x 2.1mm 3/30deg", 0},
		{"30mm x 2.1mm 3/30deg", "30.5mm x 2mm 3/30deg", 0},
		{"30mm x 2.1mm 45/7deg LH", "30.5mm x 2mm 30/3deg LH", 2},
		{"40mm x 3mm 30deg trapezoidal", "40mm x 2.9mm 29deg trapezoidal", 0.4},
		{"40mm x 3mm 30deg round", "40mm x 2.9mm 30deg round", 0.4},
	} {
		t.Run(c.external+" in "+c.internal, func(t *testing.T) {
			e, i := parsed(t, c.external), parsed(t, c.internal)
			es, err := newSized(e, true, Side{})
			require.NoError(t, err)
			is, err := newSized(i, false, Side{})
			require.NoError(t, err)
			ed, id := es.at(0), is.at(0).Plus(c.wider)
			r, err := Judge(e, i, Options{External: Side{Given: &ed}, Internal: Side{Given: &id}})
			require.NoError(t, err)
			require.NotNil(t, r.Turns)
			require.Less(t, *r.Turns, 20.0)
			se, si := surfaceOf(t, e, ed), surfaceOf(t, i, id)
			se.lead, si.lead = float64(e.Hand)*se.lead, float64(i.Hand)*si.lead
			got := bruteDepth(se, si, 25*i.Lead().MM()) / i.Lead().MM()
			// The grid misses up to a step of height and of position, and a corner that meets between two angles.
			drift := math.Abs(float64(e.Lead() - i.Lead()))
			slack := 1.0/bruteHeights + 2*i.Pitch.MM()*(1.0/brutePositions+0.5/bruteAngles)/drift
			require.False(t, r.CrestClearance < 0 || r.RootClearance < 0, "crests jam: turns count the flanks alone")
			assert.InDelta(t, *r.Turns, got, slack, "turns: fast %v, by search %v ± %v", *r.Turns, got, slack)
		})
	}
}

func TestHandTightAgainstBruteForce(t *testing.T) {
	for _, c := range []struct{ external, internal string }{
		{"1/2-14 NPT", "1/2-14 NPT"},
		{"1/2-14 NPT", "G 1/2"},
		{"R 1/2", "Rp 1/2"},
		{"3/4-14 NPT", "3/4-11.5 NH"},
	} {
		t.Run(c.external+" in "+c.internal, func(t *testing.T) {
			e, i := parsed(t, c.external), parsed(t, c.internal)
			es, err := newSized(e, true, Side{})
			require.NoError(t, err)
			is, err := newSized(i, false, Side{})
			require.NoError(t, err)
			r, err := Judge(e, i, Options{})
			require.NoError(t, err)
			got := bruteTurns(surfaceOf(t, e, es.at(0)), surfaceOf(t, i, is.at(0)), es.useful.MM()) / i.Lead().MM()
			// A rotation step of P/200 takes up to half of itself from the play: 8 x P/200 / tan(a) of depth on a 1:16 taper.
			assert.InDelta(t, *r.Turns, got, 0.12, "turns: fast %v, by search %v", *r.Turns, got)
		})
	}
}

// free makes a thread without limits.
func free(t *rapid.T, name string) thread.Thread {
	angle := rapid.SampledFrom([]string{"", " 55deg", " 50deg", " 80deg", " 3/30deg", " 45/7deg", " 30deg trapezoidal", " 30deg round"}).Draw(t, name+" angle")
	th, err := thread.BuiltIn().Parse("40mm x " + unit.Short(math.Round(rapid.Float64Range(0.8, 3).Draw(t, name+" pitch")*1000)/1000) + "mm" + angle)
	if err != nil {
		t.Fatal(err)
	}
	return th
}

// Closed forms: equal forms of flanks a and b with a clearance c on all diameters have c (tan a + tan b)/2 of axial play, and with leads that
// differ the play lasts for play / difference turns.
func TestPlayAndTurnsInClosedForm(t *testing.T) {
	samples := 0
	rapid.Check(t, func(t *rapid.T) {
		samples++
		e := free(t, "thread")
		c := unit.MM(rapid.Float64Range(0, 0.3).Draw(t, "clearance"))
		wider := e.Basic.Plus(c)
		r, err := Judge(e, e, Options{Internal: Side{Given: &wider}})
		if err != nil {
			t.Fatal(err)
		}
		a, b := e.Form.Flanks()
		want := c.MM() * (math.Tan(a) + math.Tan(b)) / 2
		straight := c.MM()/4 < e.Form.StraightPerPitch()*e.Pitch.MM() // beyond, the flanks meet at their arcs
		if math.Abs(r.AxialPlay.MM()-want) > 1e-6 && straight {
			t.Fatalf("axial play of %v with %v clearance = %v, want %v", e.Designation, c, r.AxialPlay.MM(), want)
		}
		if r.Turns != nil {
			t.Fatalf("equal pitches come to an end after %v turns", *r.Turns)
		}
		// The same section with a lead that differs a little.
		d := rapid.Float64Range(0.001, 0.1).Draw(t, "pitch difference")
		long := e
		long.Pitch += unit.MM(d)
		long.Form.DepthPerPitch *= float64(e.Pitch / long.Pitch)
		r, err = Judge(long, e, Options{Internal: Side{Given: &wider}})
		if err != nil {
			t.Fatal(err)
		}
		if got, want := *r.Turns, math.Max(0, r.AxialPlay.MM())/d; math.Abs(got-want) > 1e-6*(1+want) {
			t.Fatalf("turns = %v, want play %v / difference %v = %v", got, r.AxialPlay.MM(), d, want)
		}
	})
	require.Positive(t, samples)
}

// Unlike flanks of any two forms of one pitch: how far the ridge can go either way is what a search along the true sections finds.
func TestRoomAgainstSearch(t *testing.T) {
	const heights = 2000
	samples, met := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		samples++
		e, i := free(t, "external"), free(t, "internal")
		i.Pitch = e.Pitch
		i.Basic = thread.Diameters{
			Major: e.Basic.Major, Pitch: e.Basic.Major - unit.Length(2*i.Form.AddendumPerPitch)*e.Pitch, Minor: e.Basic.Major - unit.Length(2*i.Form.DepthPerPitch)*e.Pitch,
		}
		id := i.Basic.Plus(unit.MM(rapid.Float64Range(0, 1).Draw(t, "wider")))
		ef, errE := newForm(e, e.Basic)
		fi, errI := newForm(i, id)
		se, errSE := thread.NewProfile(e.Section(e.Basic))
		si, errSI := thread.NewProfile(i.Section(id))
		if errE != nil || errI != nil || errSE != nil || errSI != nil {
			t.Fatal(errE, errI, errSE, errSI)
		}
		r, pitch := roomIn(ef, fi, 0), e.Pitch.MM()
		least := 0.04 * pitch // mm on the radius: less of overlap, or of a gap between two arcs, is hidden by chords and steps
		if r.crest < least || r.root < least || r.bore > -least {
			return
		}
		free := func(by float64) bool {
			for k := range heights {
				z := pitch * float64(k) / heights
				if se.Rho(z-by) > si.Rho(z)+chordMM {
					return false
				}
			}
			return true
		}
		if r.play() > 4*chordMM {
			met++
			// Steps of height, by which a corner that stands in a flat arc is found, and chords of an arc on the flattest flank, 45 degrees.
			slack := 6 * (pitch/heights + chordMM)
			if middle := (r.upper - r.lower) / 2; !free(middle) {
				t.Fatalf("%s in %s: %v is not free", e.Designation, i.Designation, middle)
			}
			if free(r.upper+slack) || free(-r.lower-slack) {
				t.Fatalf("%s in %s: free beyond %v and %v", e.Designation, i.Designation, r.lower, r.upper)
			}
			if !free(r.upper-slack) && r.upper-slack > -r.lower || !free(-r.lower+slack) && -r.lower+slack < r.upper {
				t.Fatalf("%s in %s: not free up to %v and %v", e.Designation, i.Designation, r.lower, r.upper)
			}
		}
	})
	require.Positive(t, samples)
	require.Positive(t, met)
}

// A larger clearance only ever moves a verdict toward loose.
func TestClearanceOnlyLoosens(t *testing.T) {
	samples := 0
	rapid.Check(t, func(t *rapid.T) {
		samples++
		e, i := free(t, "external"), free(t, "internal")
		switch rapid.SampledFrom([]string{"unlike", "one pitch", "tapers"}).Draw(t, "pair") {
		case "one pitch":
			e.Pitch, e.Basic = i.Pitch, i.Basic
			e.Form = i.Form
		case "tapers":
			var errE, errI error
			e, errE = thread.BuiltIn().Parse(rapid.SampledFrom([]string{"1 1/4-11.5 NPT", "R 1 1/4", "G 1 1/4"}).Draw(t, "external taper"))
			i, errI = thread.BuiltIn().Parse(rapid.SampledFrom([]string{"1 1/4-11.5 NPT", "Rc 1 1/4", "Rp 1 1/4", "1 1/4-11.5 NPSM"}).Draw(t, "internal taper"))
			if errE != nil || errI != nil {
				t.Fatal(errE, errI)
			}
		}
		less := rapid.Float64Range(-3, 3).Draw(t, "clearance")
		more := less + rapid.Float64Range(0, 1).Draw(t, "more")
		rank := func(by float64) (int, Result) {
			d := i.Basic.Plus(unit.MM(by))
			r, err := Judge(e, i, Options{Internal: Side{Given: &d}})
			if err != nil {
				t.Fatal(err)
			}
			for k, v := range Verdicts {
				if v == r.Verdict {
					return k, r
				}
			}
			t.Fatalf("verdict %q is none of the five", r.Verdict)
			return 0, r
		}
		tight, a := rank(less)
		slack, b := rank(more)
		if slack < tight {
			t.Fatalf("%s in %s: %s at %v mm, but %s at %v mm", e.Designation, i.Designation, a.Verdict, less, b.Verdict, more)
		}
		if a.Turns != nil && b.Turns != nil && *b.Turns < *a.Turns-1e-9 {
			t.Fatalf("turns fall from %v to %v with a larger clearance", *a.Turns, *b.Turns)
		}
	})
	require.Positive(t, samples)
}

// A wider uncertainty never raises the chance of goes when it goes at the values themselves: the nodes move straight out from
// the values, and the region of goes is convex.
func TestUncertaintyNeverSharpens(t *testing.T) {
	samples := 0
	rapid.Check(t, func(t *rapid.T) {
		e := free(t, "thread")
		d := e.Basic.Plus(unit.MM(rapid.Float64Range(0.05, 0.3).Draw(t, "clearance")))
		chance := func(u, up float64) Result {
			r, err := Judge(e, e, Options{External: Side{U: unit.MM(u), UPitch: unit.MM(up)}, Internal: Side{Given: &d}})
			if err != nil {
				t.Fatal(err)
			}
			return r
		}
		u, up := rapid.Float64Range(0.001, 0.3).Draw(t, "u"), rapid.Float64Range(0.0001, 0.05).Draw(t, "u pitch")
		wider := rapid.Float64Range(1, 3).Draw(t, "wider")
		narrow := chance(u, up)
		if narrow.Verdict != Goes {
			t.Skip("does not go at the values")
		}
		samples++
		if wide := chance(u*wider, up*wider); wide.ChanceOf(Goes) > narrow.ChanceOf(Goes) {
			t.Fatalf("the chance of goes rose from %v to %v", narrow.ChanceOf(Goes), wide.ChanceOf(Goes))
		}
	})
	require.Positive(t, samples)
}

// Inches and millimetres are two ways of writing one thread.
func TestUnitsChangeNothing(t *testing.T) {
	samples := 0
	rapid.Check(t, func(t *rapid.T) {
		samples++
		sixteenths := rapid.IntRange(16, 48).Draw(t, "sixteenths")
		count := rapid.SampledFrom([]string{"11.5", "12", "14", "16"}).Draw(t, "tpi")
		inches := float64(sixteenths) / 16
		a, errA := thread.BuiltIn().Parse(unit.Short(inches) + "in x " + count + "tpi")
		b, errB := thread.BuiltIn().Parse(unit.Short(inches*25.4) + "mm x " + count + "tpi")
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		mate, err := thread.BuiltIn().Parse("1 7/8-14 UNS")
		if err != nil {
			t.Fatal(err)
		}
		ra, errA := Judge(a, mate, Options{External: Side{U: 0.1}})
		rb, errB := Judge(b, mate, Options{External: Side{U: 0.1}})
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		// Lengths may differ by float64 noise; what is said may not.
		if ra.Verdict != rb.Verdict || ra.Why != rb.Why || math.Abs(ra.Chance-rb.Chance) > 1e-12 {
			t.Fatalf("%s: %+v\n%s: %+v", a.Designation, ra, b.Designation, rb)
		}
	})
	require.Positive(t, samples)
}

// Any two threads of the tables get one of the five verdicts, finite figures and a reason.
func TestAnyPair(t *testing.T) {
	all := thread.BuiltIn().All()
	samples := 0
	rapid.Check(t, func(t *rapid.T) {
		samples++
		e, i := rapid.SampledFrom(all).Draw(t, "external"), rapid.SampledFrom(all).Draw(t, "internal")
		if rapid.Bool().Draw(t, "near") { // far sizes hardly meet
			var near []thread.Thread
			for _, th := range all {
				if d := float64(th.Basic.Major / e.Basic.Major); d > 0.9 && d < 1.1 {
					near = append(near, th)
				}
			}
			i = rapid.SampledFrom(near).Draw(t, "near")
		}
		r, err := Judge(e, i, Options{External: Side{U: unit.MM(rapid.Float64Range(0, 0.2).Draw(t, "u"))}})
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, c := range r.Chances {
			sum += c
		}
		figures := []float64{r.PitchClearance.MM(), r.CrestClearance.MM(), r.RootClearance.MM(), r.EngagementPercent, r.EngagedTurns, sum}
		if r.Turns != nil {
			figures = append(figures, *r.Turns)
		}
		if r.AxialPlay != nil {
			figures = append(figures, r.AxialPlay.MM())
		}
		for _, x := range figures {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%s in %s: %+v", e.Designation, i.Designation, r)
			}
		}
		known := false
		for _, v := range Verdicts {
			known = known || v == r.Verdict
		}
		if !known || r.Why == "" || math.Abs(sum-1) > 1e-12 {
			t.Fatalf("%s in %s: %+v", e.Designation, i.Designation, r)
		}
	})
	require.Positive(t, samples)
}
