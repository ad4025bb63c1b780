package gauge

// This file says, before anything is made, which gauges the printer can make decide anything, with what the others could, and what
// works in their place.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Foresight is what gauges will decide as printed.
type Foresight struct {
	Printer string `json:"printer"`
	// Decide names the gauges that surely pass some part, Rest are the others.
	Decide []string    `json:"decide"`
	Rest   []Undecided `json:"rest"`
}

// Undecided is a gauge that proves no part good.
type Undecided struct {
	Name        string `json:"name"`
	Designation string `json:"designation"`
	// With lists what it would decide with, the nearest first; empty where nothing known would do.
	With []string `json:"with"`
	// NeedMM is how well the printer would have to be known, as a standard uncertainty.
	NeedMM float64 `json:"need_u_mm"`
	// Pair are two threads, this one and a neighbour, whose go gauges tell them apart all the same; empty where none is near.
	Pair []string `json:"pair"`
}

// finerLayers are the layer heights that a filament printer may be set to, as shares of its profile's.
var finerLayers = []float64{0.75, 0.5, 0.3}

// Foresee judges gauges before they are made on j's printer; printers are the others that there are.
func (j Job) Foresee(asked []Asked, printers printer.Profiles, tables *thread.Tables) Foresight {
	out := Foresight{Printer: j.Printer.Name, Decide: []string{}, Rest: []Undecided{}}
	for _, a := range asked {
		if a.Gauge.Decision().Resolves {
			out.Decide = append(out.Decide, a.Name)
			continue
		}
		d := a.Decision()
		u := Undecided{Name: a.Name, Designation: ring.Judged(a.Thread, a.Class), With: []string{}, NeedMM: math.Floor(d.Tolerance().MM()/4*1000) / 1000, Pair: []string{}}
		resolves := func(p printer.Profile) bool {
			spec := a.Gauge
			spec.Printer = p
			return spec.Decision().Resolves && a.Thread.Pitch >= p.MinPitch
		}
		for _, share := range finerLayers {
			finer := j.Printer
			finer.Layer = unit.MM(math.Round(finer.Layer.MM()*share*100) / 100)
			if j.Printer.Process == printer.Filament && resolves(finer) {
				u.With = append(u.With, fmt.Sprintf("layers of %.2f mm", finer.Layer.MM()))
				break
			}
		}
		for _, p := range printers.Readable() {
			if p.Name != j.Printer.Name && resolves(p) {
				u.With = append(u.With, fmt.Sprintf("printer %s (%s, line %s mm, layers %s mm)", p.Name, p.Process, unit.Short(p.Nozzle.MM()), unit.Short(p.Layer.MM())))
			}
		}
		if other, near := neighbour(a.Thread, d.U, tables); near {
			u.Pair = []string{a.Thread.Designation, other.Designation}
		}
		out.Rest = append(out.Rest, u)
	}
	return out
}

const (
	// nearShare is within what share of its diameter a thread is taken for another.
	nearShare = 0.15
	// otherPitch is the share of a pitch from which on two threads do not run into each other over a few turns.
	otherPitch = 0.04
)

// neighbour is the thread nearest in size to t that a go gauge uncertain by u tells from it: by its pitch diameter or by its pitch.
func neighbour(t thread.Thread, u unit.Length, tables *thread.Tables) (best thread.Thread, near bool) {
	least := nearShare * t.Basic.Major.MM()
	for _, o := range tables.All() {
		apart := math.Abs((o.Basic.Major - t.Basic.Major).MM())
		told := math.Abs((o.Basic.Pitch-t.Basic.Pitch).MM()) > 2*u.MM() || math.Abs((o.Pitch-t.Pitch).MM()) > otherPitch*t.Pitch.MM()
		same := o.Designation == t.Designation || o.Taper > 0 != (t.Taper > 0) || o.Hand != t.Hand || o.Starts != t.Starts
		if !same && told && apart < least {
			best, near, least = o, true, apart
		}
	}
	return best, near
}

// Words say it in a few sentences, the gauges that need the same together.
func (f Foresight) Words() []string {
	if len(f.Rest) == 0 {
		return nil
	}
	maker := "printer " + f.Printer
	if f.Printer == printer.Unnamed().Name {
		maker = "the middle of all printers"
	}
	out := []string{fmt.Sprintf("Of these gauges %d of %d would decide anything as %s makes them", len(f.Decide), len(f.Decide)+len(f.Rest), maker)}
	by := map[string][]string{}
	var ways []string
	for _, u := range f.Rest {
		way := strings.Join(u.With, " or ")
		if by[way] == nil {
			ways = append(ways, way)
		}
		if !slices.Contains(by[way], u.Designation) {
			by[way] = append(by[way], u.Designation)
		}
	}
	for _, way := range ways {
		names := strings.Join(by[way][:min(len(by[way]), shownNames)], ", ")
		if n := len(by[way]) - shownNames; n > 0 {
			names += fmt.Sprintf(" and %d more", n)
		}
		if way == "" {
			out = append(out, fmt.Sprintf("nothing that is known prints %s well enough; trials would have to bring the printer under ± %.3f mm (95 %%)", names, 2*f.need(by[way])))
		} else {
			out = append(out, fmt.Sprintf("with %s it would be %s as well", way, names))
		}
	}
	for _, u := range f.Rest {
		if len(u.Pair) > 0 {
			out = append(out, fmt.Sprintf("what works in their place is a pair that tells two threads apart, such as the go gauges of %s and %s: a part goes with one alone", u.Pair[0], u.Pair[1]))
			break
		}
	}
	return out
}

// shownNames is how many threads are named of each kind.
const shownNames = 6

// need is the least that any gauge of these threads needs.
func (f Foresight) need(designations []string) float64 {
	least := math.Inf(1)
	for _, u := range f.Rest {
		if slices.Contains(designations, u.Designation) {
			least = min(least, u.NeedMM)
		}
	}
	return least
}
