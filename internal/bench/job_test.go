package bench

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/job"
	"tryring/internal/reading"
)

// oldJob is a file as it was written before documents had numbers, with much that the page has no field for.
const oldJob = `# the tub on the first floor
name = "tub" # short
outer = '1 7/8-14 UNS'
mesher = 'octree'
out = 'made'
height = "7/8 in"

[[stays]]
instrument = 'ruler' # the caliper was in the van
date = '2026-03-01'
bore = ['46']
count = ['15']
over = ['1in']

[[stays]]
date = '2026-03-02'
bore = ['45.7']
over_wires = []
worn = true

# from the box
[[goes]]
outside = '1.62in'
over_wires = "41.9 over 1.05"
tpi = [16]
`

// brought opens a file on the page and returns the query of the page then.
func brought(t require.TestingT, handler http.Handler, text, unit string) url.Values {
	w := request("POST", handler, "/api/job?unit="+unit, text)
	require.Equal(t, http.StatusOK, w.Code, w.Body.String())
	o := decoded[opened](t, w)
	require.Empty(t, o.Faults, text)
	query, err := url.ParseQuery(o.Query)
	require.NoError(t, err)
	return query
}

// saved takes the job file off the page.
func saved(t require.TestingT, handler http.Handler, query url.Values) string {
	w := request("GET", handler, "/file/job.toml?"+query.Encode(), "")
	require.Equal(t, http.StatusOK, w.Code, w.Body.String())
	return w.Body.String()
}

func parsed(t require.TestingT, text string) *job.Document {
	d, err := job.Parse("job", []byte(text))
	require.NoError(t, err, text)
	return d
}

// entriesBut is all of a document but the readings of a side.
func entriesBut(d *job.Document, side string) []any {
	*d.Readings(side) = nil
	return []any{d.Stays, d.Goes, d.Questions, d.Decided, d.Parts, d.Files, d.Tries, d.Notes, d.Ring, d.Among, d.Use, d.Dropped}
}

// drawJob draws a file: comments, old and new tables, and everything that a document may hold.
func drawJob(t *rapid.T) string {
	var b strings.Builder
	pick := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(t, name) }
	maybe := func(name, text string) {
		if rapid.Bool().Draw(t, name) {
			b.WriteString(text)
		}
	}
	comment := func() { maybe("comment", pick("words", "# as read\n", "\n", "  # ü, \"quoted\" and 3\n", "#\n")) }
	comment()
	for _, line := range []string{
		"version = 1\n", `use = "the tub"` + "\n", `among = ` + pick("among", `"drain"`, `"any"`) + "\n", `name = 'a.b-c'` + "\n", `inner = "1 5/8-16"   # by hand` + "\n",
		`outer = '1 7/8-14 UNS'` + "\n", `height = ` + pick("height", "22", `"22,50 mm"`, `'7/8'`, `"0.9in"`) + "\n", `clearance = "0.30"` + "\n",
		`printer = ` + pick("printer", `"filament-0.4"`, `"resin-0.05"`) + "\n", `grip = ` + pick("grip", `"scallop"`, `"flats"`) + "\n",
		`layout = "auto"` + "\n", `label = "Größe \"7\""` + "\n", `chord = '0.010'` + "\n", `mesher = "octree"` + "\n", `out = "elsewhere"` + "\n",
		`layer = "0.2"` + "\n", `paper = "letter"` + "\n",
	} {
		maybe(line[:4], line)
		comment()
	}
	for i := range rapid.IntRange(0, 6).Draw(t, "tables") {
		switch side := pick("table", job.Stays, job.Goes, "other"); side {
		case "other":
			b.WriteString(pick("which", "\n[[notes]]\ntext = \"ask the shop\"\n", "\n[[questions]]\nside = \"goes\"\ntext = \"spaces?\"\nanswer = \"no\"\n",
				"\n[[files]]\nname = \"a.stl\"\nsha256 = \"00ff\" # first\n", "\n[[parts]]\nfile = \"list.csv\"\ngave = [\"D: inner 1 5/8-16\"]\n",
				"\n[[decided]]\nside = \"stays\"\nthread = \"1 7/8-14 UNS\"\nchance = 0.98\nsecond = \"M48x2\"\n",
				"\n[[tries]]\nside = \"outer\"\nthread = \"1 7/8-14 UNS\"\nmajor_mm = 47.3\npitch_diameter_mm = 46.1\nminor_mm = 45.3\nengaged_mm = 16.5\nprinter = \"filament-0.4\"\nlayer_mm = 0.2\noff_mm = 0.05\nu_mm = 0.1\nresult = \"goes\"\nnote = \"stiff\"\n"))
		default:
			across := map[string]string{job.Stays: "bore", job.Goes: "outside"}[side]
			fmt.Fprintf(&b, "\n[[%s]]\n", side)
			maybe("numbered", fmt.Sprintf("id = %d\n", 40+i))
			fmt.Fprintf(&b, "%s = %s\n", across, pick("text", `"45.7 mm"`, `'1.8in'`, "44.9", `"1 3/4"  # or so`, `"45,6+-0.1"`))
			maybe("instrument", `instrument = `+pick("by", `"ruler"`, `"tape"`, `"caliper"`, `"dial"`)+"\n")
			maybe("day", pick("key", "when", "date")+` = "2026-02-11"`+"\n")
			maybe("note", `note = "by lamp"`+"\n")
		}
		comment()
	}
	return b.String()
}

