package bench

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/job"
	"tryring/internal/mesh"
)

func TestReadingsFindTheThread(t *testing.T) {
	at := open(t)
	for _, c := range []struct{ name, query, best string }{
		// Limits of 1 7/8-14 UNS: minor diameter of the internal thread 1.798 to 1.814 in (ASME B1.1, by formula).
		{"bore in mm", "part=stays&stays.bore=45.7&stays.count=15&stays.over=25.4", "1 7/8-14 UNS"},
		{"bore in inches", "part=stays&unit=inch&stays.bore=1.800&stays.count=15&stays.over=1", "1 7/8-14 UNS"},
		{"fraction", "part=goes&unit=inch&goes.outside=1+5/8&goes.pitch=16", "1 5/8-16 UN"},
		{"outside with two readings", "part=goes&goes.outside=41.2%3B+41.22&goes.pitch=16+tpi", "1 5/8-16 UN"},
		{"metric", "part=goes&goes.outside=29.8&goes.pitch=1.5", "M30x1.5"},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := getJSON[identified](t, at+"/api/identify?"+c.query)
			require.Empty(t, found.Faults)
			require.NotEmpty(t, found.Candidates)
			assert.Equal(t, c.best, found.Candidates[0].Designation)
			assert.True(t, found.Candidates[0].Pick)
			assert.NotEmpty(t, found.Read)
			sum := 0.0
			for _, c := range found.Candidates {
				sum += c.Weight
			}
			assert.InDelta(t, 1, sum, 1e-9)
			assert.LessOrEqual(t, len(found.Candidates), mostCandidates+2)
		})
	}
}

// A slip that would explain the readings is asked about.
func TestReadingsAsk(t *testing.T) {
	found := getJSON[identified](t, open(t)+"/api/identify?part=stays&stays.bore=1.81&stays.count=15&stays.over=25.4mm")
	require.Empty(t, found.Faults)
	require.NotEmpty(t, found.Questions)
	assert.Contains(t, found.Questions[0], "If 1.81 is meant in inches, it is 1 7/8-14 UNS")
}

func TestReadingsFaults(t *testing.T) {
	at := open(t)
	for _, c := range []struct{ name, query, field, says string }{
		{"bore", "part=stays&stays.bore=abc", "stays.bore", `"abc"`},
		{"bore of nothing", "part=stays&stays.bore=0", "stays.bore", "above 0"},
		{"bore beyond tables", "part=stays&stays.bore=400", "stays.bore", "300"},
		{"outside", "part=goes&goes.outside=1/0&goes.pitch=1", "goes.outside", "zero"},
		{"count", "part=stays&stays.bore=40&stays.count=x&stays.over=10", "stays.count", `"x"`},
		{"over", "part=stays&stays.bore=40&stays.count=9&stays.over=x", "stays.over", `"x"`},
		{"count without length", "part=stays&stays.count=9", "stays.over", "missing"},
		{"length without count", "part=stays&stays.bore=9&stays.over=9", "stays.count", "missing"},
		{"counted", "part=stays&stays.bore=9&stays.counted=turns", "stays.counted", "crests or spaces"},
		{"pitch", "part=goes&goes.pitch=fast", "goes.pitch", `"fast"`},
		{"throat", "part=goes&goes.outside=9&goes.throat=x", "goes.throat", `"x"`},
		{"leaf", "part=goes&goes.leaf=x", "goes.leaf", `"x"`},
		{"leaf that does not seat", "part=goes&goes.no_leaf=x", "goes.no_leaf", `"x"`},
		{"angle", "part=goes&goes.outside=9&goes.angle=5", "goes.angle", "55 or 60"},
		{"tapers", "part=goes&goes.outside=9&goes.tapers=perhaps", "goes.tapers", "yes or no"},
		{"instrument", "part=goes&goes.outside=9&instrument=eye", "instrument", `"eye"`},
		{"among", "part=goes&goes.outside=9&among=cheese", "among", "cheese"},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := getJSON[identified](t, at+"/api/identify?"+c.query)
			require.NotEmpty(t, found.Faults)
			assert.Equal(t, c.field, found.Faults[0].Field, "%v", found.Faults)
			assert.Contains(t, found.Faults[0].Text, c.says)
			assert.Empty(t, found.Candidates)
			assert.NotContains(t, found.Faults[0].Text, "--", "no flag stands on the page")
		})
	}
	empty := getJSON[identified](t, at+"/api/identify?part=stays&goes.outside=abc")
	assert.Empty(t, empty.Faults, "nothing read is no fault, and the other part's are not told")
	status, _, _ := get(t, at+"/api/identify?part=both")
	assert.Equal(t, http.StatusBadRequest, status)
}

func TestThreadsAreOffered(t *testing.T) {
	at := open(t)
	assert.Contains(t, getJSON[[]string](t, at+"/api/threads?text=G+1+1/4"), "G 1 1/4")
	assert.Empty(t, getJSON[[]string](t, at+"/api/threads?text="))
	assert.LessOrEqual(t, len(getJSON[[]string](t, at+"/api/threads?text=UN")), mostSuggested)
}

