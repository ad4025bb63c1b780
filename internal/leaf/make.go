package leaf

// This file makes leaves, and holds what is told of them.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"path"
	"slices"
	"strings"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/job"
	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/ring"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// Result is what was made, as it is written to NAME.json. Scripts rely on its keys. Lengths are in mm.
type Result struct {
	Name    string   `json:"name"`
	Caution []string `json:"caution"`
	// Threads are those that the leaves ask about.
	Threads []string `json:"threads"`
	// Decides tells what one look decides, Undecided what it does not, LeftOut which threads are not on the leaves.
	Decides   []string `json:"decides"`
	Undecided []string `json:"undecided"`
	LeftOut   []string `json:"left_out"`
	Side      string   `json:"side"`
	// ThreadMM is how much of the part is threaded, null where it is not known.
	ThreadMM *float64 `json:"thread_mm"`
	// InBore says that the arms go into the bores of all these threads.
	InBore  bool   `json:"in_bore"`
	Printer string `json:"printer"`
	// Advice says how to print and how to look.
	Advice []string     `json:"advice"`
	Edges  []EdgeResult `json:"edges"`
	Leaves []LeafResult `json:"leaves"`
	printer.Cost
	Checks []check.Finding `json:"checks"`
	build.Files
}

// EdgeResult is one edge.
type EdgeResult struct {
	Label string `json:"label"`
	// Leaf is the name of its leaf, Place says where on it the edge is.
	Leaf  string `json:"leaf"`
	Place string `json:"place"`
	// Reads is what identify takes when it seats.
	Reads      string     `json:"reads"`
	Threads    []string   `json:"threads"`
	Weight     float64    `json:"weight"`
	PitchMM    float64    `json:"pitch_mm"`
	ModelledMM float64    `json:"modelled_pitch_mm"`
	FlanksDeg  [2]float64 `json:"flanks_deg"`
	Teeth      int        `json:"teeth"`
	// Measured is what the finished file holds.
	Measured check.EdgeFound `json:"measured"`
}

// LeafResult is one leaf.
type LeafResult struct {
	Name     string  `json:"name"`
	LengthMM float64 `json:"length_mm"`
	WidthMM  float64 `json:"width_mm"`
	// ArmMM is the length of an arm, SoleMM the height of the layer that is drawn back.
	ArmMM       float64          `json:"arm_mm"`
	ThicknessMM float64          `json:"thickness_mm"`
	SoleMM      float64          `json:"sole_mm"`
	Mesh        build.MeshResult `json:"mesh"`
}

// advice says how to print the leaves and how to look; common practice, no published source.
func (p Plan) advice() []string {
	out := []string{
		"Print it flat, words up, at 100 %, the slicer's own compensation of the first layer off: layers then do not touch the profile.",
		"Lay an edge into clean grooves, the handle at the free end or the mouth, hold its first teeth home, and look against the light: the right one seats all along. It tells pitch and form; not size, hand, starts or taper.",
	}
	for _, e := range p.Edges {
		if !e.Threads[0].Form.Symmetric() {
			out = append(out, "The flanks of "+e.Label+" are unlike: where it does not seat, lay it with the handle the other way.")
		}
	}
	if !p.InBore && p.Side == "" {
		out = append(out, "Its arms do not go into the bores of all these threads: it is for threads outside.")
	}
	return out
}

// nameOf is what the files are called when nothing else is said: "leaf-" with what the first edges say.
func (p Plan) nameOf() string {
	name := "leaf"
	for _, e := range p.Edges[:min(2, len(p.Edges))] {
		name += "-" + whole.FileName(e.Label)
	}
	return name
}

// JobName is what the leaves for a side of a job are called when nothing else is said, FileOf where what is told of them then lies.
func JobName(r job.Ring, side string) string {
	if r.Name == "" {
		return "leaf-" + side
	}
	return r.Name + "-leaf-" + side
}

// FileOf is the JSON file of the leaves for a side of a job.
func FileOf(r job.Ring, side string) string {
	return path.Join(cmp.Or(r.Out, build.DefaultOut), JobName(r, side)+".json")
}

// Make makes the leaves, each as STL and 3MF, and NAME.json. Errors are those of build.Set.Make.
func (p Plan) Make(ctx context.Context, store whole.Store) (Result, error) {
	r := p.result()
	set := build.Set{Name: p.Name}
	findings := make([][]check.Finding, len(p.Leaves))
	edge := 0
	for k, l := range p.Leaves {
		first := edge
		var labels []string
		for i, e := range l.Edges {
			labels = append(labels, e.Label)
			r.Edges[first+i].Leaf = r.Leaves[k].Name
		}
		edge += len(l.Edges)
		set.Parts = append(set.Parts, build.Part{
			Name: r.Leaves[k].Name, Title: ring.Engraved + " leaf " + strings.Join(labels, ", "),
			Mesh: func(context.Context) (*mesh.Mesh, error) { return mesh.Slab(l.Slab) },
			Judge: func(s build.Solid) (err error) {
				r.Leaves[k].Mesh = s.Result(0)
				for i := range l.Edges {
					r.Edges[first+i].Measured = check.MeasureEdge(s.Mesh, l, i)
				}
				findings[k], err = s.CheckLeaf(l, p.Printer)
				return err
			},
		})
	}
	set.Manifest = func(f build.Files) any {
		r.Files, r.Checks = f, slices.Concat(findings...)
		for k, l := range r.Leaves {
			r.Cost = r.Cost.Plus(p.Printer.Costs(l.Mesh.VolumeMM3, p.Leaves[k].ThicknessMM))
		}
		return r
	}
	_, err := set.Make(ctx, store, nil)
	return r, err
}

// result is what is told of the plan before it is made.
func (p Plan) result() Result {
	r := Result{
		Name: p.Name, Caution: check.Cautions(p.Threads...), Threads: designations(p.Threads), Side: p.Side, InBore: p.InBore, Printer: p.Printer.Name, Advice: p.advice(),
		Decides: append([]string{}, p.Decides...), Undecided: append([]string{}, p.Undecided...), LeftOut: append([]string{}, p.LeftOut...),
	}
	if p.Length > 0 {
		r.ThreadMM = new(unit.RoundMM(p.Length))
	}
	for k, l := range p.Leaves {
		name := p.Name
		if len(p.Leaves) > 1 {
			name += fmt.Sprintf("-%d", k+1)
		}
		r.Leaves = append(r.Leaves, LeafResult{
			Name: name, LengthMM: unit.Round(l.LengthMM), WidthMM: unit.Round(l.WidthMM), ArmMM: unit.Round(l.ArmMM),
			ThicknessMM: unit.Round(l.ThicknessMM), SoleMM: unit.Round(l.SoleMM),
		})
	}
	for _, e := range p.Edges {
		r.Edges = append(r.Edges, EdgeResult{
			Label: e.Label, Place: e.Place, Threads: designations(e.Threads), Reads: reading.PitchText(e.Threads[0]), Weight: unit.Round(e.Weight), PitchMM: unit.RoundMM(e.Pitch), ModelledMM: unit.Round(e.ModelledMM),
			FlanksDeg: [2]float64{degrees(e.NearRad), degrees(e.FarRad)}, Teeth: e.Teeth,
		})
	}
	return r
}

func degrees(rad float64) float64 { return unit.Round(rad * 180 / math.Pi) }
