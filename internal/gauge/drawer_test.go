package gauge

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/build"
	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/whole"
)

const smallList = "thread,kind,limit,class\nM10,ring,,6g\n1/4-20 UNC,plug,go,2B\n"

// smallDrawer is every file of a drawer of smallList, by path.
var smallDrawer = sync.OnceValues(func() (map[string]string, error) {
	dir, err := os.MkdirTemp("", "drawer")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	listed, err := ParseDrawer("list.csv", []byte(smallList))
	if err != nil {
		return nil, err
	}
	all, err := printer.Load("")
	if err != nil {
		return nil, err
	}
	p, err := all.Find("filament-0.4")
	if err != nil {
		return nil, err
	}
	j, err := NewJob(p, nil, dir)
	if err != nil {
		return nil, err
	}
	gauges, err := ResolveDrawer(listed, thread.NewTables(), j)
	if err != nil {
		return nil, err
	}
	if _, err := (Drawer{Title: "small", Gauges: gauges, Job: j}).Make(context.Background()); err != nil {
		return nil, err
	}
	return filesBelow(dir)
})

func drawerOf(t *testing.T, list string, out string) Drawer {
	t.Helper()
	listed, err := ParseDrawer("list.csv", []byte(list))
	require.NoError(t, err)
	j := gaugeJob(t, "filament-0.4")
	if out != "" {
		j.Out = out
	}
	gauges, err := ResolveDrawer(listed, thread.NewTables(), j)
	require.NoError(t, err)
	return Drawer{Title: "small", Gauges: gauges, Job: j}
}

// allBytes are the contents of every file under a folder, by path.
func allBytes(t *testing.T, dir string) map[string]string {
	t.Helper()
	all, err := filesBelow(dir)
	require.NoError(t, err)
	return all
}

func filesBelow(dir string) (map[string]string, error) {
	all := map[string]string{}
	return all, filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		b, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, path)
		all[filepath.ToSlash(rel)] = string(b)
		return err
	})
}

func TestDrawer(t *testing.T) {
	d := drawerOf(t, smallList, "")
	var last, total int
	d.Progress = func(done, of int) { last, total = done, of }
	r, err := d.Make(t.Context())
	require.NoError(t, err)
	assert.Equal(t, total, last, "the bar comes to its end")
	require.Len(t, r.Gauges, 3)
	assert.Equal(t, "go-ring-M10x1.5-6g", r.Gauges[0].Name)
	files := allBytes(t, d.Job.Out)
	for _, g := range r.Gauges {
		require.NotNil(t, g.Measured)
		assert.Contains(t, files, "gauges/"+g.Name+".stl")
		assert.Contains(t, files, "gauges/"+g.Name+".3mf")
		assert.Contains(t, files["card.html"], g.Designation)
	}
	assert.Contains(t, files["card.html"], "tray 1, row 1, place 1")
	assert.Len(t, files, r.New+1, "and the record")
	var told DrawerResult
	require.NoError(t, json.Unmarshal([]byte(files[drawerRecord]), &told))
	assert.Equal(t, r.DrawerResult.Gauges, told.Gauges)

	// Every gauge lies on a plate and in a well, once.
	onPlates, inWells := map[string]int{}, map[string]int{}
	for _, p := range r.Plates {
		for _, part := range p.Parts {
			onPlates[part.Name]++
		}
	}
	for _, tray := range r.Trays {
		for _, w := range tray.Wells {
			inWells[w.Name]++
		}
	}
	for _, g := range r.Gauges {
		assert.Equal(t, 1, onPlates[g.Name], g.Name)
		assert.Equal(t, 1, inWells[g.Name], g.Name)
	}
	var said bytes.Buffer
	require.NoError(t, r.WriteText(&said, build.Plain))
	assert.Contains(t, said.String(), "3 gauges on 1 plate, 1 tray, in")

	// A second run changes nothing.
	r, err = d.Make(t.Context())
	require.NoError(t, err)
	assert.Zero(t, r.New)
	assert.Equal(t, len(files)-1, r.Kept)
	assert.Equal(t, files, allBytes(t, d.Job.Out))

	// The same drawer elsewhere has the same bytes.
	again, err := smallDrawer()
	require.NoError(t, err)
	assert.Equal(t, again, files)
}