const adapters = "part,inner thread,outer thread\nA,1 5/8-16,1 7/8-14\nB,1 1/2-11.5,1 7/8-14\nC,wide,narrow\n"

func TestPartsAreRanked(t *testing.T) {
	at := open(t)
	view := postJSON[standingView](t, at+"/api/standing?list=adapters.csv&"+twoThreads, adapters)
	require.Empty(t, view.Faults)
	require.Len(t, view.List.Parts, 2)
	assert.Equal(t, "A", view.List.Parts[0].Name)
	assert.Greater(t, view.List.Parts[0].Chance, 0.9)
	assert.Less(t, view.List.Parts[1].Chance, 0.1)
	require.Len(t, view.List.Skipped, 1)
	assert.Contains(t, view.List.Skipped[0], "line 4")

	for name, c := range map[string]struct{ query, list, field, says string }{
		"no list":      {twoThreads, "part,inner,outer\n", "parts", "row"},
		"wrong thread": {"inner=M20&outer=wide", adapters, "standing", "marked below"},
		"no list here": {twoThreads, "\x00\x01\x02", "parts", ""},
		"no unit":      {"list.unit=feet&" + twoThreads, adapters, "list.unit", "feet"},
	} {
		t.Run(name, func(t *testing.T) {
			view := postJSON[standingView](t, at+"/api/standing?list=adapters.csv&"+c.query, c.list)
			require.NotEmpty(t, view.Faults)
			assert.Equal(t, c.field, view.Faults[0].Field)
			assert.Contains(t, view.Faults[0].Text, c.says)
			assert.Empty(t, view.List.Parts)
		})
	}
	one := postJSON[standingView](t, at+"/api/standing?list=adapters.csv&inner=M20", adapters)
	assert.Empty(t, one.List.Parts, "nothing is known of the other thread")
	assert.Empty(t, one.Faults)
}

func TestJobFileBringsTheBenchBack(t *testing.T) {
	at := open(t)
	asked := url.Values{
		"unit": {"inch"}, "among": {"drain"}, "inner": {"1 5/8-16 UN"}, "outer": {"1 7/8-14 UNS"}, "printer": {"filament-0.4"},
		"height": {"7/8"}, "clearance": {"0.012"}, "grip": {"flats"}, "name": {"bath"}, "label": {`say "hi"`},
		"stays.bore": {"1.8; 1.801"}, "stays.count": {"15"}, "stays.over": {"1"}, "goes.outside": {"1.622"}, "goes.pitch": {"16"},
		"goes.no_leaf": {"14; 18"}, "goes.worn": {"yes"},
	}
	status, head, text := get(t, at+"/file/job.toml?"+asked.Encode())
	require.Equal(t, http.StatusOK, status, "%s", text)
	assert.Equal(t, "attachment; filename=bath.toml", head.Get("Content-Disposition"))
	d, err := job.Parse("bath.toml", text)
	require.NoError(t, err, "%s", text)
	assert.Equal(t, `say "hi"`, d.Label)

	_, told := post(t, at+"/api/job", string(text))
	var back opened
	require.NoError(t, json.Unmarshal(told, &back))
	require.Empty(t, back.Faults)
	again := getJSON[ringView](t, at+"/api/ring?"+back.Query)
	before := getJSON[ringView](t, at+"/api/ring?"+asked.Encode())
	require.Empty(t, again.Faults)
	assert.Equal(t, before.Facts, again.Facts)
	for _, part := range []string{"stays", "goes"} {
		assert.Equal(t, getJSON[identified](t, at+"/api/identify?part="+part+"&"+asked.Encode()).Candidates,
			getJSON[identified](t, at+"/api/identify?part="+part+"&"+back.Query).Candidates)
	}
	_, _, second := get(t, at+"/file/job.toml?"+back.Query)
	_, told = post(t, at+"/api/job", string(second))
	var third opened
	require.NoError(t, json.Unmarshal(told, &third))
	assert.Equal(t, back.Query, third.Query, "saved and opened again it stays the same")
}

func TestJobFileFaults(t *testing.T) {
	at := open(t)
	for name, c := range map[string]struct{ text, says string }{
		"no TOML":     {"inner =", "job file:1"},
		"unknown key": {"colour = 'red'", "colour"},
		"wrong type":  {"inner = true", "job file:1"},
		"too long":    {"label = '" + strings.Repeat("x", maxField+1) + "'", "label"},
	} {
		t.Run(name, func(t *testing.T) {
			status, told := post(t, at+"/api/job", c.text)
			require.Equal(t, http.StatusOK, status)
			var back opened
			require.NoError(t, json.Unmarshal(told, &back))
			require.NotEmpty(t, back.Faults)
			assert.Equal(t, "job", back.Faults[0].Field)
			assert.Contains(t, back.Faults[0].Text, c.says)
			assert.Empty(t, back.Query)
		})
	}
	status, _, _ := get(t, at+"/file/job.toml?height=x")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	status, _, text := get(t, at+"/file/job.toml?stays.bore=45.7")
	assert.Equal(t, http.StatusOK, status, "a job without threads may be saved: %s", text)
}

