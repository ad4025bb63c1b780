package trial

// This file holds what happened when a printed ring met the real thread, and how likely that is for each thread that the
// real one could be.

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"strings"

	"tryring/internal/build"
	"tryring/internal/datafile"
	"tryring/internal/fit"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// feltKind is a kind of result.
type feltKind int

const (
	feltNotStart feltKind = iota
	feltStops
	feltSnug
	feltGoes
	feltRattles
)

// felt is a result, with the turns after which the ring stopped.
type felt struct {
	kind  feltKind
	turns float64
}

var stopsAfter = regexp.MustCompile(`^stops? (?:after|at) (.+?) turns?$`)

// mostTurns is more than any ring has.
const mostTurns = 60

// parseFelt reads a result as people write it.
func parseFelt(text string) (felt, error) {
	plain := strings.Join(strings.Fields(strings.ToLower(text)), " ")
	switch plain {
	case "does not start":
		return felt{kind: feltNotStart}, nil
	case "snug":
		return felt{kind: feltSnug}, nil
	case "goes", "goes all the way":
		return felt{kind: feltGoes}, nil
	case "rattles", "starts and rattles", "goes and rattles":
		return felt{kind: feltRattles}, nil
	}
	if m := stopsAfter.FindStringSubmatch(plain); m != nil {
		n, err := unit.ParseNumber(m[1])
		if err == nil && n > 0 && n <= mostTurns {
			return felt{feltStops, n}, nil
		}
		return felt{}, fmt.Errorf("%q: a ring stops after more than 0 and at most %d turns", text, mostTurns)
	}
	return felt{}, fmt.Errorf(`%q is no result; it is "goes", "snug", "rattles", "does not start" or "stops after 4 turns"`, text)
}

// LoadResult reads the JSON file that a ring was written to.
func LoadResult(path string) (build.Result, error) {
	f, err := os.Open(path)
	if err != nil {
		return build.Result{}, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, datafile.MaxBytes))
	if err != nil {
		return build.Result{}, err
	}
	var r build.Result
	if err := json.Unmarshal(text, &r); err != nil {
		return build.Result{}, fmt.Errorf("%s: not the JSON file of a ring: %w", path, err)
	}
	if r.Inner.Designation == "" || r.Outer.Designation == "" || r.HeightMM <= 0 {
		return build.Result{}, fmt.Errorf("%s: not the JSON file of a ring: it names no threads or no height", path)
	}
	return r, nil
}

// RingFile is where the JSON file of the job's ring is written when nothing else is said.
func RingFile(r job.Ring, threads build.Threads) string {
	a := build.Asked{Name: r.Name, Out: r.Out}
	if a.Out == "" {
		a.Out = build.DefaultOut
	}
	if a.Name == "" {
		inner, _ := threads.Parse(r.Inner) // an unknown thread names no file, and no file is found then
		outer, _ := threads.Parse(r.Outer)
		a.Name = build.DefaultName(inner, outer)
	}
	return a.Path(".json")
}

// NewTry describes the ring of r on one side, as printer p makes it.
func NewTry(r build.Result, side string, p printer.Profile, result string) (job.Try, error) {
	if _, err := parseFelt(result); err != nil {
		return job.Try{}, fmt.Errorf("--result: %w", err)
	}
	of, off, u := r.Inner, p.InsideTakes, p.InsideU
	switch side {
	case innerSide:
	case outerSide:
		of, off, u = r.Outer, p.OutsideAdds, p.OutsideU
	default:
		return job.Try{}, fmt.Errorf("--side %q; it is inner (the ring's inside thread was tried) or outer", side)
	}
	t := job.Try{
		Side: side, Thread: of.Designation, MajorMM: of.Modelled.MajorMM, PitchDMM: of.Modelled.PitchDMM, MinorMM: of.Modelled.MinorMM,
		EngagedMM: unit.Round(of.ZMM[1] - of.ZMM[0]), Printer: p.Name, OffMM: unit.RoundMM(off), UMM: unit.RoundMM(u), Result: result,
	}
	if m := of.Measured; m != nil {
		t.MajorMM, t.PitchDMM, t.MinorMM = unit.Round(m.MajorMM), unit.Round(m.PitchDMM), unit.Round(m.MinorMM)
	}
	return t, checkTry(t)
}

// check reports what cannot be in a try that was read from a file.
func checkTry(t job.Try) error {
	var faults []error
	if t.Side != innerSide && t.Side != outerSide {
		faults = append(faults, fmt.Errorf("side is %q; it is inner or outer", t.Side))
	}
	if !(t.MajorMM > t.PitchDMM && t.PitchDMM > t.MinorMM && t.MinorMM > 0 && t.MajorMM < 2*mostRadiusMM) {
		faults = append(faults, fmt.Errorf("diameters %g, %g and %g mm; major, pitch and minor must fall in this order", t.MajorMM, t.PitchDMM, t.MinorMM))
	}
	if !(t.EngagedMM > 0 && t.EngagedMM < 2*mostRadiusMM) {
		faults = append(faults, fmt.Errorf("engaged_mm is %g; it must be above 0", t.EngagedMM))
	}
	if !(math.Abs(t.OffMM) <= 1) || !(t.UMM >= 0 && t.UMM <= 1) {
		faults = append(faults, fmt.Errorf("off_mm %g and u_mm %g must lie within 1 mm", t.OffMM, t.UMM))
	}
	if _, err := parseFelt(t.Result); err != nil {
		faults = append(faults, err)
	}
	return errors.Join(faults...)
}

