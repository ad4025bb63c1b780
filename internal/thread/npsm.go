package thread

// This file holds the straight pipe thread for free-fitting mechanical joints NPSM (ASME B1.20.1).

import (
	"errors"
	"sync"

	"tryring/internal/unit"
)

// NPSM are the straight pipe threads for free-fitting mechanical joints of ASME B1.20.1.
type NPSM struct{}

var _ Sourced = NPSM{}

// npsmRow is a row of the table of limits, in inches.
type npsmRow struct {
	Size           string  `toml:"size"`
	TPI            float64 `toml:"tpi"`
	Allowance      float64 `toml:"allowance"`
	ExtMajorMax    float64 `toml:"ext_major_max"`
	ExtMajorMin    float64 `toml:"ext_major_min"`
	ExtPitchDiaMax float64 `toml:"ext_pitch_dia_max"`
	ExtPitchDiaMin float64 `toml:"ext_pitch_dia_min"`
	IntMinorMin    float64 `toml:"int_minor_min"`
	IntMinorMax    float64 `toml:"int_minor_max"`
	IntPitchDiaMin float64 `toml:"int_pitch_dia_min"`
	IntPitchDiaMax float64 `toml:"int_pitch_dia_max"`
}

func (r npsmRow) name() string         { return r.Size }
func (r npsmRow) perInch() float64     { return r.TPI }
func (r npsmRow) otherSizes() []string { return nil }

// basic returns the basic diameters: the pitch diameter is the internal thread's least one, which is E1 of the NPT size;
// major and minor follow from the 60 degree form with 5/8 H between them, as the published limits do: the major
// diameter 3/4 H = 0.649519 P above the pitch diameter, the minor diameter H/2 = 0.433013 P below.
func (r npsmRow) basic() Diameters { return basic60(r.IntPitchDiaMin, r.TPI) }

func (r npsmRow) check(h TableHead) error {
	err := errors.Join(checkSize(r.Size, r.TPI), checkLengths(h, figure{"allowance", r.Allowance},
		figure{"ext_major_max", r.ExtMajorMax}, figure{"ext_major_min", r.ExtMajorMin},
		figure{"ext_pitch_dia_max", r.ExtPitchDiaMax}, figure{"ext_pitch_dia_min", r.ExtPitchDiaMin},
		figure{"int_minor_min", r.IntMinorMin}, figure{"int_minor_max", r.IntMinorMax},
		figure{"int_pitch_dia_min", r.IntPitchDiaMin}, figure{"int_pitch_dia_max", r.IntPitchDiaMax}))
	if err != nil {
		return err
	}
	return errors.Join(
		checkOrder([]string{"ext_major_max", "ext_major_min", "ext_pitch_dia_max", "ext_pitch_dia_min"},
			&r.ExtMajorMax, &r.ExtMajorMin, &r.ExtPitchDiaMax, &r.ExtPitchDiaMin),
		checkOrder([]string{"int_pitch_dia_max", "int_pitch_dia_min", "int_minor_max", "int_minor_min"},
			&r.IntPitchDiaMax, &r.IntPitchDiaMin, &r.IntMinorMax, &r.IntMinorMin),
		checkOrder([]string{"int_pitch_dia_min", "ext_pitch_dia_max"}, &r.IntPitchDiaMin, &r.ExtPitchDiaMax),
	)
}

// formNPSM is the 60 degree form whose open roots are as taps and dies for pipe cut them: 0.033 P short of the sharp corner, the
// crest truncation of ASME B1.20.1 for NPT (from memory).
var formNPSM = Form{FlankRad: Form60.FlankRad, DepthPerPitch: Form60.DepthPerPitch, OpenRootPerPitch: sharp60/2 - 0.033}

// sharp60 is H, the height of the sharp 60 degree triangle, as a multiple of the pitch (ASME B1.1, ISO 68-1).
const sharp60 = 0.866025403784439

// basic60 returns the basic diameters of a 60 degree thread with pitch diameter d2 in inches.
func basic60(d2, tpi float64) Diameters {
	h := sharp60 / tpi
	return Diameters{unit.Inches(d2 + 3*h/4), unit.Inches(d2), unit.Inches(d2 - h/2)}
}

var npsm = sync.OnceValue(func() *table[npsmRow] { return embedded[npsmRow]("b1-20-1-npsm.toml") })

// Standard returns "ASME B1.20.1-2013".
func (NPSM) Standard() string { return npsm().TableHead.name() }

// Series lists the series words of the family. It does not read the table.
func (NPSM) Series() []string { return []string{"NPSM"} }

// Source says where the figures of t are from.
func (NPSM) Source(Thread) string { return npsm().source("") }

// Find understands "NPSM" sizes, with or without the threads in an inch. NPSM has no classes.
func (f NPSM) Find(n Name) (Thread, bool, error) {
	return findWithoutClass("NPSM", npsm(), n, f.thread)
}

func (f NPSM) thread(r npsmRow) Thread {
	return Thread{
		Designation: r.Size + "-" + unit.Short(r.TPI) + " NPSM", Standard: f.Standard(), Series: "NPSM", Form: formNPSM,
		Pitch: perInchPitch(r.TPI), Starts: 1, Hand: Right, Basic: r.basic(),
	}
}

// Threads lists the tabulated sizes.
func (f NPSM) Threads() []Thread { return threadsOf(npsm().Rows, f.thread) }

// Limits returns the limits of size as published: pitch diameters to 0.0001 in, crests to 0.001 in, roots left open.
func (NPSM) Limits(t Thread, class string, external bool) (Limits, error) {
	r, err := rowWithoutClass("NPSM", npsm().Rows, t, class)
	if err != nil {
		return Limits{}, err
	}
	in := npsm().limit
	if external {
		return Limits{
			MajorMax: in(&r.ExtMajorMax), MajorMin: in(&r.ExtMajorMin),
			PitchMax: in(&r.ExtPitchDiaMax), PitchMin: in(&r.ExtPitchDiaMin),
		}, nil
	}
	return Limits{
		PitchMax: in(&r.IntPitchDiaMax), PitchMin: in(&r.IntPitchDiaMin),
		MinorMax: in(&r.IntMinorMax), MinorMin: in(&r.IntMinorMin),
	}, nil
}