func TestLadder(t *testing.T) {
	at := open(t)
	steps := "&ladder.from=0.2&ladder.to=0.3&ladder.step=0.1"
	view := getJSON[ladderView](t, at+"/api/ladder?"+smallRing+steps)
	require.Empty(t, view.Faults)
	require.Len(t, view.Rungs, 2)
	assert.Equal(t, "0.20", view.Rungs[0].Rung)

	status, _, body := get(t, at+"/file/ladder.zip?"+smallRing+steps)
	require.Equal(t, http.StatusOK, status, "%s", body)
	z, err := zip.NewReader(bytes.NewReader(body), int64(len(body)))
	require.NoError(t, err)
	parts := 0
	for _, f := range z.File {
		assert.NotContains(t, f.Name, "/")
		r, err := f.Open()
		require.NoError(t, err)
		data, err := io.ReadAll(r)
		require.NoError(t, err)
		if strings.HasSuffix(f.Name, ".stl") {
			m, err := mesh.ReadBack(bytes.NewReader(data))
			require.NoError(t, err)
			assert.True(t, mesh.Audit(m).Sound())
			parts++
		}
		assert.NotContains(t, string(data), "tryring-ladder-", "%s tells where it was made", f.Name)
	}
	assert.Equal(t, 2, parts)
}

func TestLadderFaults(t *testing.T) {
	at := open(t)
	for _, c := range []struct{ name, query, field, says string }{
		{"nothing", "", "ladder.from", "missing"},
		{"no step", "&ladder.from=0.1&ladder.to=0.4", "ladder.step", "missing"},
		{"from no length", "&ladder.from=x&ladder.to=0.4&ladder.step=0.1", "ladder.from", `"x"`},
		{"downwards", "&ladder.from=0.4&ladder.to=0.1&ladder.step=0.1", "ladder.from", "above"},
		{"step of nothing", "&ladder.from=0.1&ladder.to=0.4&ladder.step=0", "ladder.step", "above 0"},
		{"too many", "&ladder.from=0.1&ladder.to=0.4&ladder.step=0.01", "ladder.step", "at most 15"},
		{"far too many", "&ladder.from=0.01&ladder.to=2&ladder.step=0.01", "ladder.step", "at most 40"},
		{"too many triangles", "&ladder.from=0.1&ladder.to=0.4&ladder.step=0.03&chord=0.0005&height=120", "ladder.step", "triangles"},
	} {
		t.Run(c.name, func(t *testing.T) {
			view := getJSON[ladderView](t, at+"/api/ladder?"+twoThreads+c.query)
			require.NotEmpty(t, view.Faults)
			assert.Equal(t, c.field, view.Faults[0].Field, "%v", view.Faults)
			assert.Contains(t, view.Faults[0].Text, c.says)
			assert.NotContains(t, view.Faults[0].Text, "--")
			status, _, _ := get(t, at+"/file/ladder.zip?"+twoThreads+c.query)
			assert.Equal(t, http.StatusUnprocessableEntity, status)
		})
	}
}

// FuzzForm throws any query at everything that reads fields: no panic, and every fault names a field of the page.
func FuzzForm(f *testing.F) {
	f.Add(twoThreads + "&unit=inch&height=7/8&stays.bore=1;2&goes.pitch=14")
	f.Add("inner=%ff&outer=../x&clearance=-")
	printers, tables := testThings(f)
	s := &site{tables: tables, learnt: learnt{printers: printers}}
	known := map[string]bool{"": true}
	for _, key := range formKeys() {
		known[key] = true
	}
	f.Fuzz(func(t *testing.T, text string) {
		query, err := url.ParseQuery(text)
		if err != nil || len(text) > maxQuery {
			return
		}
		fields, faults := readForm(query)
		_, _, more := s.settle(fields)
		for _, side := range sides {
			faults = append(faults, s.identifyPart(fields, faults, side).Faults...)
		}
		for _, one := range append(faults, more...) {
			if !known[one.Field] || one.Text == "" {
				t.Fatalf("%q: fault %+v", text, one)
			}
		}
		sheet, _ := fields.sheet()
		if sheet.Document == nil {
			return
		}
		if saved, err := sheet.Text(); err == nil {
			if _, err := job.Parse("saved", saved); err != nil {
				t.Fatalf("%q: saved job does not read: %v\n%s", text, err, saved)
			}
		}
	})
}

func TestFaultsTellOnceWhatWasRead(t *testing.T) {
	at := open(t)
	for _, query := range []string{"stays.throat=x&stays.bore=45", "stays.bore=45&stays.count=3&stays.over=x"} {
		found := getJSON[identified](t, at+"/api/identify?part=stays&"+query)
		require.Len(t, found.Faults, 1)
		assert.Equal(t, 1, strings.Count(found.Faults[0].Text, `"x"`), found.Faults[0].Text)
	}
}
