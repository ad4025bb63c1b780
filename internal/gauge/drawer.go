package gauge

// This file makes a drawer of gauges: every gauge, plates that fill the printer's bed, trays, the card, and the record that
// lets a second run make only what is missing or changed.

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

// drawerRecord is the record's file name.
const drawerRecord = "drawer.json"

// DrawerResult is a drawer as it is told and as it stands in its record, drawer.json. Paths in it are relative to the
// drawer's folder, so that the folder may be moved.
type DrawerResult struct {
	Caution []string `json:"caution"`
	Title   string   `json:"title"`
	Printer string   `json:"printer"`
	// Gauges are in the order of the list.
	Gauges []Result `json:"gauges"`
	// Unresolved counts the gauges whose tolerance the printer cannot resolve.
	Unresolved int           `json:"unresolved"`
	Plates     []DrawerPlate `json:"plates"`
	Trays      []TrayResult  `json:"trays"`
	// NoTray names the gauges whose well is larger than the printer's bed.
	NoTray []string `json:"no_tray"`
	// Made are the groups of files, each with the hash of what it was made from.
	Made []madeFiles `json:"made"`
}

// DrawerRun is a finished drawer with what the run did.
type DrawerRun struct {
	DrawerResult
	Folder string `json:"folder"`
	// New and Kept count the files that were written and those that were there already.
	New  int `json:"new_files"`
	Kept int `json:"kept_files"`
}

// DrawerPlate is one plate as it was made.
type DrawerPlate struct {
	File  string       `json:"file"`
	Parts []DrawerPart `json:"parts"`
}

// DrawerPart is one gauge on a plate; its axis in the bed's own x and y.
type DrawerPart struct {
	Name  string  `json:"name"`
	Label string  `json:"label"`
	XMM   float64 `json:"x_mm"`
	YMM   float64 `json:"y_mm"`
}

// TrayResult is one tray as it was made.
type TrayResult struct {
	File  string     `json:"file"`
	Wells []TrayWell `json:"wells"`
}

// TrayWell is one well of a tray; rows and columns count from the front left.
type TrayWell struct {
	Name   string `json:"name"`
	Row    int    `json:"row"`
	Column int    `json:"column"`
}

// Drawer is a drawer asked for.
type Drawer struct {
	// Title names the drawer on its card.
	Title  string
	Gauges []Asked
	Job    Job
	// Force makes everything anew, and replaces files that are not this drawer's own.
	Force bool
	// Progress is told each time a group of files is done or found; it may be nil. It is called by one goroutine at a time.
	Progress func(done, total int)

	// disk stands between the encoders and the files; nil but in tests.
	disk func(io.Writer) io.Writer
}

// drawerRun is a drawer in the making.
type drawerRun struct {
	Drawer
	// before is what the record of an earlier run says is there, made what this run has made or found, both by name.
	before, made map[string]madeFiles
	lock         sync.Mutex
	// total counts the groups, written and kept their files, unrecorded the files since the record was last written.
	total, written, kept, unrecorded int
}

// recordEvery is after how many new files the record is written anew, so that a run that is killed loses little.
const recordEvery = 50

// Make makes the drawer in its folder on all cores. When ctx ends, files under way are finished or removed, the record
// tells what is there, and the error is that of ctx; the same call goes on from there.
//
// Gauges are proved like those of Make; plates are read back too: every object sound and the mesh of its gauge, no
// two overlapping, all on the bed. A file that is not this drawer's own is replaced only with Force.
func (d Drawer) Make(ctx context.Context) (DrawerRun, error) {
	plan, err := d.plan()
	if err != nil {
		return DrawerRun{}, err
	}
	if err := makeFolder(filepath.Join(d.Job.Out, gaugeFolder)); err != nil {
		return DrawerRun{}, err
	}
	before, err := readRecord(d.Job.Out)
	if err != nil {
		return DrawerRun{}, err
	}
	r := &drawerRun{Drawer: d, before: before, made: map[string]madeFiles{}, total: len(d.Gauges) + len(plan.plates) + len(plan.trays) + 1}
	result, err := r.make(ctx, plan)
	if err != nil {
		// What is whole stays, and the record says so. A record that cannot be written is the same trouble once more.
		_ = r.writeRecord(r.partial())
		if ctx.Err() != nil {
			return DrawerRun{}, fmt.Errorf("stopped with %d of %d gauges, plates, trays and cards made; the same command goes on from there: %w", len(r.made), r.total, ctx.Err())
		}
		return DrawerRun{}, err
	}
	if err := r.writeRecord(result); err != nil {
		return DrawerRun{}, err
	}
	return DrawerRun{DrawerResult: result, Folder: d.Job.Out, New: r.written, Kept: r.kept}, nil
}