// TestPageLosesNothing: a file that is opened and saved is the same to the byte, and what the fields add is all that is added.
func TestPageLosesNothing(t *testing.T) {
	handler := handlerOf(t)
	lost := func(t require.TestingT, text, unit string) {
		query := brought(t, handler, text, unit)
		require.Equal(t, text, saved(t, handler, query))
		query.Set("goes.outside", "1.7 in")
		query.Set("instrument", "tape")
		query.Set("today", "2026-11-27")
		before, after := parsed(t, text), parsed(t, saved(t, handler, query))
		added := after.Goes[len(before.Goes):]
		require.Len(t, added, 1)
		require.Equal(t, reading.Record{ID: added[0].ID, What: "outside", Text: "1.7 in", Instrument: "tape", When: "2026-11-27", Look: added[0].ID}, added[0])
		for i, r := range before.Goes {
			require.Equal(t, r, after.Goes[i])
		}
		require.Equal(t, entriesBut(before, job.Goes), entriesBut(after, job.Goes))
	}
	lost(t, oldJob, "inch")
	rapid.Check(t, func(t *rapid.T) { lost(t, drawJob(t), rapid.SampledFrom([]string{"", "inch"}).Draw(t, "unit")) })
}

// TestRulerStaysARuler: what was read with a ruler is weighed as that, whatever the page's own switch says.
func TestRulerStaysARuler(t *testing.T) {
	handler := handlerOf(t)
	query := brought(t, handler, oldJob, "")
	for _, by := range []string{"", "caliper", "tape"} {
		query.Set("instrument", by)
		query.Set("part", job.Stays)
		found := decoded[identified](t, request("GET", handler, "/api/identify?"+query.Encode(), ""))
		require.Empty(t, found.Faults)
		d := parsed(t, oldJob)
		set, err := reading.Read(d.Stays...)
		require.NoError(t, err)
		_, tables := testThings(t)
		want := reading.Identify(tables, set, reading.Any).Candidates[0]
		assert.Equal(t, want.Designation, found.Candidates[0].Designation)
		assert.InDelta(t, want.Weight, found.Candidates[0].Weight, 1e-12)
		assert.Equal(t, "ruler", found.Readings[0].Instrument)
		assert.Contains(t, found.Readings[0].Says, "2026-03-01")
		assert.Empty(t, found.Readings[2].Instrument, "none was named in the second table: the usual one")
	}
}

