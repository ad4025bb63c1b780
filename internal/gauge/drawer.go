package gauge

// This file makes a drawer of gauges: every gauge, plates that fill the printer's bed, trays, the card, and the record that
// lets a second run make only what is missing or changed.

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// The names of a drawer's files: its record, its card, and the folder with the single gauges.
const (
	drawerName  = "drawer"
	cardFile    = "card.html"
	gaugeFolder = "gauges/"
)

// ErrOtherDrawer says that the drawer of another list is there. It is a whole.ErrExists.
var ErrOtherDrawer = fmt.Errorf("the drawer of another list %w", whole.ErrExists)

// Drawer is a drawer asked for.
type Drawer struct {
	// Title names the drawer on its card.
	Title  string
	Gauges []Asked
	Job    Job
	// Progress is told after each gauge, tray and plate; it may be nil.
	Progress build.Progress
}

// PlannedDrawer is a drawer that can be made.
type PlannedDrawer struct {
	Drawer
	plates [][]build.Placed
	trays  []ring.Tray
	// places says where each gauge lies; noTray names those that lie nowhere.
	places, noTray []string
}

// Plan lays the gauges out on plates and in trays. It fails when a gauge does not fit the printer's bed.
func (d Drawer) Plan() (PlannedDrawer, error) {
	p := PlannedDrawer{Drawer: d, places: make([]string, len(d.Gauges)), noTray: []string{}}
	if len(d.Gauges) == 0 {
		return p, errors.New("the drawer is empty; its list names no gauge")
	}
	standing, wells := make([]build.Standing, len(d.Gauges)), make([]ring.Well, len(d.Gauges))
	for i, a := range d.Gauges {
		standing[i] = build.Standing{Name: a.Label, Shape: a.Shape}
		judged := ring.Judged(a.Thread, a.Class)
		wells[i] = ring.Well{Label: []string{strings.TrimSuffix(a.Label, " "+judged), judged}, AcrossMM: build.Across(a.Shape)}
	}
	var err error
	if p.plates, err = build.Lay(standing, d.Job.Printer, true); err != nil {
		return p, err
	}
	var leftOut []int
	if p.trays, leftOut, err = ring.PlanTrays(wells, d.Job.Printer); err != nil { // in the list's order: pairs side by side
		return p, err
	}
	for k, t := range p.trays {
		for _, w := range t.Wells {
			p.places[w.Index] = fmt.Sprintf("tray %d, row %d, place %d", k+1, w.Row, w.Column)
		}
	}
	for _, i := range leftOut {
		p.places[i] = "no tray"
		p.noTray = append(p.noTray, d.Gauges[i].Name)
	}
	return p, nil
}

// Make makes the drawer. What an earlier run made of the same list is kept where the store keeps it. Errors are those of
// build.Set.Make, and ErrOtherDrawer.
func (p PlannedDrawer) Make(ctx context.Context, store whole.Store) (DrawerRun, error) {
	out := DrawerResult{
		Caution: []string{check.Caution}, Title: p.Title, Printer: p.Job.Printer.Name,
		Gauges: make([]Result, len(p.Gauges)), NoTray: p.noTray,
	}
	set := build.Set{Name: drawerName, Bed: p.Job.Printer}
	for i, a := range p.Gauges {
		part := a.Part(&out.Gauges[i])
		part.Name, part.Key = gaugeFolder+a.Name, keyOf("gauge", a)
		set.Parts = append(set.Parts, part)
	}
	set.Plates = p.layPlates(set.Parts, &out)
	set.Parts = append(set.Parts, p.layTrays(&out)...)
	for _, part := range set.Parts {
		out.Made = append(out.Made, MadeFrom{part.Name, part.Key})
	}
	for _, plate := range set.Plates {
		out.Made = append(out.Made, MadeFrom{plate.Name, plate.Key})
	}
	set.Sheets = []build.Sheet{cardSheet(cardFile, draw.CardData{Title: p.Title, Printer: p.Job.Printer, Gauges: gaugesOf(p.Gauges), Places: p.places})}
	set.Earlier = func(record io.Reader) (map[string]string, error) { return p.earlier(record, &out) }
	set.Manifest = func(f build.Files) any {
		out.Digests = f.Digests
		for _, g := range out.Gauges {
			if !g.Decision.Resolves {
				out.Unresolved++
			}
		}
		out.Cost = p.cost(out)
		return out
	}
	made, err := set.Make(ctx, store, p.Progress)
	return DrawerRun{DrawerResult: out, Folder: store.Path(""), New: made.New, Kept: made.Kept, Foreseen: p.Job.Foreseen}, err
}

// cost is that of all plates and trays.
func (p PlannedDrawer) cost(d DrawerResult) (all printer.Cost) {
	for _, places := range p.plates {
		volume, height := 0.0, 0.0
		for _, at := range places {
			volume += d.Gauges[at.Part].Mesh.VolumeMM3
			height = max(height, p.Gauges[at.Part].Height.MM())
		}
		all = all.Plus(p.Job.Printer.Costs(volume, height))
	}
	for k, t := range p.trays {
		all = all.Plus(p.Job.Printer.Costs(d.Trays[k].VolumeMM3, t.ThicknessMM))
	}
	return all
}

