package standing_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fit"
	"tryring/internal/gauge"
	"tryring/internal/identity"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/standing"
	"tryring/internal/thread"
)

// open is a fitting of which two threads are left.
const open = "[[stays]]\nid = 1\nbore = \"45.9mm\"\n[[stays]]\nid = 2\ntpi = \"15±1.5\"\n"

// plug is a go plug gauge of 1 7/8-14 UNS-2B.
var plug = gauge.Result{
	Name: "go-plug-1-7-8-14-UNS-2B", Label: "GO PLUG 1 7/8-14 UNS-2B", Designation: "1 7/8-14 UNS-2B", Kind: ring.PlugGauge, Limit: ring.Go,
	Wanted: thread.Diameters{Major: 47.625, Pitch: 46.446, Minor: 45.669}, ZMM: [2]float64{9.3, 25.6}, Decision: gauge.DecisionResult{UMM: 0.2},
}

// drawerOf is the record of a drawer with these gauges, all in the second row of a tray.
func drawerOf(t testing.TB, gauges ...gauge.Result) string {
	t.Helper()
	d := gauge.DrawerResult{Gauges: gauges, Trays: []gauge.TrayResult{{File: "tray-01.3mf"}}}
	for i, g := range gauges {
		d.Trays[0].Wells = append(d.Trays[0].Wells, gauge.TrayWell{Name: g.Name, Row: 2, Column: i + 3})
	}
	text, err := json.Marshal(d)
	require.NoError(t, err)
	return string(text)
}

func TestContradictions(t *testing.T) {
	decided := func(chance string) string {
		return "[[decided]]\nid = 11\nside = \"goes\"\nthread = \"1 5/8-16 UN\"\nchance = " + chance + "\nsecond = \"1 5/8-18 UNEF\"\n"
	}
	worse := strings.Replace(strainer, "17 over 1in", "19 over 1in", 1) // 18 to the inch
	for _, c := range []struct {
		name, text string
		around     files
		says       []string
	}{
		{"nothing", both + shoe + strainer + decided("0.98"), nil, nil},
		{"a chance that rose", both + shoe + strainer + decided("0.5"), nil, nil},
		{"a chance that fell", both + shoe + worse + decided("0.98"), nil, []string{"decided to be 1 5/8-16 UN, at 98 % then; by all that is known now it is that at under 1 %, and 1 5/8-18"}},
		{"a chance that fell by a third", "among = \"drain\"\nouter = \"1 7/8-14 UNS\"\n" + open + "[[decided]]\nid = 11\nside = \"stays\"\nthread = \"1 7/8-14 UNS\"\nchance = 0.98\n", nil, []string{"decided to be 1 7/8-14 UNS, at 98 % then"}},
		{"a thread that was only named", both + shoe + worse, nil, []string{"decided to be 1 5/8-16 UN; by all that is known now"}},
		{"a ring for other threads", "name = \"tub\"\n" + both, files{"out/tub.json": otherRing}, []string{"out/tub.json was made for 1 7/8-16 UN on the fitting that stays, and that was decided to be 1 7/8-14 UNS"}},
		{"its own file is looked at", "name = \"tub\"\nout = \"rings\"\n" + both, files{"out/tub.json": otherRing, "rings/tub.json": ringMade}, nil},
		{"a file that is no ring", "name = \"tub\"\n" + both, files{"out/tub.json": "[]"}, nil},
		{"a list that is gone", both + adapters, nil, []string{"adapters.csv: it is not there any more"}},
		{"both at once", both + adapters + shoe + worse, nil, []string{"adapters.csv", "1 5/8-16 UN"}},
		{"the bore of what goes in", "[[goes]]\nid = 1\nbore = \"39.8mm\"\n[[goes]]\nid = 2\ntpi = \"16\"\n", nil, []string{"entry 1 is the bore of the part that goes in, whose thread has none: read the outside"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := stand(t, c.text, c.around)
			require.Len(t, s.Contradictions, len(c.says), "%+v", s.Contradictions)
			for i, says := range c.says {
				assert.Contains(t, s.Contradictions[i].Text, says)
			}
		})
	}
}

// The doubt in both threads, in the list's numbers and in the tries all lower the chance of a part.
func TestDoubtsAddUp(t *testing.T) {
	around := files{"adapters.csv": list(t)}
	chance := func(text, part string) float64 {
		for _, p := range stand(t, text+adapters, around).Parts {
			if p.Name == part {
				return p.Chance
			}
		}
		t.Fatalf("%s is not ranked", part)
		return 0
	}
	named, read := chance(both, "part D"), chance(both+shoe+strainer, "part D")
	assert.Greater(t, named, 0.999, "threads that were only named are taken as said")
	assert.Less(t, read, named)
	assert.Greater(t, read, 0.9)
	doubtful := chance("among = \"drain\"\n"+open+strainer, "part D")
	assert.Less(t, doubtful, 0.9)
	assert.Less(t, chance("among = \"drain\"\n"+open+strainer, "part A"), doubtful, "the list's numbers are open as well")
	assert.Less(t, chance(both+shoe+strainer+strings.Replace(outerTry, "goes", "does not start", 1), "part D"), read)
	assert.Greater(t, chance("among = \"drain\"\n"+open+strainer+outerTry, "part D"), doubtful)
}

