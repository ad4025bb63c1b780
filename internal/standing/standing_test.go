package standing_test

import (
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/gauge"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/standing"
	"tryring/internal/thread"
)

// What the jobs of these tests hold, a table each.
const (
	shoe      = "[[stays]]\nid = 1\nbore = \"45.75mm\"\n[[stays]]\nid = 2\nlook = 1\nleaf = \"14tpi\"\n"
	strainer  = "[[goes]]\nid = 3\noutside = \"1.62in\"\n[[goes]]\nid = 4\nlook = 3\ncount = \"17 over 1in\"\n"
	both      = "among = \"drain\"\nouter = \"1 7/8-14 UNS\"\ninner = \"1 5/8-16 UN\"\n"
	adapters  = "[[parts]]\nid = 5\nfile = \"adapters.csv\"\n"
	outerTry  = "[[tries]]\nid = 6\nside = \"outer\"\nthread = \"1 7/8-14 UNS\"\nmajor_mm = 47.4\npitch_diameter_mm = 46.2\nminor_mm = 45.2\nengaged_mm = 12.0\nprinter = \"filament-0.4\"\nu_mm = 0.1\nresult = \"goes\"\n"
	innerTry  = "[[tries]]\nid = 7\nside = \"inner\"\nthread = \"1 5/8-16 UN\"\nmajor_mm = 41.6\npitch_diameter_mm = 40.5\nminor_mm = 39.8\nengaged_mm = 12.0\nprinter = \"filament-0.4\"\nu_mm = 0.1\nresult = \"snug\"\n"
	ringMade  = `{"inner": {"designation": "1 5/8-16 UN"}, "outer": {"designation": "1 7/8-14 UNS"}}`
	halfInch  = "[[stays]]\nid = 1\nbore = \"18.7mm\"\n[[stays]]\nid = 2\nleaf = \"14tpi\"\n[[stays]]\nid = 8\ncount = \"15 over 1in\"\n"
	socket    = "[[stays]]\nid = 1\nbore = \"14.8mm\"\n[[stays]]\nid = 2\nleaf = \"19tpi\"\n[[stays]]\nid = 8\ncount = \"20 over 1in\"\n[[stays]]\nid = 9\nangle = \"55\"\n[[stays]]\nid = 10\ntapers = \"yes\"\n" // of a taper that could be read better
	outside   = "[[goes]]\nid = 3\noutside = \"47.4mm\"\n[[goes]]\nid = 4\ntpi = \"15±1.5\"\n"
	leafMade  = `{"threads": ["1 7/8-14 UNS", "1 7/8-16 UN"]}`
	otherRing = `{"inner": {"designation": "1 5/8-16 UN"}, "outer": {"designation": "1 7/8-16 UN"}}`
)

// files are what lies around a job.
type files map[string]string

