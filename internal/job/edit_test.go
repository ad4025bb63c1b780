package job

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fault"
	"tryring/internal/reading"
)

// edited is the text of a job after a change.
func edited(t *testing.T, before string, change func(*Document)) string {
	t.Helper()
	d := parse(t, before)
	change(d)
	return text(t, d)
}

// What each change makes of the lines of a file, in words and bytes.
func TestEdits(t *testing.T) {
	for name, c := range map[string]struct {
		before string
		change func(*Document)
		after  string
	}{
		"a value, its comment stays": {
			"name = 'tub' # short\nlabel = \"L\"\n", func(d *Document) { d.Name = `say "hi"` }, "name = \"say \\\"hi\\\"\" # short\nlabel = \"L\"\n",
		},
		"a key that goes leaves its comment": {
			"name = 'tub' # short\nlabel = \"L\"\n", func(d *Document) { d.Name = "" }, "# short\nlabel = \"L\"\n",
		},
		"comments inside a list stay before it": {
			"[[parts]]\nfile = 'a.csv'\ngave = [ # theirs\n  'D', # in full\n]\n", func(d *Document) { d.Parts[0].Gave = []string{"A", "D"} },
			"[[parts]]\nfile = 'a.csv'\n# theirs\n# in full\ngave = [\"A\", \"D\"]\n",
		},
		"comments inside a list that goes": {
			"[[parts]]\nfile = 'a.csv'\ngave = [ # theirs\n  'D', # in full\n]\n", func(d *Document) { d.Parts[0].Gave = nil },
			"[[parts]]\nfile = 'a.csv'\n# theirs\n# in full\n",
		},
		"a first key stands before the tables and their comment": {
			"# the bore\n[[stays]]\nbore = '45mm'\n", func(d *Document) { d.Name = "tub" }, "name = \"tub\"\n# the bore\n[[stays]]\nbore = '45mm'\n",
		},
		"a first key stands after what the file says of itself": {
			"# my job\n\n[[stays]]\nbore = '45mm'\n", func(d *Document) { d.Name = "tub" }, "# my job\nname = \"tub\"\n\n[[stays]]\nbore = '45mm'\n",
		},
		"lines end as the file's do": {
			"name = 'tub'\r\n\r\n[[stays]]\r\nbore = '45mm'", func(d *Document) { d.Label = "L"; d.Notes = []Note{{Text: "x"}} },
			"name = 'tub'\r\nlabel = \"L\"\r\n\r\n[[stays]]\r\nbore = '45mm'\r\n\r\n[[notes]]\r\nid = 2\r\ntext = \"x\"\r\n",
		},
		"a key of an entry": {
			"[[stays]]\nbore = '45mm' # deep\nnote = 'old'\n", func(d *Document) { d.Stays[0].Note, d.Stays[0].When = "", "May" }, "[[stays]]\nbore = '45mm' # deep\nwhen = \"May\"\n",
		},
		"a date under its old name": {
			"[[stays]]\nbore = '45mm'\ndate = 'May'\n", func(d *Document) { d.Stays[0].When = "June" }, "[[stays]]\nbore = '45mm'\ndate = \"June\"\n",
		},
		"an entry that goes, with the line before it": {
			"[[stays]]\nbore = '45mm'\n\n[[goes]]\nid = 2\noutside = '41mm'\n", func(d *Document) { d.Goes = nil }, "dropped = [2]\n[[stays]]\nbore = '45mm'\n",
		},
		"an entry of one look among several": {
			"[[goes]]\n# by lamp\noutside = ['41mm', '41.1mm'] # twice\nworn = true\n", func(d *Document) { d.Goes = d.Goes[:2] },
			"dropped = [3]\n# by lamp\n# twice\n[[goes]]\nid = 1\noutside = \"41mm\"\n\n[[goes]]\nid = 2\noutside = \"41.1mm\"\nlook = 1\n",
		},
		"a truth for yes or no": {"[[goes]]\nworn = true\n\n[[goes]]\nworn = false\n", func(d *Document) { d.Goes[0].Text, d.Goes[1].Note = "no", "new" }, "[[goes]]\nworn = \"no\"\n\n[[goes]]\nworn = false\nnote = \"new\"\n"},
		"numbers and days without quotes are texts": {
			"height = 22\n[[goes]]\noutside = 41.2\nwhen = 2026-03-01\n", func(d *Document) { d.Height += "mm"; d.Goes[0].Text += "mm" },
			"height = \"22mm\"\n[[goes]]\noutside = \"41.2mm\"\nwhen = 2026-03-01\n",
		},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.after, edited(t, c.before, c.change)) })
	}
}

func TestParseRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		says []string
	}{
		"no TOML":                   {"inner M42\n", []string{"job.toml:1: "}},
		"a key twice":               {"name = 'a'\nname = 'b'\n", []string{"job.toml:2: "}},
		"unknown keys, all":         {"iner = 'M1'\n\nsize = 3\n[[goes]]\nbreadth = 4\noutside = '41'\n", []string{`job.toml:1: iner: there is no such key`, `job.toml:3: size: there is no such key`, `job.toml:5: breadth: there is no such key`}},
		"unknown table":             {"[[left]]\nbore = '1'\n", []string{"job.toml:1: there is no table [[left]]"}},
		"single brackets":           {"[stays]\nbore = '1'\n", []string{"job.toml:1: there is no table [stays]; entries stand in double brackets"}},
		"a table in a line":         {"stays = [{bore = '1'}]\n", []string{"job.toml:1: stays: ", "[[stays]]"}},
		"points in a key":           {"a.b = 1\n", []string{`job.toml:1: a.b: there is no such key`}},
		"a list for a text":         {"\ninner = ['M42']\n", []string{`job.toml:2: inner: "M42": it is one value, not a list`}},
		"a truth for a text":        {"inner = true\n", []string{`job.toml:1: inner: "true": it is text, in quotes`}},
		"a text for a number":       {"[[tries]]\nmajor_mm = 'wide'\n", []string{"job.toml:2: major_mm: ", "it is a number"}},
		"no number at all":          {"[[tries]]\nmajor_mm = nan\n", []string{"job.toml:2: major_mm: "}},
		"a text for a truth":        {"[[decided]]\nsure = 'yes'\n", []string{"job.toml:2: sure: ", "true or false"}},
		"a number for a list":       {"dropped = 3\n", []string{`job.toml:1: dropped: "3": it is a list`}},
		"half a number":             {"dropped = [1.5]\n", []string{"job.toml:1: dropped: ", "whole number"}},
		"a number below nought":     {"[[notes]]\nid = -1\n", []string{"job.toml:2: id: "}},
		"a number twice":            {"[[notes]]\nid = 3\n[[goes]]\nid = 3\noutside = '1'\n", []string{`job.toml:3: id: "3": it is the number of the entry in line 1`}},
		"several with one number":   {"[[goes]]\nid = 3\noutside = ['1', '2']\n", []string{`job.toml:1: id: "3": 2 readings with one number`}},
		"nothing read":              {"[[goes]]\ninstrument = 'dial'\n", []string{"job.toml:1: nothing was read here"}},
		"counts and lengths":        {"[[goes]]\ncount = ['9', '10']\nover = ['20']\n", []string{"job.toml:2: count: 2 counts with 1 lengths"}},
		"a newer version":           {"version = 2\nshape = 'round'\n", []string{`job.toml: version: "2": it was written by a newer tryring`, "up to 1", "use the newer one"}},
		"too large":                 {strings.Repeat("#", MaxBytes+1), []string{"job.toml: holds 1048577 bytes"}},
		"a reading that is no text": {"[[goes]]\noutside = true\n", []string{`job.toml:2: outside: "true": it is text, in quotes`}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Parse("job.toml", []byte(c.text))
			require.Error(t, err)
			for _, says := range c.says {
				assert.ErrorContains(t, err, says)
			}
		})
	}
}