func TestOrder(t *testing.T) {
	all := both + shoe + strainer + adapters
	o := stand(t, all, files{"adapters.csv": list(t)}).Order
	require.NotNil(t, o)
	assert.Equal(t, "part D", o.Part)
	assert.Equal(t, []string{
		"inside 1 5/8-16 UN: 1 3/8 in by the bore, 1 5/8 in by the outside (41.3 mm)",
		"outside 1 7/8-14 UNS: 1 1/2 in by the bore, 1 7/8 in by the outside (47.6 mm)",
	}, o.Names)
	assert.Contains(t, o.Ask, "full names")
	assert.Empty(t, o.Alike)
	assert.Empty(t, o.Doubts)

	o = stand(t, all, files{"adapters.csv": strings.Replace(list(t), "part D", "#", 1)}).Order
	require.NotNil(t, o)
	assert.Equal(t, "part A", o.Part)
	assert.Equal(t, []string{"part F"}, o.Alike)
	assert.Contains(t, o.Ask, "bore of the inner thread")
	assert.Contains(t, o.Sentence(), "does not tell from part F")

	o = stand(t, "among = \"drain\"\n"+open+strainer+adapters, files{"adapters.csv": list(t)}).Order
	require.NotNil(t, o)
	assert.Less(t, o.Chance, 0.9)
	require.Len(t, o.Doubts, 1)
	assert.Contains(t, o.Doubts[0], "the fitting that stays may be 1 7/8-14 UNS (")

	assert.Nil(t, stand(t, all, files{"adapters.csv": "part,inner thread,outer thread\nx,G 1,G 2\n"}).Order)
	assert.Nil(t, stand(t, all, nil).Order)
	assert.Nil(t, stand(t, "outer = \"G 1\"\ninner = \"G 1\"\n"+adapters, files{"adapters.csv": "part,inner thread,outer thread\nx,G 1,G 1\n"}).Order, "they go as they are")
}

// All that a side could be is weighed against a list, but for a thread of no table.
func TestMates(t *testing.T) {
	d, err := job.Parse("tub.toml", []byte("[[stays]]\nid = 1\nbore = \"45.7mm\"\n[[stays]]\nid = 2\ntpi = \"14\"\n"+strainer+"[[goes]]\nid = 9\nleaf = \"16tpi\"\n"))
	require.NoError(t, err)
	for _, side := range []string{job.Stays, job.Goes} {
		mates, err := standing.Mates(d, side, tables)
		require.NoError(t, err)
		sum := 0.0
		for _, m := range mates {
			sum += m.Weight
		}
		could, err := identity.Of(d, side, tables)
		require.NoError(t, err)
		none := could.Candidates[len(could.Candidates)-1].Weight
		assert.InDelta(t, 1-none, sum, 0.01, "%s: %d threads", side, len(mates))
		assert.Less(t, none, 0.1, side)
	}
}

func TestDoubt(t *testing.T) {
	for _, c := range []struct{ name, text, says string }{
		{"sure", both + shoe, ""},
		{"only named", both, ""},
		{"named at a chance", both + "[[decided]]\nid = 1\nside = \"stays\"\nthread = \"1 7/8-14 UNS\"\nchance = 0.73\nsecond = \"G 1 1/2\"\n", "is taken for 1 7/8-14 UNS (73 %)"},
		{"nothing known", "version = 1\n", ""},
		{"open", "among = \"drain\"\n" + open, "may be 1 7/8-14 UNS ("},
		{"the less likely one was taken", "among = \"drain\"\nouter = \"1 7/8-16 UN\"\n" + open, "is taken for 1 7/8-16 UN ("},
	} {
		t.Run(c.name, func(t *testing.T) {
			doubt := stand(t, c.text, nil).Sides[0].Doubt()
			if c.says == "" {
				assert.Empty(t, doubt)
			}
			assert.Contains(t, doubt, c.says)
		})
	}
	other := stand(t, "among = \"drain\"\nouter = \"1 7/8-16 UN\"\n"+open, nil).Sides[0].Doubt()
	assert.Regexp(t, `, and may be 1 7/8-14 UNS \(\d+ %\)$`, other, "the likelier one is named")
}