func TestReadingsAreChangedOneByOne(t *testing.T) {
	handler := handlerOf(t)
	query := brought(t, handler, oldJob, "")
	do := func(deed string, more ...string) opened {
		t.Helper()
		asks := url.Values{"do": {deed}, "today": {"2026-11-27"}}
		for key, value := range query {
			asks[key] = value
		}
		for i := 0; i < len(more); i += 2 {
			asks.Set(more[i], more[i+1])
		}
		return decoded[opened](t, request("GET", handler, "/api/job?"+asks.Encode(), ""))
	}
	goOn := func(o opened) *job.Document {
		t.Helper()
		require.Empty(t, o.Faults)
		query, _ = url.ParseQuery(o.Query)
		return parsed(t, saved(t, handler, query))
	}
	d := goOn(do("change", "id", "1", "text", "46.5"))
	assert.Equal(t, reading.Record{ID: 1, What: "bore", Text: "46.5", Instrument: "ruler", When: "2026-03-01", Look: 1}, d.Stays[0])
	d = goOn(do("change", "id", "3", "text", "45.7", "by", "dial"))
	assert.Equal(t, "dial", d.Stays[2].Instrument)
	d = goOn(do("drop", "id", "2"))
	assert.Equal(t, []int{2}, d.Dropped)
	assert.Contains(t, saved(t, handler, query), "# the tub on the first floor", "comments stay")

	query.Set("stays.bore", "45.71; 45.72")
	query.Set("instrument", "dial")
	d = goOn(do("keep"))
	assert.Len(t, d.Stays, 5)
	assert.Equal(t, d.Stays[3].Look, d.Stays[4].Look, "one sitting")
	assert.Equal(t, "dial", d.Stays[4].Instrument)
	assert.Empty(t, query.Get("stays.bore"), "the field is free again")

	query.Set("stays.bore", "45.71")
	twice := do("keep")
	require.Len(t, twice.Faults, 1)
	assert.Equal(t, doubt, twice.Faults[0].Field, "asked about, not counted twice")
	assert.Len(t, goOn(do("keep", "sure", twice.Faults[0].Text)).Stays, 6)

	for _, c := range []struct {
		name, field, says string
		o                 opened
	}{
		{"no number", "job", `"x"`, do("change", "id", "x", "text", "3")},
		{"gone", "job", "number", do("drop", "id", "2")},
		{"no reading", "reading-1", `"abc"`, do("change", "id", "1", "text", "abc")},
		{"no instrument", "reading-1", `"eye"`, do("change", "id", "1", "text", "46.5", "by", "eye")},
		{"no job", "job", "whole", do("drop", "id", "1", "job", "abc")},
		{"half typed", "goes.outside", `"x"`, do("keep", "goes.outside", "x")},
		{"half missing", "stays.over", "missing", do("keep", "stays.count", "12")},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.NotEmpty(t, c.o.Faults)
			assert.Equal(t, c.field, c.o.Faults[0].Field)
			assert.Contains(t, c.o.Faults[0].Text, c.says)
			assert.Empty(t, c.o.Query)
		})
	}
	assert.Equal(t, http.StatusBadRequest, request("GET", handler, "/api/job?do=burn", "").Code)
}

// TestThreadsAreDecided: a thread that is picked or written is noted with its chance and the one that it stands against; one
// that is not the likely one needs a word where it is picked.
func TestThreadsAreDecided(t *testing.T) {
	handler := handlerOf(t)
	query := brought(t, handler, oldJob, "")
	query.Set("today", "2026-11-27")
	take := func(thread, sure string) opened {
		return decoded[opened](t, request("GET", handler, "/api/job?do=take&side=goes&sure="+sure+"&thread="+url.QueryEscape(thread)+"&"+query.Encode(), ""))
	}
	likely := take("1 5/8-16 UN", "")
	require.Empty(t, likely.Faults)
	picked, err := url.ParseQuery(likely.Query)
	require.NoError(t, err)
	assert.Equal(t, "1 5/8-16 UN", picked.Get("inner"))
	query.Set("inner", "1 5/8-16 UN") // written by hand
	for _, q := range []url.Values{picked, query} {
		d := parsed(t, saved(t, handler, q))
		one, held := d.Decision(job.Goes)
		require.True(t, held)
		assert.Equal(t, "1 5/8-16 UN", one.Designation)
		assert.Equal(t, "2026-11-27", one.When)
		assert.Greater(t, one.Weight, 0.5)
		assert.NotEmpty(t, one.Second)
		assert.False(t, one.Sure)
		_, held = d.Decision(job.Stays)
		assert.False(t, held, "the other side's was not touched")
		assert.Equal(t, "1 7/8-14 UNS", d.Outer)
	}

	doubtful := take("M42x1.5", "")
	require.Len(t, doubtful.Faults, 1)
	assert.Equal(t, doubt, doubtful.Faults[0].Field)
	assert.Contains(t, doubtful.Faults[0].Text, "chance")
	sure := take("M42x1.5", url.QueryEscape(doubtful.Faults[0].Text))
	require.Empty(t, sure.Faults)
	picked, err = url.ParseQuery(sure.Query)
	require.NoError(t, err)
	one, _ := parsed(t, saved(t, handler, picked)).Decision(job.Goes)
	assert.True(t, one.Sure)

	assert.Equal(t, "inner", take("wide", "yes").Faults[0].Field)
	nothing := decoded[opened](t, request("GET", handler, "/api/job?do=take&side=stays&thread=M20", ""))
	assert.NotEmpty(t, nothing.Faults, "nothing was read")
}