// Check says whether the drawer can be made: that every gauge fits the printer's bed. Make asks the same.
func (d Drawer) Check() error {
	_, err := d.plan()
	return err
}

// drawerPlan is everything about a drawer but the meshes.
type drawerPlan struct {
	keys   []string // of the gauges
	plates [][]build.Placed
	trays  []ring.Tray
	// places says where each gauge lies; noTray names those that lie nowhere.
	places, noTray []string
}

// plan lays the gauges out on plates and trays.
func (d Drawer) plan() (drawerPlan, error) {
	if len(d.Gauges) == 0 {
		return drawerPlan{}, errors.New("the drawer is empty; its list names no gauge")
	}
	var p drawerPlan
	var err error
	for _, a := range d.Gauges {
		p.keys = append(p.keys, keyOf("gauge", a))
	}
	if p.plates, err = d.layPlates(); err != nil {
		return p, err
	}
	if p.trays, p.places, p.noTray, err = d.layTrays(); err != nil {
		return p, err
	}
	return p, nil
}

// make makes all there is, gauges first.
func (r *drawerRun) make(ctx context.Context, p drawerPlan) (DrawerResult, error) {
	out := r.partial()
	out.Gauges, out.NoTray = make([]Result, len(r.Gauges)), p.noTray
	if err := onAllCores(ctx, len(r.Gauges), func(i int) (err error) {
		out.Gauges[i], err = r.gauge(r.Gauges[i], p.keys[i])
		return err
	}); err != nil {
		return out, err
	}
	for _, g := range out.Gauges {
		if !g.Decision.Resolves {
			out.Unresolved++
		}
	}
	var err error
	if out.Trays, err = r.trays(ctx, p); err != nil {
		return out, err
	}
	if out.Plates, err = r.plates(ctx, p); err != nil {
		return out, err
	}
	card := draw.CardData{Title: r.Title, Printer: r.Job.Printer, Gauges: gaugesOf(r.Gauges), Places: p.places}
	var page bytes.Buffer
	if err := draw.Card(&page, card); err != nil {
		return out, err
	}
	_, err = r.group(madeFiles{Name: "card", Key: keyOf("card", page.String())}, []groupFile{
		{cardFile, func(w io.Writer) error {
			_, err := w.Write(page.Bytes())
			return err
		}},
	}, nil)
	if err != nil {
		return out, err
	}
	clear(r.before) // what this run has not come to is no part of the drawer any more
	out.Made = r.allMade()
	return out, nil
}

// onAllCores does n pieces of work; the first error, or the end of ctx, stops those that have not begun.
func onAllCores(ctx context.Context, n int, do func(i int) error) error {
	work, ctx := errgroup.WithContext(ctx)
	work.SetLimit(runtime.GOMAXPROCS(0))
	for i := range n {
		work.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			return do(i)
		})
	}
	return work.Wait()
}

// cardFile is the card's name, gaugeFolder that of the folder with the single gauges.
const (
	cardFile    = "card.html"
	gaugeFolder = "gauges"
)