func TestGaugeOfTheDrawer(t *testing.T) {
	text := "among = \"drain\"\n" + open + strainer
	step := func(folder string, gauges ...gauge.Result) standing.Step {
		return stand(t, text, files{folder + "/drawer.json": drawerOf(t, gauges...)}).Next
	}
	s := step("out", plug)
	require.Equal(t, standing.TryGauge, s.Action)
	assert.Contains(t, s.Text, "GO PLUG 1 7/8-14 UNS-2B from the drawer (row 2, place 3 of tray-01.3mf in out)")
	assert.Contains(t, s.Text, "it goes with 1 7/8-14 UNS and stops on 1 7/8-16 UN")
	assert.Equal(t, "out/go-plug-1-7-8-14-UNS-2B", s.Gauge)

	fine := plug
	fine.Name, fine.Label, fine.Designation = "fine", "GO PLUG 1 7/8-16 UN-2B", "1 7/8-16 UN-2B"
	fine.Wanted = thread.Diameters{Major: 47.625, Pitch: 46.594, Minor: 45.898}
	s = step("out", fine)
	assert.Contains(t, s.Text, "it goes with 1 7/8-16 UN and stops on 1 7/8-14 UNS")
	tried := strings.NewReplacer("\"1 7/8-14 UNS\"", "\"1 7/8-14 UNS-2B\"", "side =", "ring = \"go-plug-1-7-8-14-UNS-2B\"\nside =").Replace(outerTry)
	after := stand(t, text+tried, files{"out/drawer.json": drawerOf(t, plug)})
	assert.Empty(t, after.Next.Gauge, "it was tried")
	first := after.Sides[0].Answer.Candidates[0]
	assert.Equal(t, "1 7/8-14 UNS", first.Designation)
	assert.Greater(t, first.Weight, 0.9, "a gauge that goes counts as a ring does")

	vague, worn := plug, fine
	vague.Decision.UMM, vague.Label = 1.2, "VAGUE"
	assert.Equal(t, standing.MakeLeaf, step("out", vague).Action, "it tells too little")
	vague.Decision.UMM = 0.24
	assert.Contains(t, step("out", vague).Text, "VAGUE")
	assert.Contains(t, step("out", plug, vague).Text, "GO PLUG", "the one that tells most")
	worn.Wanted = thread.Diameters{Major: 46.725, Pitch: 45.694, Minor: 44.998}
	assert.Contains(t, step("out", worn).Text, "it goes with 1 7/8-16 UN", "one that rattles goes on")
	two := files{"a/drawer.json": drawerOf(t, vague), "b/drawer.json": drawerOf(t, plug)}
	assert.Contains(t, stand(t, text, two).Next.Text, "in b)", "the better one of two drawers")

	wrongKind, noGo, other, unknown := plug, plug, plug, plug
	wrongKind.Kind, noGo.Limit, other.Designation, unknown.Designation = ring.RingGauge, ring.NoGo, "G 1", "my own thread"
	other.Wanted = thread.Diameters{Major: 33.249, Pitch: 31.77, Minor: 30.291}
	s = step("out", wrongKind, noGo, other, unknown)
	assert.Equal(t, standing.MakeLeaf, s.Action, "none of these decides: %s", s.Text)
	d, err := job.Parse("tub.toml", []byte(text))
	require.NoError(t, err)
	for _, around := range []files{{}, {"out/drawer.json": "{"}} {
		_, err = standing.Of(d, standing.Around{Tables: tables, Printer: printer.Unnamed(), Drawers: []string{"out"}, Read: around.read})
		assert.ErrorContains(t, err, "out/drawer.json")
	}
}

func TestAnswer(t *testing.T) {
	made := files{"adapters.csv": list(t), "out/tub.json": ringMade}
	all := "name = \"tub\"\n" + both + shoe + strainer + adapters
	for _, c := range []struct{ name, text, says string }{
		{"nothing", "", "The fitting that stays is not known yet"},
		{"named", both, "The fitting that stays is said to be 1 7/8-14 UNS"},
		{"read", both + shoe + strainer, "The fitting that stays is 1 7/8-14 UNS (97 %)"},
		{"before a try", all, "Part D joins both threads (96 %)"},
		{"tried", all + outerTry + innerTry, "Order part D: it joins both threads"},
		{"a contradiction", all + "[[goes]]\nid = 20\nbore = \"41mm\"\n", "One thing contradicts."},
		{"they go together", "outer = \"G 1\"\ninner = \"G 1\"\n", "No ring is needed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			answer := stand(t, c.text, made).Answer()
			assert.Contains(t, answer[0], c.says)
			assert.LessOrEqual(t, len(answer), 2)
		})
	}
	assert.Equal(t, fit.Loose, stand(t, "outer = \"M22x1.5\"\ninner = \"M20x1.5\"\n", nil).Fit.Verdict, "what goes in is the smaller")
	first, again := stand(t, all, made), stand(t, all, made)
	assert.Equal(t, first.Parts, again.Parts, "the same document stands at the same place")
	assert.Equal(t, first.Next, again.Next)
	assert.Equal(t, first.Order, again.Order)
}

func TestRingThatTells(t *testing.T) {
	ringThatTells := stand(t, socket+strainer, nil).Next
	assert.Equal(t, "G 3/8", ringThatTells.Outer)
	assert.Equal(t, "1 5/8-16 UN", ringThatTells.Inner, "which was not decided yet")
	assert.Empty(t, stand(t, "inner = \"1 5/8-16 UN\"\n"+socket+strainer, nil).Next.Inner, "which the job holds")
	assert.Contains(t, ringThatTells.Text, fmt.Sprintf("a clearance of %.2f mm", ringThatTells.Clearance.MM()))
}