// mostRadiusMM is more than any ring has.
const mostRadiusMM = 150

// printed are the diameters of the ring's thread as printed, in the mean.
func printedOf(t job.Try) thread.Diameters {
	d := thread.Diameters{Major: unit.MM(t.MajorMM), Pitch: unit.MM(t.PitchDMM), Minor: unit.MM(t.MinorMM)}
	if t.Side == innerSide {
		return d.Plus(unit.MM(-t.OffMM))
	}
	return d.Plus(unit.MM(t.OffMM))
}

// The nodes of the quadrature: sizes in equal layers of the limits, prints in layers of equal chance.
const (
	sizeNodes  = 7
	printNodes = 9
)

// layerMiddles are the middles of n equal layers of -1 to 1.
func layerMiddles(n int) []float64 {
	out := make([]float64, n)
	for k := range out {
		out[k] = (2*float64(k)+1)/float64(n) - 1
	}
	return out
}

// chanceOf is the chance of all tries if the real thread is t: over its limits of size, and over what is uncertain of the
// printer. Both are the same in all tries, so that the same ring tried twice does not count double as far as they go.
func chanceOf(t thread.Thread, tries []job.Try, tables *thread.Tables) (float64, error) {
	ranged := true
	external := len(tries) == 0 || tries[0].Side == innerSide
	if _, err := tables.Limits(t, "", external); err != nil && t.Taper <= 0 {
		ranged = false
	}
	total := 0.0
	sizes, prints := layerMiddles(sizeNodes), layerMiddles(printNodes)
	for _, size := range sizes {
		for _, print := range prints {
			z := math.Sqrt2 * math.Erfinv(print)
			p := 1.0
			for _, try := range tries {
				x, err := chanceAt(try, t, size, z, ranged, tables)
				if err != nil {
					return 0, err
				}
				p *= x
			}
			total += p
		}
	}
	return total / float64(len(sizes)*len(prints)), nil
}

// chanceAt is the chance of one try on thread t at one place of its limits, with a print z standard uncertainties off.
func chanceAt(t job.Try, real thread.Thread, size, z float64, ranged bool, tables *thread.Tables) (float64, error) {
	f, err := parseFelt(t.Result)
	if err != nil {
		return 0, err
	}
	own, err := tables.Parse(t.Thread)
	if err != nil {
		return 0, err
	}
	made := printedOf(t).Plus(unit.MM(z * t.UMM))
	ringSide, realSide := fit.Side{Given: &made}, fit.Side{At: fit.Point(size)}
	if !ranged { // no standard limits it: between basic size and a share of a pitch towards less material
		less := unit.MM((1 - size) / 2 * openRoomPitches * real.Pitch.MM())
		if t.Side == innerSide {
			less = -less
		}
		given := real.Basic.Plus(less)
		realSide = fit.Side{Given: &given}
	}
	opt := fit.Options{External: realSide, Internal: ringSide, Engaged: unit.MM(t.EngagedMM), Tables: tables}
	external, internal := real, own
	if t.Side == outerSide {
		opt.External, opt.Internal = ringSide, realSide
		external, internal = own, real
	}
	r, err := fit.Judge(external, internal, opt)
	if err != nil {
		return 0, err
	}
	turns := t.EngagedMM / own.Lead().MM()
	return f.chance(meetingOf(r, own.Taper+real.Taper > 0, turns), turns), nil
}

// chanceOfNone is the chance of all tries on a thread of no table. What such a thread truly does with a ring is unknown, but
// it does the same each time: the same ring tried again tells only how hands err, and other rings tell by themselves.
func chanceOfNone(tries []job.Try, tables *thread.Tables) (float64, error) {
	var rings []job.Try
	of := map[job.Try][]felt{}
	for _, t := range tries {
		f, err := parseFelt(t.Result)
		if err != nil {
			return 0, err
		}
		ring := t
		ring.ID, ring.When, ring.Note, ring.Result, ring.OffMM, ring.UMM = 0, "", "", "", 0, 0 // the printer may have become known better since
		if of[ring] == nil {
			rings = append(rings, ring)
		}
		of[ring] = append(of[ring], f)
	}
	p := 1.0
	for _, ring := range rings {
		own, err := tables.Parse(ring.Thread)
		if err != nil {
			return 0, err
		}
		turns := ring.EngagedMM / own.Lead().MM()
		sum := 0.0
		for _, u := range unknownMeetings(turns) {
			same := u.share
			for _, f := range of[ring] {
				same *= f.chance(u.meeting, turns)
			}
			sum += same
		}
		p *= sum
	}
	return p, nil
}