func TestDrawerMakesOnlyWhatIsMissingOrChanged(t *testing.T) {
	d := drawerOf(t, smallList, "")
	_, err := d.Make(t.Context())
	require.NoError(t, err)
	out := d.Job.Out
	first := allBytes(t, out)

	// A file that is gone comes back, with its pair.
	require.NoError(t, os.Remove(filepath.Join(out, "gauges", "go-ring-M10x1.5-6g.stl")))
	r, err := d.Make(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 2, r.New)
	assert.Equal(t, first, allBytes(t, out))

	// Another class is another gauge, another plate, tray and card; the rest stays.
	changed := drawerOf(t, strings.Replace(smallList, "6g", "4h", 1), out)
	r, err = changed.Make(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 2*2+1+2+1, r.New, "two gauges, plate, tray, card")
	assert.Equal(t, 2, r.Kept)

	// Another printer changes everything that is the drawer's own, in place; trays for the same line width stay.
	for i := range changed.Gauges {
		spec := changed.Gauges[i].GaugeSpec
		spec.Printer.InsideTakes += 0.1
		spec.Printer.OutsideAdds += 0.1
		changed.Gauges[i].Gauge, err = ring.NewGauge(spec)
		require.NoError(t, err)
	}
	r, err = changed.Make(t.Context())
	require.NoError(t, err)
	assert.GreaterOrEqual(t, r.New, 3*2+1, "all gauges and their plate")
}

func TestDrawerKeepsWhatIsNotItsOwn(t *testing.T) {
	d := drawerOf(t, smallList, "")
	mine := filepath.Join(d.Job.Out, "gauges", "go-ring-M10x1.5-6g.3mf")
	require.NoError(t, os.MkdirAll(filepath.Dir(mine), 0o755))
	require.NoError(t, os.WriteFile(mine, []byte("mine"), 0o600))
	_, err := d.Make(t.Context())
	require.ErrorIs(t, err, whole.ErrExists)
	text, err := os.ReadFile(mine)
	require.NoError(t, err)
	assert.Equal(t, "mine", string(text))
	d.Force = true
	_, err = d.Make(t.Context())
	require.NoError(t, err)
	text, err = os.ReadFile(mine)
	require.NoError(t, err)
	assert.NotEqual(t, "mine", string(text))
}

// wholeFilesOnly fails for unfinished files, and for gauges' files that cannot be read.
func wholeFilesOnly(t *testing.T, dir string) (files int) {
	t.Helper()
	for path := range allBytes(t, dir) {
		assert.NotContains(t, filepath.Base(path), ".part-", "an unfinished file is left")
		full := filepath.Join(dir, path)
		switch filepath.Ext(path) {
		case ".stl":
			m, err := mesh.LoadSTL(full)
			require.NoError(t, err, path)
			assert.True(t, mesh.Audit(m).Sound(), path)
		case ".3mf":
			_, _, err := mesh.Decode3MF(full)
			require.NoError(t, err, path)
		}
		files++
	}
	return files
}

// A run that is stopped in the middle leaves whole files and a record; the next run goes on and ends with the same bytes.
func TestDrawerStoppedInTheMiddle(t *testing.T) {
	want, err := smallDrawer()
	require.NoError(t, err)

	for _, after := range []int{1, 4} { // among the gauges, before the plates
		t.Run(fmt.Sprint(after), func(t *testing.T) {
			d := drawerOf(t, smallList, "")
			ctx, cancel := context.WithCancel(t.Context())
			d.Progress = func(done, _ int) {
				if done == after {
					cancel()
				}
			}
			_, err := d.Make(ctx)
			require.ErrorIs(t, err, context.Canceled)
			assert.ErrorContains(t, err, "goes on from there")
			left := wholeFilesOnly(t, d.Job.Out)
			assert.Positive(t, left)
			assert.Less(t, left, len(want))

			d.Progress = nil
			r, err := d.Make(t.Context())
			require.NoError(t, err)
			assert.GreaterOrEqual(t, r.Kept, 2*after, "what was whole is not made again")
			assert.Equal(t, want, allBytes(t, d.Job.Out))
		})
	}
}

// A run that is killed writes no record. Its whole files are found to be the same, and its leavings do no harm.
func TestDrawerKilled(t *testing.T) {
	d := drawerOf(t, smallList, "")
	_, err := d.Make(t.Context())
	require.NoError(t, err)
	want := allBytes(t, d.Job.Out)
	require.NoError(t, os.Remove(filepath.Join(d.Job.Out, drawerRecord)))
	require.NoError(t, os.Remove(filepath.Join(d.Job.Out, "card.html")))
	const leaving = "gauges/.part-1-0"
	require.NoError(t, os.WriteFile(filepath.Join(d.Job.Out, leaving), []byte("half"), 0o600))
	_, err = d.Make(t.Context())
	require.NoError(t, err)
	want[leaving] = "half"
	assert.Equal(t, want, allBytes(t, d.Job.Out))
}

// fullDisk lets so many bytes through in all, and then says what a full disk says.
type fullDisk struct {
	left *atomic.Int64
	to   io.Writer
}

