package thread

// This file holds the taper pipe thread NPT (ASME B1.20.1), with the formulas that its table follows.

import (
	"errors"
	"fmt"
	"sync"

	"tryring/internal/unit"
)

// NPT are the taper pipe threads of ASME B1.20.1, external and internal.
type NPT struct{}

var (
	_ TaperFamily = NPT{}
	_ Sourced     = NPT{}
)

// nptRow is a row of the table of basic dimensions, in inches.
type nptRow struct {
	Size       string  `toml:"size"`
	TPI        float64 `toml:"tpi"`
	OutsideDia float64 `toml:"outside_dia"`
	E1         float64 `toml:"e1"`
	L1         float64 `toml:"l1"`
	L2         float64 `toml:"l2"`
	// Basis is set where the row rests on something else than its table.
	Basis string `toml:"basis"`
}

func (r nptRow) name() string         { return r.Size }
func (r nptRow) perInch() float64     { return r.TPI }
func (r nptRow) otherSizes() []string { return nil }

// basic returns the diameters in the gauge plane. The pitch line halves the height 0.8 P, so crest and root lie 0.8 P
// outside and inside it on the diameter.
func (r nptRow) basic() Diameters {
	h := FormNPT.DepthPerPitch / r.TPI
	return Diameters{unit.Inches(r.E1 + h), unit.Inches(r.E1), unit.Inches(r.E1 - h)}
}

func (r nptRow) check(h TableHead) error {
	err := errors.Join(checkSize(r.Size, r.TPI), checkLengths(h, figure{"outside_dia", r.OutsideDia}, figure{"e1", r.E1},
		figure{"l1", r.L1}, figure{"l2", r.L2}))
	if err != nil {
		return err
	}
	if r.Basis != "" && r.Basis != FromMemory {
		return fmt.Errorf("basis = %q, must be %q or left out", r.Basis, FromMemory)
	}
	return errors.Join(checkOrder([]string{"outside_dia", "e1"}, &r.OutsideDia, &r.E1), checkOrder([]string{"l2", "l1"}, &r.L2, &r.L1))
}

// nptE0 returns the pitch diameter at the small end of the external thread, E0 = D - (0.05 D + 1.1) P
// (ASME B1.20.1, formulas for diameter and length), for pipe of outside diameter d; any one unit.
func nptE0(d, pitch float64) float64 { return d - (0.05*d+1.1)*pitch }

// nptE1 returns the pitch diameter in the gauge plane, E1 = E0 + 0.0625 L1 (ASME B1.20.1, same place).
func nptE1(e0, l1 float64) float64 { return e0 + l1/16 }

// nptL2 returns the length of effective external thread, L2 = (0.80 D + 6.8) P (ASME B1.20.1, same place).
func nptL2(d, pitch float64) float64 { return (0.80*d + 6.8) * pitch }

var npt = sync.OnceValue(func() *table[nptRow] { return embedded[nptRow]("b1-20-1-npt.toml") })

// Standard returns "ASME B1.20.1-2013".
func (NPT) Standard() string { return npt().TableHead.name() }

// Series lists the series words of the family. It does not read the table.
func (NPT) Series() []string { return []string{"NPT"} }

// Source says where the figures of t are from.
func (NPT) Source(t Thread) string {
	r, err := rowOf("NPT", npt().Rows, t)
	if err != nil {
		return ""
	}
	return npt().source(r.Basis)
}

// Find understands "NPT" sizes, with or without the threads in an inch. NPT has no classes.
func (f NPT) Find(n Name) (Thread, bool, error) {
	return findWithoutClass("NPT", npt(), n, f.thread)
}

func (f NPT) thread(r nptRow) Thread {
	return Thread{
		Designation: r.Size + "-" + unit.Short(r.TPI) + " NPT", Standard: f.Standard(), Series: "NPT", Form: FormNPT,
		Pitch: perInchPitch(r.TPI), Starts: 1, Hand: Right, Taper: npt().TableHead.Taper,
		Basic: r.basic(), GaugeLength: unit.Inches(r.L1),
	}
}

// Threads lists the tabulated sizes.
func (f NPT) Threads() []Thread { return threadsOf(npt().Rows, f.thread) }

// Taper returns L1, the effective thread L2 and the place of the gauge plane: one turn either way on both threads
// (ASME B1.20.1, gauging tolerances; from memory).
func (NPT) Taper(t Thread) (TaperLengths, error) {
	r, err := rowOf("NPT", npt().Rows, t)
	if err != nil {
		return TaperLengths{}, err
	}
	turn := perInchPitch(r.TPI)
	return TaperLengths{Gauge: unit.Inches(r.L1), ExternalTol: turn, InternalTol: turn, Useful: unit.Inches(r.L2)}, nil
}

// Limits leaves all diameters open: ASME B1.20.1 holds a taper thread by the place of its gauge plane, see Taper.
func (NPT) Limits(t Thread, class string, _ bool) (Limits, error) {
	if _, err := rowOf("NPT", npt().Rows, t); err != nil {
		return Limits{}, err
	}
	return Limits{}, noClass(Name{Class: class}, t.Designation)
}