// earlier reads the record of an earlier run: the keys of what may be kept, and the figures of its gauges and trays.
func (p PlannedDrawer) earlier(record io.Reader, out *DrawerResult) (map[string]string, error) {
	var was DrawerResult
	if err := json.NewDecoder(record).Decode(&was); err != nil {
		return nil, fmt.Errorf("%w; it is no record of a drawer: move it away", err)
	}
	figures, keys := map[string]Result{}, map[string]string{}
	for _, g := range was.Gauges {
		figures[g.Name] = g
	}
	for _, m := range was.Made {
		keys[m.Name] = m.Key
	}
	common := 0
	for i, a := range p.Gauges {
		if g, ok := figures[a.Name]; ok {
			out.Gauges[i] = g
			common++
		} else {
			delete(keys, gaugeFolder+a.Name)
		}
	}
	for k := range out.Trays {
		if k < len(was.Trays) && was.Trays[k].VolumeMM3 > 0 {
			out.Trays[k].VolumeMM3 = was.Trays[k].VolumeMM3
		} else {
			delete(keys, trayName(k))
		}
	}
	if was.Title != p.Title || common == 0 {
		return nil, fmt.Errorf("%w: %s, %s", ErrOtherDrawer, was.Title, unit.Counted(len(was.Gauges), "gauge"))
	}
	return keys, nil
}

// layPlates are the plates of the gauges, which are the first of the parts.
func (p PlannedDrawer) layPlates(parts []build.Part, out *DrawerResult) []build.Plate {
	var plates []build.Plate
	for k, places := range p.plates {
		name := fmt.Sprintf("plate-%02d", k+1)
		told, madeFrom := build.PlateResult{File: name + ".3mf"}, []any{"plate", p.Title}
		for _, at := range places {
			a := p.Gauges[at.Part]
			told.Parts = append(told.Parts, build.PlatePart{Name: a.Name, Label: a.Label, XMM: unit.Round(at.X), YMM: unit.Round(at.Y)})
			madeFrom = append(madeFrom, parts[at.Part].Key, at.X, at.Y)
		}
		out.Plates = append(out.Plates, told)
		plates = append(plates, build.Plate{Name: name, Title: ring.Engraved + " " + p.Title + " " + name, Places: places, Key: keyOf(madeFrom...)})
	}
	return plates
}

// layTrays are the trays as parts.
func (p PlannedDrawer) layTrays(out *DrawerResult) []build.Part {
	var parts []build.Part
	out.Trays = make([]TrayResult, len(p.trays))
	for k, t := range p.trays {
		name := trayName(k)
		out.Trays[k].File = name + ".3mf"
		for _, w := range t.Wells {
			out.Trays[k].Wells = append(out.Trays[k].Wells, TrayWell{Name: p.Gauges[w.Index].Name, Row: w.Row, Column: w.Column})
		}
		parts = append(parts, build.Part{
			Name: name, Title: ring.Engraved + " " + name, Key: keyOf("tray", t),
			Mesh: func(context.Context) (*mesh.Mesh, error) { return mesh.Slab(t.Slab) },
			Judge: func(s build.Solid) error {
				out.Trays[k].VolumeMM3 = unit.Round(s.Soundness.VolumeMM3)
				return s.Measures([3]float64{t.WidthMM, t.DepthMM, t.ThicknessMM})
			},
		})
	}
	return parts
}

// trayName names a tray, counted from 0.
func trayName(k int) string { return fmt.Sprintf("tray-%02d", k+1) }

// drawerMaker is part of every key. It changes when the same gauges would be made into other bytes, so that old drawers are
// made anew.
const drawerMaker = "2"

// keyOf is the hash of what files are made from.
func keyOf(what ...any) string {
	h := sha256.New()
	if err := json.NewEncoder(h).Encode(append([]any{drawerMaker}, what...)); err != nil {
		panic(err) // plans are plain finite numbers and words
	}
	return hex.EncodeToString(h.Sum(nil))
}

// Findings are the warnings of a whole drawer.
func (d DrawerRun) Findings() (out []check.Finding) {
	if d.Unresolved > 0 {
		out = append(out, check.Finding{ID: decisionCheck, Level: check.Warn, Text: fmt.Sprintf(
			"This printer cannot resolve the tolerance of %d of the %d gauges: no part is proved good by those (ISO 14253-1). The card says which.", d.Unresolved, len(d.Gauges))})
	}
	if len(d.NoTray) > 0 {
		out = append(out, check.Finding{ID: "tray", Level: check.Warn, Text: "No tray on this bed has a well wide enough, label and all, for " + strings.Join(d.NoTray, ", ") + "."})
	}
	return out
}