func (f fullDisk) Write(b []byte) (int, error) {
	if f.left.Add(-int64(len(b))) < 0 {
		return 0, syscall.ENOSPC
	}
	return f.to.Write(b)
}

func TestDrawerOnAFullDisk(t *testing.T) {
	want, err := smallDrawer()
	require.NoError(t, err)
	for _, room := range []int64{1000, 1_500_000} {
		t.Run(fmt.Sprint(room), func(t *testing.T) {
			d := drawerOf(t, smallList, "")
			var left atomic.Int64
			left.Store(room)
			d.disk = func(w io.Writer) io.Writer { return fullDisk{&left, w} }
			_, err := d.Make(t.Context())
			require.ErrorIs(t, err, syscall.ENOSPC)
			wholeFilesOnly(t, d.Job.Out)
			d.disk = nil
			_, err = d.Make(t.Context())
			require.NoError(t, err)
			assert.Equal(t, want, allBytes(t, d.Job.Out))
		})
	}
}

func TestDrawerFolderWithoutRights(t *testing.T) {
	d := drawerOf(t, smallList, "")
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	d.Job.Out = filepath.Join(file, "below")
	_, err := d.Make(t.Context())
	assert.ErrorContains(t, err, "output folder")

	if os.Getuid() == 0 {
		t.Log("not tried as root, whom rights do not stop")
		return
	}
	d.Job.Out = t.TempDir()
	require.NoError(t, os.Chmod(d.Job.Out, 0o500))
	_, err = d.Make(t.Context())
	require.ErrorIs(t, err, os.ErrPermission)
	assert.Empty(t, filesIn(t, d.Job.Out))
}

func TestDrawerBadRecord(t *testing.T) {
	d := drawerOf(t, smallList, "")
	require.NoError(t, os.MkdirAll(d.Job.Out, 0o755))
	record := filepath.Join(d.Job.Out, drawerRecord)
	require.NoError(t, os.WriteFile(record, []byte(`{"made":[{"na`), 0o600))
	_, err := d.Make(t.Context())
	assert.ErrorContains(t, err, "no record of a drawer")
	text, err := os.ReadFile(record)
	require.NoError(t, err)
	assert.Equal(t, `{"made":[{"na`, string(text), "it is left as it was")
}

// The proof of a plate finds what it is there to find.
func TestProveDrawerPlate(t *testing.T) {
	d := drawerOf(t, smallList, "")
	r := &drawerRun{Drawer: d}
	m, err := d.Gauges[0].build()
	require.NoError(t, err)
	open := &mesh.Mesh{Vertices: m.Vertices, Faces: m.Faces[1:]}
	at := func(name string, m *mesh.Mesh, x, y float64) mesh.Object {
		return mesh.Object{Name: name, Mesh: m, X: x, Y: y}
	}
	tests := []struct {
		name    string
		objects []mesh.Object
		says    string
	}{
		{"good", []mesh.Object{at("a", m, 40, 40), at("b", m, 100, 40)}, ""},
		{"overlap", []mesh.Object{at("a", m, 40, 40), at("b", m, 60, 45)}, "overlap"},
		{"past the left edge", []mesh.Object{at("a", m, 5, 40)}, "past the bed"},
		{"past the far edge", []mesh.Object{at("a", m, 40, 175)}, "past the bed"},
		{"open", []mesh.Object{at("a", open, 40, 40)}, "not sound"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "p.3mf")
			require.NoError(t, whole.Write(path, false, func(w io.Writer) error { return mesh.Encode3MF(w, tt.objects, mesh.Meta{}) }))
			err := r.provePlate(path, tt.objects)
			if tt.says == "" {
				require.NoError(t, err)
				require.ErrorIs(t, r.provePlate(path, tt.objects[:1]), build.ErrNotProved, "one too many")
				renamed := []mesh.Object{at("a", m, 40, 40), at("c", m, 100, 40)}
				require.ErrorIs(t, r.provePlate(path, renamed), build.ErrNotProved)
				return
			}
			require.ErrorIs(t, err, build.ErrNotProved)
			assert.ErrorContains(t, err, tt.says)
		})
	}
}

func TestDrawerThatDoesNotFit(t *testing.T) {
	d := drawerOf(t, "thread\nM10\n", "")
	d.Job.Printer.BedX = 30
	assert.ErrorContains(t, d.Check(), "mm across")
	d.Job.Printer.BedX, d.Job.Printer.BedZ = 180, 5
	assert.ErrorContains(t, d.Check(), "tall")
	d.Gauges = nil
	assert.ErrorContains(t, d.Check(), "no gauge")
}