func TestAddReadings(t *testing.T) {
	d := parse(t, old)
	again := reading.Record{What: "bore", Text: "45.6", Instrument: "caliper", When: "2026-03-01"}
	other := reading.Record{What: "tpi", Text: "14", When: "2026-03-01"}
	err := d.AddReadings(Stays, false, other, again)
	require.ErrorIs(t, err, ErrAgain)
	assert.Equal(t, "bore", fault.Each(err)[0].Field)
	assert.ErrorContains(t, err, "number 1")
	assert.Len(t, d.Stays, 4, "nothing is added where one is asked about")
	require.NoError(t, d.AddReadings(Goes, false, again), "of the other part it is another reading")
	require.NoError(t, d.AddReadings(Stays, true, again, other))
	assert.Equal(t, []int{8, 9}, []int{d.Stays[4].ID, d.Stays[5].ID})
	assert.Equal(t, []int{8, 8}, []int{d.Stays[4].Look, d.Stays[5].Look})
	require.ErrorIs(t, d.AddReadings("left", false, other), ErrSide)
}

// The last decision of a side holds; taken back, the ring is no longer asked for with it.
func TestDecisions(t *testing.T) {
	d := parse(t, old)
	require.NoError(t, d.Decide(Decision{Side: Stays, Designation: "M48x2"}))
	require.NoError(t, d.Decide(Decision{Side: Goes, Designation: "M42x1.5"}))
	d = parse(t, text(t, d))
	require.NoError(t, d.Decide(Decision{Side: Stays, Designation: "M50x2", Weight: 0.7}))
	d = parse(t, text(t, d))
	one, is := d.Decision(Stays)
	assert.True(t, is)
	assert.Equal(t, Decision{ID: 9, Side: Stays, Designation: "M50x2", Weight: 0.7}, one)
	assert.Equal(t, []int{7}, d.Dropped, "the one before gave its number up")
	assert.Equal(t, [2]string{"M42x1.5", "M50x2"}, [2]string{d.Inner, d.Outer})
	require.NoError(t, d.Drop(9))
	assert.Empty(t, d.Outer)
	_, is = d.Decision(Stays)
	assert.False(t, is)
	d.Inner = "M45x1.5"
	require.NoError(t, d.Drop(8))
	assert.Equal(t, "M45x1.5", d.Inner, "which was not what was decided")
	require.ErrorIs(t, d.Drop(8), ErrNoEntry)
	require.ErrorIs(t, d.Decide(Decision{Side: "left"}), ErrSide)
}

func TestPlace(t *testing.T) {
	d := parse(t, old)
	for field, want := range map[string]string{
		"outer": "tub.toml:3: outer", "2.bore": "tub.toml:10: bore", "5.outside": "tub.toml:17: outside", "6.result": "tub.toml:29: result",
		"6.note": "tub.toml:19: note", "inner": "", "99.bore": "", "bore": "",
	} {
		assert.Equal(t, want, d.Place(field), field)
	}
	assert.Empty(t, New().Place("outer"))
}

func TestRingWith(t *testing.T) {
	file := Ring{Inner: "M42x1.5", Outer: "M48x2", InnerClearance: "0.3", OuterClearance: "0.2", Grip: "flats"}
	assert.Equal(t, Ring{Inner: "M42x1.5", Outer: "M50x2", Clearance: "0.1", Grip: "flats"}, file.With(Ring{Outer: "M50x2", Clearance: "0.1"}), "a clearance for both replaces those for one")
	assert.Equal(t, "0.3", file.With(Ring{Outer: "M50x2"}).InnerClearance)
	assert.Equal(t, "M48x2", file.Outer, "the file's own stays as it was")
}

// A file that is made again with the same bytes is no other file.
func TestMade(t *testing.T) {
	d := New()
	for _, digest := range []string{"a", "a", "b", "a"} {
		d.Made(File{Name: "tub.json", Digest: digest})
	}
	d.Made(File{Name: "other.json", Digest: "a"})
	assert.Equal(t, []File{{Name: "tub.json", Digest: "a"}, {Name: "tub.json", Digest: "b"}, {Name: "other.json", Digest: "a"}}, d.Files)
}
