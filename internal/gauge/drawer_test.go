package gauge

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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
	listed, _, err := parseDrawer("list.csv", []byte(smallList))
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
	j, err := NewJob(p, nil)
	if err != nil {
		return nil, err
	}
	gauges, err := ResolveDrawer(listed, thread.NewTables(), j)
	if err != nil {
		return nil, err
	}
	if _, err := makeDrawer(context.Background(), Drawer{Title: "small", Gauges: gauges, Job: j}, &whole.Folder{Dir: dir, Update: true}); err != nil {
		return nil, err
	}
	return filesBelow(dir)
})

func makeDrawer(ctx context.Context, d Drawer, store whole.Store) (DrawerRun, error) {
	p, err := d.Plan()
	if err != nil {
		return DrawerRun{}, err
	}
	return p.Make(ctx, store)
}

// testDrawer is a drawer in a folder of the test's own.
type testDrawer struct {
	Drawer
	out   string
	force bool
}

func (d testDrawer) store() *whole.Folder {
	return &whole.Folder{Dir: d.out, Force: d.force, Update: true}
}

func (d testDrawer) Make(ctx context.Context) (DrawerRun, error) {
	return makeDrawer(ctx, d.Drawer, d.store())
}

// drawerOf is the drawer of a list, in a folder or, without one, in a new one.
func drawerOf(t *testing.T, list string, out string) testDrawer {
	t.Helper()
	listed, _, err := parseDrawer("list.csv", []byte(list))
	require.NoError(t, err)
	j := gaugeJob(t, "filament-0.4")
	if out == "" {
		out = filepath.Join(t.TempDir(), "out")
	}
	gauges, err := ResolveDrawer(listed, thread.NewTables(), j)
	require.NoError(t, err)
	return testDrawer{Drawer: Drawer{Title: "small", Gauges: gauges, Job: j}, out: out}
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
	files := allBytes(t, d.out)
	for _, g := range r.Gauges {
		require.NotNil(t, g.Measured)
		assert.Contains(t, files, "gauges/"+g.Name+".stl")
		assert.Contains(t, files, "gauges/"+g.Name+".3mf")
		assert.Contains(t, files["card.html"], g.Designation)
	}
	assert.Contains(t, files["card.html"], "tray 1, row 1, place 1")
	assert.Len(t, files, r.New)
	var told DrawerResult
	require.NoError(t, json.Unmarshal([]byte(files["drawer.json"]), &told))
	assert.JSONEq(t, asJSON(t, r.DrawerResult.Gauges), asJSON(t, told.Gauges))

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

	// A second run changes nothing.
	r, err = d.Make(t.Context())
	require.NoError(t, err)
	assert.Zero(t, r.New)
	assert.Equal(t, len(files), r.Kept)
	assert.Equal(t, files, allBytes(t, d.out))

	// The same drawer elsewhere has the same bytes.
	again, err := smallDrawer()
	require.NoError(t, err)
	assert.Equal(t, again, files)
}

func TestDrawerMakesOnlyWhatIsMissingOrChanged(t *testing.T) {
	d := drawerOf(t, smallList, "")
	_, err := d.Make(t.Context())
	require.NoError(t, err)
	out := d.out
	first := allBytes(t, out)

	// A file that is gone comes back, with its pair.
	require.NoError(t, os.Remove(filepath.Join(out, "gauges", "go-ring-M10x1.5-6g.stl")))
	r, err := d.Make(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 2, r.New)
	assert.Equal(t, first, allBytes(t, out))

	// A record of before trays were weighed has them made anew; their plastic counts beside that of the gauges.
	record := filepath.Join(out, DrawerRecord)
	text, err := os.ReadFile(record)
	require.NoError(t, err)
	bare := regexp.MustCompile(`("volume_mm3": )[0-9.]+(\s*}\s*])`).ReplaceAll(text, []byte("${1}0$2"))
	require.NotEqual(t, text, bare)
	require.NoError(t, os.WriteFile(record, bare, 0o644))
	r, err = d.Make(t.Context())
	require.NoError(t, err)
	assert.Equal(t, first, allBytes(t, out))
	solid := r.Trays[0].VolumeMM3
	for _, g := range r.Gauges {
		solid += g.Mesh.VolumeMM3
	}
	assert.Greater(t, r.Trays[0].VolumeMM3, 1000.0)
	assert.InDelta(t, solid/1000, r.Cm3, 0.02) // each plate and tray is rounded to 0.01

	// Another class is another gauge, another plate, tray and card; the rest stays.
	changed := drawerOf(t, strings.Replace(smallList, "6g", "4h", 1), out)
	r, err = changed.Make(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 2*2+1+2+1+1, r.New, "two gauges, plate, tray, card, record")
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
	mine := filepath.Join(d.out, "gauges", "go-ring-M10x1.5-6g.3mf")
	require.NoError(t, os.MkdirAll(filepath.Dir(mine), 0o755))
	require.NoError(t, os.WriteFile(mine, []byte("mine"), 0o600))
	_, err := d.Make(t.Context())
	require.ErrorIs(t, err, whole.ErrExists)
	text, err := os.ReadFile(mine)
	require.NoError(t, err)
	assert.Equal(t, "mine", string(text))
	d.force = true
	_, err = d.Make(t.Context())
	require.NoError(t, err)
	text, err = os.ReadFile(mine)
	require.NoError(t, err)
	assert.NotEqual(t, "mine", string(text))
}

// A run that is stopped in the middle leaves nothing; the next run ends with the same bytes.
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
			assert.NoDirExists(t, d.out)
			d.Progress = nil
			_, err = d.Make(t.Context())
			require.NoError(t, err)
			assert.Equal(t, want, allBytes(t, d.out))
		})
	}
}

