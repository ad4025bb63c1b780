package gauge

// This file makes a gauge, or a pair of them with their card.

import (
	"context"
	"fmt"
	"io"
	"math"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/mesh"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/whole"
)

// Make makes a pair of gauges, or one, each as STL and 3MF, and the card and the JSON of them all, called name. Errors are
// those of build.Set.Make.
func Make(ctx context.Context, store whole.Store, name string, asked []Asked, j Job) (SetResult, error) {
	out := SetResult{Caution: check.Cautions(asked[0].Thread), Printer: j.Printer.Name, Gauges: make([]Result, len(asked)), Foreseen: j.Foreseen}
	set := build.Set{Name: name}
	for i, a := range asked {
		set.Parts = append(set.Parts, a.Part(&out.Gauges[i]))
	}
	set.Sheets = []build.Sheet{cardSheet(name+".html", draw.CardData{Title: name, Printer: j.Printer, Gauges: gaugesOf(asked)})}
	set.Manifest = func(f build.Files) any {
		out.Files = f
		return out
	}
	_, err := set.Make(ctx, store, nil)
	return out, err
}

func cardSheet(name string, card draw.CardData) build.Sheet {
	return build.Sheet{Name: name, Write: func(w io.Writer) error { return draw.Card(w, card) }}
}

func gaugesOf(asked []Asked) []ring.Gauge {
	out := make([]ring.Gauge, len(asked))
	for i, a := range asked {
		out[i] = a.Gauge
	}
	return out
}

// Part is the gauge as a part of a set; what is found of it goes to r.
func (a Asked) Part(r *Result) build.Part {
	return build.Part{
		Name: a.Name, Title: ring.Engraved + " " + a.Label,
		Mesh: func(context.Context) (*mesh.Mesh, error) { return mesh.Helix{ChordMM: a.Chord.MM()}.Mesh(a.Shape) },
		Judge: func(s build.Solid) (err error) {
			*r, err = a.judge(s)
			return err
		},
	}
}

// judge measures the finished gauge: it must be as modelled.
func (a Asked) judge(s build.Solid) (Result, error) {
	r := newResult(a)
	r.Mesh = s.Result(a.Chord)
	r.Cost = a.Printer.Costs(r.Mesh.VolumeMM3, a.Height.MM())
	wanted := check.WantedPart(a.Thread, a.Modelled, a.Kind == ring.PlugGauge)
	wanted.TolMM = max(check.SizeTolMM, 2*a.Chord.MM())
	subject := check.Subject{Printer: a.Printer}
	if a.Kind == ring.RingGauge {
		subject.Inner = wanted
	} else {
		subject.Outer = wanted
	}
	found, findings, err := s.Check(subject, refZ(a.Thread, a.Shape.Inner), refZ(a.Thread, a.Shape.Outer))
	if r.Measured = found.Outer; a.Kind == ring.RingGauge {
		r.Measured = found.Inner
	}
	if r.Checks = findings; a.Gap == nil {
		r.Checks = append(r.Checks, a.checks()...)
	}
	return r, err
}

// refZ is the z at which the diameters of a gauge are stated: the gauge plane of a taper thread, the middle of a straight one.
func refZ(t thread.Thread, s ring.Surface) float64 {
	if t.Taper > 0 {
		return s.RefMM
	}
	return math.NaN()
}

// decisionCheck is the id of the finding on what a printed pair decides.
const decisionCheck = "decision"

// checks are the cautions that only a gauge has.
func (a Asked) checks() []check.Finding {
	d := a.Decision()
	level := check.OK
	if !d.Resolves {
		level = check.Warn
	}
	out := []check.Finding{{ID: decisionCheck, Level: level, Text: d.Words()}}
	if text := check.Undersides(a.Thread, a.Kind == ring.PlugGauge); text != "" {
		out = append(out, check.Finding{ID: "overhang", Level: check.Warn, Text: text})
	}
	if a.Thread.Pitch < a.Printer.MinPitch {
		out = append(out, check.Finding{ID: "pitch", Level: check.Warn, Text: fmt.Sprintf(
			"The pitch of %s is finer than the %s that this printer makes well: the gauge may decide nothing.", a.Thread.Pitch.TextMM(), a.Printer.MinPitch.TextMM())})
	}
	return append(out, check.Engraving(a.Shape.Flange, a.Printer)...)
}
