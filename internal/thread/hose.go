package thread

// This file holds the hose coupling thread NH (ASME B1.20.7).

import (
	"errors"
	"math"
	"sync"

	"tryring/internal/unit"
)

// NH are the hose coupling threads of ASME B1.20.7: the nipple is the external thread, the coupling the internal one.
type NH struct{}

var _ Sourced = NH{}

// FormNH is the form of hose coupling threads (ASME B1.20.7): 60 degree, height 3/4 H = 0.649519 P, flat crests and
// roots, the pitch line in the middle.
var FormNH = Form{FlankRad: 30 * math.Pi / 180, DepthPerPitch: 0.75 * sharp60}

// nhRow is a row of the table, in inches; nil where a limit is left open.
type nhRow struct {
	Size                string   `toml:"size"`
	TPI                 float64  `toml:"tpi"`
	NippleMajorMax      float64  `toml:"nipple_major_max"`
	NippleMajorMin      *float64 `toml:"nipple_major_min"`
	NipplePitchDiaMax   float64  `toml:"nipple_pitch_dia_max"`
	NipplePitchDiaMin   *float64 `toml:"nipple_pitch_dia_min"`
	NippleMinorMax      float64  `toml:"nipple_minor_max"`
	CouplingMinorMin    *float64 `toml:"coupling_minor_min"`
	CouplingMinorMax    *float64 `toml:"coupling_minor_max"`
	CouplingPitchDiaMin *float64 `toml:"coupling_pitch_dia_min"`
	CouplingPitchDiaMax *float64 `toml:"coupling_pitch_dia_max"`
	CouplingMajorMin    *float64 `toml:"coupling_major_min"`
	// Also lists other hose sizes with the same thread.
	Also []string `toml:"also"`
}

func (r nhRow) name() string         { return r.Size }
func (r nhRow) perInch() float64     { return r.TPI }
func (r nhRow) otherSizes() []string { return r.Also }

// basic returns the diameters of the largest nipple, which are those the standard starts from; the coupling is larger
// by the allowance.
func (r nhRow) basic() Diameters {
	return Diameters{unit.Inches(r.NippleMajorMax), unit.Inches(r.NipplePitchDiaMax), unit.Inches(r.NippleMinorMax)}
}

func (r nhRow) check(h TableHead) error {
	err := errors.Join(checkSize(r.Size, r.TPI), checkLengths(h, figure{"nipple_major_max", r.NippleMajorMax},
		figure{"nipple_pitch_dia_max", r.NipplePitchDiaMax}, figure{"nipple_minor_max", r.NippleMinorMax}))
	for _, s := range r.Also {
		err = errors.Join(err, checkSize(s, r.TPI))
	}
	if err != nil {
		return err
	}
	return errors.Join(
		checkOrder([]string{"nipple_major_max", "nipple_major_min", "nipple_pitch_dia_max", "nipple_pitch_dia_min", "nipple_minor_max"},
			&r.NippleMajorMax, r.NippleMajorMin, &r.NipplePitchDiaMax, r.NipplePitchDiaMin, &r.NippleMinorMax),
		checkOrder([]string{"coupling_major_min", "coupling_pitch_dia_max", "coupling_pitch_dia_min", "coupling_minor_max", "coupling_minor_min"},
			r.CouplingMajorMin, r.CouplingPitchDiaMax, r.CouplingPitchDiaMin, r.CouplingMinorMax, r.CouplingMinorMin),
		checkOrder([]string{"coupling_pitch_dia_min", "nipple_pitch_dia_max"}, r.CouplingPitchDiaMin, &r.NipplePitchDiaMax),
	)
}

var nh = sync.OnceValue(func() *table[nhRow] { return embedded[nhRow]("b1-20-7.toml") })

// Standard returns "ASME B1.20.7-1991".
func (NH) Standard() string { return nh().TableHead.name() }

// Series lists the series words of the family. It does not read the table.
func (NH) Series() []string { return []string{"NH"} }

// Source says where the figures of t are from.
func (NH) Source(Thread) string { return nh().source("") }

// Find understands "NH" sizes, with or without the threads in an inch. The hose sizes 1/2, 5/8 and 3/4 carry one thread
// and give one designation. NH has no classes.
func (f NH) Find(n Name) (Thread, bool, error) {
	return findWithoutClass("NH", nh(), n, f.thread)
}

func (f NH) thread(r nhRow) Thread {
	return Thread{
		Designation: r.Size + "-" + unit.Short(r.TPI) + " NH", Standard: f.Standard(), Series: "NH", Form: FormNH,
		Pitch: perInchPitch(r.TPI), Starts: 1, Hand: Right, Basic: r.basic(),
	}
}

// Threads lists the tabulated sizes.
func (f NH) Threads() []Thread { return threadsOf(nh().Rows, f.thread) }

// Limits returns the limits of size as published, to 0.0001 in, of the nipple (external) or the coupling (internal).
func (NH) Limits(t Thread, class string, external bool) (Limits, error) {
	r, err := rowWithoutClass("NH", nh().Rows, t, class)
	if err != nil {
		return Limits{}, err
	}
	in := nh().limit
	if external {
		return Limits{
			MajorMax: in(&r.NippleMajorMax), MajorMin: in(r.NippleMajorMin),
			PitchMax: in(&r.NipplePitchDiaMax), PitchMin: in(r.NipplePitchDiaMin),
			MinorMax: in(&r.NippleMinorMax),
		}, nil
	}
	return Limits{
		MajorMin: in(r.CouplingMajorMin),
		PitchMax: in(r.CouplingPitchDiaMax), PitchMin: in(r.CouplingPitchDiaMin),
		MinorMax: in(r.CouplingMinorMax), MinorMin: in(r.CouplingMinorMin),
	}, nil
}