// A gauge that a list has no more leaves the folder with it. What somebody changed stays.
func TestDrawerOfAShorterList(t *testing.T) {
	d := drawerOf(t, smallList, "")
	_, err := d.Make(t.Context())
	require.NoError(t, err)
	mine := filepath.Join(d.out, "gauges", "go-plug-1-4-20-UNC-2B.3mf")
	require.NoError(t, os.WriteFile(mine, []byte("mine"), 0o600))
	shorter := drawerOf(t, strings.Replace(smallList, "1/4-20 UNC,plug,go,2B\n", "", 1), d.out)
	_, err = shorter.Make(t.Context())
	require.NoError(t, err)
	elsewhere := drawerOf(t, strings.Replace(smallList, "1/4-20 UNC,plug,go,2B\n", "", 1), "")
	_, err = elsewhere.Make(t.Context())
	require.NoError(t, err)
	want := allBytes(t, elsewhere.out)
	want["gauges/go-plug-1-4-20-UNC-2B.3mf"] = "mine"
	assert.Equal(t, want, allBytes(t, d.out))
}

// The drawer of one list is not replaced by that of another; with force it is, and leaves nothing behind.
func TestDrawerOfAnotherList(t *testing.T) {
	d := drawerOf(t, smallList, "")
	_, err := d.Make(t.Context())
	require.NoError(t, err)
	first := allBytes(t, d.out)

	other := drawerOf(t, "thread,kind\nM16,plug\n", d.out)
	for _, title := range []string{"other", "small"} {
		other.Title = title
		_, err = other.Make(t.Context())
		require.ErrorIs(t, err, ErrOtherDrawer, title)
		require.ErrorIs(t, err, whole.ErrExists)
		require.ErrorContains(t, err, "drawer.json")
		require.ErrorContains(t, err, "small")
		assert.Equal(t, first, allBytes(t, d.out))
	}
	same := drawerOf(t, smallList, d.out)
	same.Title = "other"
	_, err = same.Make(t.Context())
	require.ErrorIs(t, err, ErrOtherDrawer, "the same gauges under another title")

	other.force = true
	_, err = other.Make(t.Context())
	require.NoError(t, err)
	elsewhere := drawerOf(t, "thread,kind\nM16,plug\n", "")
	_, err = elsewhere.Make(t.Context())
	require.NoError(t, err)
	assert.Equal(t, allBytes(t, elsewhere.out), allBytes(t, d.out))
}

// fullDisk lets so many bytes through in all, and then says what a full disk says.
type fullDisk struct {
	*whole.Folder
	left atomic.Int64
}

func (f *fullDisk) Add(name string, encode func(io.Writer) error) error {
	return f.Folder.Add(name, func(w io.Writer) error { return encode(fullWriter{f, w}) })
}

type fullWriter struct {
	disk *fullDisk
	to   io.Writer
}

func (f fullWriter) Write(b []byte) (int, error) {
	if f.disk.left.Add(-int64(len(b))) < 0 {
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
			disk := &fullDisk{Folder: d.store()}
			disk.left.Store(room)
			_, err := makeDrawer(t.Context(), d.Drawer, disk)
			require.ErrorIs(t, err, syscall.ENOSPC)
			assert.NoDirExists(t, d.out)
			_, err = d.Make(t.Context())
			require.NoError(t, err)
			assert.Equal(t, want, allBytes(t, d.out))
		})
	}
}

func TestDrawerFolderWithoutRights(t *testing.T) {
	d := drawerOf(t, smallList, "")
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	d.out = filepath.Join(file, "below")
	_, err := d.Make(t.Context())
	assert.ErrorContains(t, err, "output folder")

	if os.Getuid() == 0 {
		t.Log("not tried as root, whom rights do not stop")
		return
	}
	d.out = t.TempDir()
	require.NoError(t, os.Chmod(d.out, 0o500))
	_, err = d.Make(t.Context())
	require.ErrorIs(t, err, os.ErrPermission)
	assert.Empty(t, filesIn(t, d.out))
}

func TestDrawerBadRecord(t *testing.T) {
	d := drawerOf(t, smallList, "")
	_, err := d.Make(t.Context())
	require.NoError(t, err)
	record := filepath.Join(d.out, "drawer.json")
	for _, text := range []string{`{"made":[{"na`, `{"digests":7}`, `{}`} {
		require.NoError(t, os.WriteFile(record, []byte(text), 0o600))
		_, err := d.Make(t.Context())
		require.ErrorIs(t, err, whole.ErrExists)
		left, err := os.ReadFile(record)
		require.NoError(t, err)
		assert.Equal(t, text, string(left), "it is left as it was")
	}
	// A record that was cut by hand has the gauge without figures made again.
	want, err := smallDrawer()
	require.NoError(t, err)
	var cut DrawerResult
	require.NoError(t, json.Unmarshal([]byte(want["drawer.json"]), &cut))
	cut.Gauges = cut.Gauges[1:]
	text, err := json.Marshal(cut)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(record, text, 0o600))
	r, err := d.Make(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 2+1, r.New, "the gauge and the record")
	assert.Equal(t, want, allBytes(t, d.out))
}

func TestDrawerThatDoesNotFit(t *testing.T) {
	d := drawerOf(t, "thread\nM10\n", "")
	d.Job.Printer.BedX = 30
	check := func() error { _, err := d.Plan(); return err }
	assert.ErrorContains(t, check(), "mm across")
	d.Job.Printer.BedX, d.Job.Printer.BedZ = 180, 5
	assert.ErrorContains(t, check(), "tall")
	d.Gauges = nil
	assert.ErrorContains(t, check(), "no gauge")
}
