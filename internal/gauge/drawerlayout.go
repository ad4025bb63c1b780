package gauge

// This file lays a drawer's gauges on plates and into trays, and makes and proves both.

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"sync"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/mesh"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

// layPlates lays the gauges on the printer's bed, the largest first, so that rows fill.
func (d Drawer) layPlates() ([][]build.Placed, error) {
	p := d.Job.Printer
	order := make([]int, len(d.Gauges))
	sizes := make([]float64, len(d.Gauges))
	var faults []error
	for i, a := range d.Gauges {
		order[i], sizes[i] = i, math.Ceil(build.Across(a.Shape)*10)/10
		if free := min(p.BedX, p.BedY).MM() - 2*build.BedMarginMM; sizes[i] > free {
			faults = append(faults, fmt.Errorf("%s is %.1f mm across; the bed of printer %s leaves %.0f mm", a.Label, sizes[i], p.Name, free))
		}
		if a.Height > p.BedZ {
			faults = append(faults, fmt.Errorf("%s is %s tall; printer %s reaches %s", a.Label, a.Height.TextMM(), p.Name, p.BedZ.TextMM()))
		}
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(sizes[j], sizes[i]) })
	sorted := make([]float64, len(order))
	for k, i := range order {
		sorted[k] = sizes[i]
	}
	plates, err := build.Shelves(sorted, p)
	for _, plate := range plates {
		for k := range plate {
			plate[k].Part = order[plate[k].Part]
		}
	}
	return plates, err
}

// layTrays gives each gauge a well, in the order of the list so that pairs lie side by side, and says where it is.
func (d Drawer) layTrays() (trays []ring.Tray, places, noTray []string, err error) {
	wells := make([]ring.Well, len(d.Gauges))
	for i, a := range d.Gauges {
		judged := ring.Judged(a.Thread, a.Class)
		wells[i] = ring.Well{Label: []string{strings.TrimSuffix(a.Label, " "+judged), judged}, AcrossMM: build.Across(a.Shape)}
	}
	trays, leftOut, err := ring.PlanTrays(wells, d.Job.Printer)
	if err != nil {
		return nil, nil, nil, err
	}
	places, noTray = make([]string, len(d.Gauges)), []string{}
	for k, t := range trays {
		for _, w := range t.Wells {
			places[w.Index] = fmt.Sprintf("tray %d, row %d, place %d", k+1, w.Row, w.Column)
		}
	}
	for _, i := range leftOut {
		places[i] = "no tray"
		noTray = append(noTray, d.Gauges[i].Name)
	}
	return trays, places, noTray, nil
}

// trays makes the trays, or finds them.
func (r *drawerRun) trays(ctx context.Context, p drawerPlan) ([]TrayResult, error) {
	out := make([]TrayResult, len(p.trays))
	return out, onAllCores(ctx, len(p.trays), func(k int) error {
		name := fmt.Sprintf("tray-%02d", k+1)
		out[k].File = name + ".3mf"
		for _, w := range p.trays[k].Wells {
			out[k].Wells = append(out[k].Wells, TrayWell{Name: r.Gauges[w.Index].Name, Row: w.Row, Column: w.Column})
		}
		return build.Named(name, r.tray(name, p.trays[k]))
	})
}

// tray makes one tray, or finds it.
func (r *drawerRun) tray(name string, t ring.Tray) error {
	built := sync.OnceValues(func() (*mesh.Mesh, error) { return mesh.Tray(t) }) // only when it is needed
	title := ring.Engraved + " " + name
	_, err := r.group(madeFiles{Name: name, Key: keyOf("tray", t)}, []groupFile{
		{name + ".stl", func(w io.Writer) error {
			m, err := built()
			if err != nil {
				return err
			}
			return mesh.EncodeSTL(w, m, "mm "+title)
		}},
		{name + ".3mf", func(w io.Writer) error {
			m, err := built()
			if err != nil {
				return err
			}
			return mesh.Encode3MF(w, []mesh.Object{{Name: name, Mesh: m}}, mesh.Meta{Title: title, Description: check.Caution})
		}},
	}, func(_ *madeFiles, paths []string) error {
		m, err := built()
		if err != nil {
			return err
		}
		return errors.Join(proveTray(paths[0], t), build.ProveCopy(paths[1], m))
	})
	return err
}

