package gauge

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/whole"
)

// mixedDrawer is a drawer of 200 gauges, rings and plugs, go and no-go, of inch, metric, pipe and hose threads from 6 to 60 mm.
func mixedDrawer(b *testing.B) Drawer {
	b.Helper()
	all, err := printer.Load("")
	if err != nil {
		b.Fatal(err)
	}
	p, err := all.Find("filament-0.4")
	if err != nil {
		b.Fatal(err)
	}
	j, err := NewJob(p, nil)
	if err != nil {
		b.Fatal(err)
	}
	tables := thread.NewTables()
	var threads []thread.Thread
	for _, t := range thread.BuiltIn().All() {
		if t.Taper == 0 && t.Basic.Major >= 6 && t.Basic.Major <= 60 && t.Pitch >= 1 {
			threads = append(threads, t)
		}
	}
	d := Drawer{Title: "mixed", Job: j}
	const wanted = 200
	for i := 0; len(d.Gauges) < wanted; i++ {
		t := threads[i*len(threads)/(wanted/2)%len(threads)]
		kind := []string{"ring", "plug"}[i%2]
		pair, err := Gauge{Thread: t.Designation, Kind: kind}.Resolve(tables, j)
		if err != nil {
			// Too small to print, without limits, or a thread of the other kind of part only.
			if strings.Contains(err.Error(), "small") || strings.Contains(err.Error(), "tolerance: missing") || strings.Contains(err.Error(), "gauge judges") {
				continue
			}
			b.Fatal(err)
		}
		d.Gauges = append(d.Gauges, pair...)
	}
	return d
}

func BenchmarkDrawer200(b *testing.B) {
	dir := b.TempDir()
	var made DrawerRun
	n := 0
	for b.Loop() {
		n++
		var err error
		if made, err = makeDrawer(b.Context(), mixedDrawer(b), &whole.Folder{Dir: filepath.Join(dir, fmt.Sprint(n)), Update: true}); err != nil {
			b.Fatal(err)
		}
	}
	var bytes int64
	if err := filepath.WalkDir(made.Folder, func(_ string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			var info os.FileInfo
			if info, err = e.Info(); err == nil {
				bytes += info.Size()
			}
		}
		return err
	}); err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(bytes)/1e6, "MB")
	b.ReportMetric(float64(len(made.Plates)), "plates")
	b.ReportMetric(float64(len(made.Trays)), "trays")
}

// A second run only looks.
func BenchmarkDrawer200Again(b *testing.B) {
	d, dir := mixedDrawer(b), b.TempDir()
	if _, err := makeDrawer(b.Context(), d, &whole.Folder{Dir: dir, Update: true}); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		r, err := makeDrawer(b.Context(), d, &whole.Folder{Dir: dir, Update: true})
		if err != nil {
			b.Fatal(err)
		}
		if r.New != 0 {
			b.Fatalf("%d files were made again", r.New)
		}
	}
}