// TestSpacesStaySpaces: what was counted is part of what was read.
func TestSpacesStaySpaces(t *testing.T) {
	handler := handlerOf(t)
	query := url.Values{"stays.bore": {"45.7"}, "stays.count": {"14"}, "stays.over": {"25.4"}, "stays.counted": {"spaces"}}
	d := parsed(t, saved(t, handler, query))
	assert.Equal(t, "14 spaces over 25.4", d.Stays[1].Text)
	query.Set("part", "stays")
	found := decoded[identified](t, request("GET", handler, "/api/identify?"+query.Encode(), ""))
	assert.Equal(t, "1 7/8-14 UNS", found.Candidates[0].Designation, "14 spaces are 15 crests")
}

// TestAThreadTakenOutIsNotDecided: without its thread, a side's decision stands no more.
func TestAThreadTakenOutIsNotDecided(t *testing.T) {
	handler := handlerOf(t)
	query := brought(t, handler, "outer = '1 7/8-14 UNS'\n\n[[stays]]\nbore = '45.7'\n\n[[decided]]\nside = 'stays'\nthread = '1 7/8-14 UNS'\nchance = 0.9\n", "")
	query.Del("outer")
	d := parsed(t, saved(t, handler, query))
	assert.Empty(t, d.Outer)
	assert.Empty(t, d.Decided)
}

// TestListFromAnotherFolder: the list that the page holds is the job's by its name, wherever the job says it lies.
func TestListFromAnotherFolder(t *testing.T) {
	handler := handlerOf(t)
	const text = "inner = '1 5/8-16 UN'\nouter = '1 7/8-14 UNS'\n\n[[parts]]\nfile = 'shop/adapters.csv'\nunit = 'inch'\n"
	query := brought(t, handler, text, "")
	assert.Equal(t, "adapters.csv", query.Get("list"))
	v := decoded[standingView](t, request("POST", handler, "/api/standing?"+query.Encode(), adapters))
	assert.Empty(t, v.Contradictions)
	assert.Len(t, v.List.Parts, 2)
	assert.Equal(t, text, saved(t, handler, query))
}

// No part is made here for some uses: such a job is not opened, and one that stands in an address says so wherever it would count.
func TestRefusedUse(t *testing.T) {
	handler := handlerOf(t)
	text := "use = \"gas cooker\"\ninner = \"G 1/2\"\nouter = \"G 1\"\n"
	o := decoded[opened](t, request("POST", handler, "/api/job", text))
	require.Len(t, o.Faults, 1)
	assert.Equal(t, "job", o.Faults[0].Field)
	assert.Contains(t, o.Faults[0].Text, `"gas"`)
	query := url.Values{"job": {pack([]byte(text))}, "inner": {"G 1/2"}, "outer": {"G 1"}}
	for _, path := range []string{"/file/ring.stl", "/file/ring.json", "/file/ladder.zip"} {
		w := request("GET", handler, path+"?"+query.Encode(), "")
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, path)
		assert.Contains(t, w.Body.String(), `"gas"`, path)
	}
	v := decoded[ringView](t, request("GET", handler, "/api/ring?"+query.Encode(), ""))
	require.Len(t, v.Faults, 1)
	assert.Equal(t, "job", v.Faults[0].Field)
}