// gauge makes the files of one gauge, or finds them.
func (r *drawerRun) gauge(a Asked, key string) (Result, error) {
	built := sync.OnceValues(a.build) // only when it is needed
	encode := func(how func(io.Writer, *mesh.Mesh) error) func(io.Writer) error {
		return func(w io.Writer) error {
			m, err := built()
			if err != nil {
				return err
			}
			return how(w, m)
		}
	}
	var told *Result
	made, err := r.group(madeFiles{Name: a.Name, Key: key}, []groupFile{
		{gaugeFolder + "/" + a.Name + ".stl", encode(a.encodeSTL)},
		{gaugeFolder + "/" + a.Name + ".3mf", encode(a.encode3MF)},
	}, func(g *madeFiles, paths []string) error {
		m, err := built()
		if err != nil {
			return err
		}
		result, err := a.prove(paths[0], paths[1], m)
		g.gauge = &result
		return err
	})
	if err != nil {
		return Result{}, build.Named(a.Name, err)
	}
	if told = made.gauge; told == nil { // whole files without their figures: a record that was cut by hand
		return Result{}, fmt.Errorf("%s: the record %s has no figures of it; remove the record and run again", a.Name, drawerRecord)
	}
	return *told, nil
}

// partial is the record of a run that has not come to its end: gauges with their figures, and all files.
func (r *drawerRun) partial() DrawerResult {
	out := DrawerResult{
		Caution: []string{check.Caution}, Title: r.Title, Printer: r.Job.Printer.Name,
		Gauges: []Result{}, Plates: []DrawerPlate{}, Trays: []TrayResult{}, NoTray: []string{},
	}
	out.Made = r.allMade()
	for _, g := range out.Made {
		if g.gauge != nil {
			out.Gauges = append(out.Gauges, *g.gauge)
		}
	}
	return out
}

// WriteText tells the run to a person.
func (d DrawerRun) WriteText(w io.Writer, paint build.Paint) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Drawer %s: %s on %s, %s, in %s.\n", d.Title, unit.Counted(len(d.Gauges), "gauge"), unit.Counted(len(d.Plates), "plate"), unit.Counted(len(d.Trays), "tray"), d.Folder)
	fmt.Fprintf(&b, "  %d files were made, %d were there already and stayed.\n", d.New, d.Kept)
	if d.Printer == printer.Unnamed().Name {
		b.WriteString("  No printer named: the models have the wanted sizes, nothing is compensated.\n")
	} else {
		fmt.Fprintf(&b, "  Compensated for the printer %s.\n", d.Printer)
	}
	var findings []check.Finding
	if d.Unresolved > 0 {
		findings = append(findings, check.Finding{ID: decisionCheck, Level: check.Warn, Text: fmt.Sprintf(
			"This printer cannot resolve the tolerance of %d of the %d gauges: no part is proved good by those (ISO 14253-1). The card says which.", d.Unresolved, len(d.Gauges))})
	}
	if len(d.NoTray) > 0 {
		findings = append(findings, check.Finding{ID: "tray", Level: check.Warn, Text: "No tray on this bed has a well wide enough, label and all, for " + strings.Join(d.NoTray, ", ") + "."})
	}
	build.WriteChecks(&b, findings, paint)
	b.WriteString("\nFiles\n")
	fmt.Fprintf(&b, "  %s: the gauges one by one, .stl and .3mf\n", filepath.Join(d.Folder, gaugeFolder))
	for _, p := range d.Plates {
		fmt.Fprintf(&b, "  %s: %s\n", filepath.Join(d.Folder, p.File), unit.Counted(len(p.Parts), "gauge"))
	}
	for _, t := range d.Trays {
		fmt.Fprintf(&b, "  %s and .stl: %s\n", filepath.Join(d.Folder, t.File), unit.Counted(len(t.Wells), "well"))
	}
	fmt.Fprintf(&b, "  %s: the index card, to print\n  %s: the record\n\n", filepath.Join(d.Folder, cardFile), filepath.Join(d.Folder, drawerRecord))
	for _, c := range d.Caution {
		fmt.Fprintf(&b, "%s\n", c)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