func (f files) read(name string) ([]byte, error) {
	text, there := f[name]
	if !there {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return []byte(text), nil
}

// drawers are the folders with gauges.
func (f files) drawers() (folders []string) {
	for name := range f {
		if folder, is := strings.CutSuffix(name, "/"+gauge.DrawerRecord); is {
			folders = append(folders, folder)
		}
	}
	slices.Sort(folders)
	return folders
}

var tables = thread.NewTables()

func stand(t testing.TB, text string, around files) standing.Standing {
	t.Helper()
	d, err := job.Parse("tub.toml", []byte(text))
	require.NoError(t, err)
	s, err := standing.Of(d, standing.Around{Tables: tables, Printer: printer.Unnamed(), Drawers: around.drawers(), Read: around.read})
	require.NoError(t, err)
	return s
}

func list(t testing.TB) string {
	t.Helper()
	text, err := os.ReadFile("../../testdata/adapters.csv")
	require.NoError(t, err)
	return string(text)
}

// Each state of a job has one next step, the cheapest first.
func TestLadder(t *testing.T) {
	drawer := drawerOf(t, plug)
	made := files{"adapters.csv": list(t), "out/tub.json": ringMade}
	with := func(text, old, more string) string {
		require.Contains(t, text, old)
		return strings.Replace(text, old, more, 1)
	}
	all := both + shoe + strainer + adapters
	for _, c := range []struct {
		name, text string
		around     files
		action     standing.Action
		side, says string
	}{
		{"nothing yet", "version = 1\n", nil, standing.Read, job.Stays, "bore, crest to crest"},
		{"one side read", shoe, nil, standing.Read, job.Goes, "outside diameter"},
		{"a side that was named needs no reading", "outer = \"1 7/8-14 UNS\"\n" + strainer, nil, standing.Decide, job.Goes, "1 5/8-16 UN"},
		{"readings that scatter", shoe + with(strainer, "[[goes]]\nid = 4", "[[goes]]\nid = 9\noutside = \"1.75in\"\n[[goes]]\nid = 4"), nil, standing.Read, job.Goes, "again"},
		{"a bore and an outside of one thread", with(shoe, "[[stays]]\nid = 2", "[[stays]]\nid = 8\noutside = \"47.5mm\"\n[[stays]]\nid = 2"), nil, standing.TakeBack, job.Stays, "take entry 8 back"},
		{"an outside of what stays", "[[stays]]\nid = 1\noutside = \"47.5mm\"\n", nil, standing.TakeBack, job.Stays, "bore"},
		{"a side still open", "[[stays]]\nid = 1\nbore = \"45.9mm\"\n" + strainer, nil, standing.Read, job.Stays, "to tell"},
		{"a pitch that was read and is open still", open + strainer, nil, standing.MakeLeaf, job.Stays, "it tells 1 7/8-14 UNS from 1 7/8-16 UN"},
		{"its leaf was made", "name = \"tub\"\n" + open + strainer, files{"out/tub-leaf-stays.json": leafMade}, standing.Read, job.Stays, "lay the leaf of out/tub-leaf-stays.json on the fitting that stays"},
		{"a leaf for other threads was made", open + strainer, files{"out/leaf-stays.json": strings.Replace(leafMade, "16 UN", "18 UN", 1)}, standing.MakeLeaf, job.Stays, "print a leaf"},
		{"an outside whose pitch is open still", shoe + outside, nil, standing.MakeSheet, job.Goes, "lay its combs on the crests: it tells 1 7/8-16 UN from 1 7/8-14 UNS"},
		{"its page was made", shoe + outside, files{"out/sheet-goes.json": leafMade}, standing.Read, job.Goes, "lay the combs of the page of out/sheet-goes.json on the part that goes in"},
		{"its page was made in the job's folder", "out = \"mine\"\n" + shoe + outside, files{"mine/sheet-goes.json": leafMade}, standing.Read, job.Goes, "lay the combs of the page of mine/sheet-goes.json on the part that goes in"},
		{"too little thread for combs", shoe + outside + "[[goes]]\nid = 9\nlength = \"6mm\"\n", nil, standing.MakeLeaf, job.Goes, "print a leaf"},
		{"a leaf was laid on", open + "[[stays]]\nid = 9\nleaf = \"14tpi\"\n" + strainer, nil, standing.Decide, job.Stays, "take 1 7/8-14 UNS"},
		{"a leaf was laid on and told nothing", open + "[[stays]]\nid = 9\nleaf = \"15tpi\"\n" + strainer, nil, standing.Read, job.Stays, "to tell"},
		{"too little thread for a leaf", open + "[[stays]]\nid = 9\nlength = \"4mm\"\n" + strainer, nil, standing.Read, job.Stays, "to tell"},
		{"a gauge of the drawer is cheaper than a reading", open + strainer, files{"out/drawer.json": drawer}, standing.TryGauge, job.Stays, "GO PLUG"},
		{"a thread of no table", "[[stays]]\nid = 1\nbore = \"45.75mm\"\n[[stays]]\nid = 2\ntpi = \"22.3\"\n" + strainer, nil, standing.Read, job.Stays, "no table"},
		{"a thread of no table is likelier", "[[stays]]\nid = 1\nbore = \"44.2mm\"\n[[stays]]\nid = 2\npitch = \"10.4tpi\"\n" + strainer, nil, standing.Read, job.Stays, "no table"},
		{"no reading tells, a ring does", socket + strainer, nil, standing.Print, job.Stays, "it tells Rc 3/8 from G 3/8"},
		{"a reading of the one side is cheaper than a ring for the other", socket + "[[goes]]\nid = 3\noutside = \"20.8mm\"\n[[goes]]\nid = 4\npitch = \"14tpi\"\n", nil, standing.Read, job.Goes, "to tell"},
		{"that ring was printed", "name = \"tub\"\n" + socket + strainer, files{"out/tub.json": strings.Replace(ringMade, "1 7/8-14 UNS", "G 3/8", 1)}, standing.Try, job.Stays, "since it tells Rc 3/8 from G 3/8"},
		{"that ring was tried, and what it left open is taken as it is", "name = \"tub\"\n" + socket + strainer + "[[tries]]\nid = 6\nside = \"outer\"\nthread = \"G 3/8\"\nmajor_mm = 16.2\npitch_diameter_mm = 15.4\nminor_mm = 14.5\nengaged_mm = 12.0\nprinter = \"filament-0.4\"\nu_mm = 0.1\nresult = \"stops after 2 turns\"\n", nil, standing.Decide, job.Stays, "take Rc 3/8"},
		{"a part joins whichever it is", "among = \"supply\"\nouter = \"G 1/2\"\ninner = \"1 5/8-16 UN\"\n" + halfInch + "[[stays]]\nid = 9\nangle = \"55\"\n" + strainer + adapters, files{"adapters.csv": "part,inner thread,outer thread\nx,1 5/8-16 UN,R 1/2\n"}, standing.Print, "", "to try both threads"},
		{"both known, one not decided", "outer = \"1 7/8-14 UNS\"\n" + shoe + strainer, nil, standing.Decide, job.Goes, "take 1 5/8-16 UN"},
		{"the readings speak against what was decided", with(both, "1 5/8-16 UN", "1 1/2-16 UN") + shoe + strainer, nil, standing.Decide, job.Goes, "1 5/8-16 UN"},
		{"they go as they are", with(both, "1 5/8-16 UN", "1 7/8-14 UNS") + adapters, made, standing.Together, "", "no ring is needed"},
		{"a taper goes into its own socket", "outer = \"Rc 1/2\"\ninner = \"R 1/2\"\n", nil, standing.Together, "", "no ring is needed"},
		{"no list", both + shoe + strainer, nil, standing.Shortlist, "", "list"},
		{"the list is gone", all, nil, standing.Shortlist, "", "where the parts list is"},
		{"the last list counts", all + "[[parts]]\nid = 12\nfile = \"other.csv\"\n", files{"other.csv": list(t)}, standing.Print, "", "print the ring"},
		{"a list that cannot be read", all, files{"adapters.csv": "price\n3\n"}, standing.Shortlist, "", "none of the columns"},
		{"the shop can settle it", all, files{"adapters.csv": strings.Replace(list(t), "part D", "#", 1)}, standing.Ask, "", "bore of the inner thread"},
		{"no part joins", all, files{"adapters.csv": "part,inner thread,outer thread\nx,G 1,G 2\n"}, standing.Ask, "", "1 1/2 in by the bore, 1 7/8 in by the outside"},
		{"a part, and no ring yet", all, files{"adapters.csv": list(t)}, standing.Print, "", "print the ring"},
		{"a ring made for another thread", "name = \"tub\"\n" + all, files{"adapters.csv": list(t), "out/tub.json": otherRing}, standing.Print, "", "anew"},
		{"a ring that was not tried", "name = \"tub\"\n" + all, made, standing.Try, job.Stays, "try the printed ring"},
		{"tried on one side", "name = \"tub\"\n" + all + outerTry, made, standing.Try, job.Goes, "try the printed ring"},
		{"tried without its file", all + outerTry + innerTry, files{"adapters.csv": list(t)}, standing.OrderPart, "", "order part D"},
		{"tried on both", "name = \"tub\"\n" + all + outerTry + innerTry, made, standing.OrderPart, "", "order part D"},
		{"it does not go, and the thread is still that one", "name = \"tub\"\n" + with(all, "leaf = \"14tpi\"", "leaf = \"14tpi\"\n[[stays]]\nid = 9\ntpi = \"14\"\nnote = \"by a cast\"") + with(outerTry, "goes", "stops after 3 turns") + innerTry, made, standing.Measure, job.Stays, "print is likelier off"},
		{"it went once and did not go another time", "name = \"tub\"\n" + all + outerTry + with(with(outerTry, "goes", "does not start"), "id = 6", "id = 8"), made, standing.Try, job.Stays, "once more"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := stand(t, c.text, c.around)
			assert.Equal(t, c.action, s.Next.Action, "%s\n%+v", s.Next.Text, s.Contradictions)
			assert.Equal(t, c.side, s.Next.Side)
			told := s.Next.Text
			for _, contradiction := range s.Contradictions {
				told += "\n" + contradiction.Text
			}
			assert.Contains(t, told, c.says)
		})
	}
}