// proveTray reads the STL file of a tray back: it must be sound, one part, and no larger than planned.
func proveTray(path string, t ring.Tray) error {
	m, err := mesh.LoadSTL(path)
	if err != nil {
		return fmt.Errorf("reading back: %w", err)
	}
	s := mesh.Audit(m)
	if !s.Sound() || s.Shells != 1 {
		return fmt.Errorf("%w: it is not one sound part: %+v", build.ErrNotProved, s)
	}
	for axis, size := range []float64{t.WidthMM, t.DepthMM, t.ThicknessMM} {
		if got := s.BoundsMM[1][axis] - s.BoundsMM[0][axis]; math.Abs(got-size) > check.SizeTolMM {
			return fmt.Errorf("%w: it measures %.3f mm where %.3f mm was planned", build.ErrNotProved, got, size)
		}
	}
	return nil
}

// plates makes the plates, or finds them.
func (r *drawerRun) plates(ctx context.Context, p drawerPlan) ([]DrawerPlate, error) {
	out := make([]DrawerPlate, len(p.plates))
	return out, onAllCores(ctx, len(p.plates), func(k int) error {
		name := fmt.Sprintf("plate-%02d", k+1)
		out[k].File = name + ".3mf"
		inputs := []any{"plate", r.Title}
		for _, at := range p.plates[k] {
			a := r.Gauges[at.Part]
			out[k].Parts = append(out[k].Parts, DrawerPart{Name: a.Name, Label: a.Label, XMM: unit.Round(at.X), YMM: unit.Round(at.Y)})
			inputs = append(inputs, p.keys[at.Part], at.X, at.Y)
		}
		return build.Named(out[k].File, r.plate(name, keyOf(inputs...), p.plates[k]))
	})
}

// plate makes one plate, or finds it.
func (r *drawerRun) plate(name, key string, plate []build.Placed) error {
	built := sync.OnceValues(func() ([]mesh.Object, error) { return r.objects(plate) }) // only when they are needed
	_, err := r.group(madeFiles{Name: name, Key: key}, []groupFile{
		{name + ".3mf", func(w io.Writer) error {
			objects, err := built()
			if err != nil {
				return err
			}
			return mesh.Encode3MF(w, objects, mesh.Meta{Title: ring.Engraved + " " + r.Title + " " + name, Description: check.Caution})
		}},
	}, func(_ *madeFiles, paths []string) error {
		objects, err := built()
		if err != nil {
			return err
		}
		return r.provePlate(paths[0], objects)
	})
	return err
}

// objects meshes the gauges of a plate and places them.
func (r *drawerRun) objects(plate []build.Placed) ([]mesh.Object, error) {
	var out []mesh.Object
	for _, at := range plate {
		m, err := r.Gauges[at.Part].build()
		if err != nil {
			return nil, err
		}
		out = append(out, mesh.Object{Name: r.Gauges[at.Part].Name, Mesh: m, X: at.X, Y: at.Y})
	}
	return out, nil
}

// provePlate reads a plate back: every object as it was written, sound, on the bed, and clear of all others.
func (r *drawerRun) provePlate(path string, wrote []mesh.Object) error {
	objects, _, err := mesh.Decode3MF(path)
	if err != nil {
		return fmt.Errorf("reading back: %w", err)
	}
	if len(objects) != len(wrote) {
		return fmt.Errorf("%w: it holds %d objects, %d were written", build.ErrNotProved, len(objects), len(wrote))
	}
	p := r.Job.Printer
	type box struct{ x0, y0, x1, y1 float64 }
	var boxes []box
	for i, o := range objects {
		if o.Name != wrote[i].Name || !slices.Equal(o.Mesh.Vertices, wrote[i].Mesh.Vertices) || !slices.Equal(o.Mesh.Faces, wrote[i].Mesh.Faces) {
			return fmt.Errorf("%w: object %q differs from what was written", build.ErrNotProved, o.Name)
		}
		s := mesh.Audit(o.Mesh)
		if !s.Sound() {
			return fmt.Errorf("%w: object %q is not sound", build.ErrNotProved, o.Name)
		}
		b := box{s.BoundsMM[0][0] + o.X, s.BoundsMM[0][1] + o.Y, s.BoundsMM[1][0] + o.X, s.BoundsMM[1][1] + o.Y}
		if b.x0 < 0 || b.y0 < 0 || b.x1 > p.BedX.MM() || b.y1 > p.BedY.MM() || s.BoundsMM[0][2] < 0 || s.BoundsMM[1][2] > p.BedZ.MM() {
			return fmt.Errorf("%w: object %q reaches past the bed of printer %s", build.ErrNotProved, o.Name, p.Name)
		}
		for j, c := range boxes {
			if b.x0 < c.x1 && c.x0 < b.x1 && b.y0 < c.y1 && c.y0 < b.y1 {
				return fmt.Errorf("%w: objects %q and %q overlap", build.ErrNotProved, objects[j].Name, o.Name)
			}
		}
		boxes = append(boxes, b)
	}
	return nil
}
