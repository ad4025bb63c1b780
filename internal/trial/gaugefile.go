package trial

// This file takes a gauge of a drawer for a ring that is tried: it has one thread, and belongs to no job.

import (
	"context"
	"path/filepath"

	"tryring/internal/build"
	"tryring/internal/datafile"
	"tryring/internal/fault"
	"tryring/internal/gauge"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

// mostDrawer is the most bytes of a drawer's record: 2000 lines with two gauges each of some kilobytes.
const mostDrawer = 64 << 20

// LoadGauge reads the gauge at path, which is the folder of its drawer and its name there: as a ring, the side of it that meets a
// thread, and the printer that made it as far as its size is known.
func LoadGauge(ctx context.Context, path string) (r build.Result, side string, p printer.Profile, err error) {
	folder, name := filepath.Split(path)
	d, err := gauge.OpenDrawer(folder, func(name string) ([]byte, error) { return datafile.Text(ctx, name, mostDrawer) })
	if err != nil {
		return r, "", p, err
	}
	for _, g := range d.Gauges {
		if g.Name != name || g.Limit != ring.Go {
			continue
		}
		// Its wanted size is what was printed, uncertain as the record says: nothing is added any more.
		u := unit.MM(g.Decision.UMM / sure)
		p = printer.Profile{Name: d.Printer, OutsideU: u, InsideU: u}
		r.Name = g.Name
		of := &r.Inner
		if side = innerSide; g.Kind == ring.PlugGauge {
			side, of = outerSide, &r.Outer
		}
		of.Designation, of.Modelled, of.ZMM = g.Designation, g.Wanted, g.ZMM
		return r, side, p, nil
	}
	return r, "", p, fault.At("", path, "the drawer in %s names no such go gauge", folder)
}
