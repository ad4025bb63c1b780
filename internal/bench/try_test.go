package bench

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"tryring/internal/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// withReadings is a ring with the readings that it was picked by, made on a known printer.
const withReadings = twoThreads + "&printer=filament-0.4&stays.bore=45.7&stays.count=15&stays.over=25.4&goes.outside=41.2&goes.pitch=16+tpi"

func TestTryMovesTheCandidates(t *testing.T) {
	at := open(t)
	weight := func(part, query, designation string) float64 {
		t.Helper()
		found := getJSON[identified](t, at+"/api/identify?part="+part+"&"+query)
		require.Empty(t, found.Faults)
		for _, c := range found.Candidates {
			if c.Designation == designation {
				return c.Weight
			}
		}
		return 0
	}
	before := weight("stays", withReadings, "1 7/8-14 UNS")
	for _, c := range []struct {
		name, result string
		up           bool
	}{{"goes", "goes", true}, {"snug", "snug", true}, {"does not start", "does not start", false}, {"stops", "stops", false}} {
		t.Run(c.name, func(t *testing.T) {
			view := getJSON[tryView](t, at+"/api/try?side=outer&outer.turns=4&result="+url.QueryEscape(c.result)+"&"+withReadings)
			require.Empty(t, view.Faults)
			require.Len(t, view.Told, 1)
			told := view.Told[0]
			assert.Equal(t, "1 7/8-14 UNS", told.Ring)
			assert.NotEmpty(t, told.Meaning)
			assert.NotEmpty(t, told.Weights)
			assert.NotEmpty(t, told.Next)
			if c.name == "stops" {
				assert.Equal(t, "stops after 4 turns", told.Result)
			}
			kept := withReadings + "&tries=" + url.QueryEscape(view.Tries)
			after := weight("stays", kept, "1 7/8-14 UNS")
			assert.Equal(t, c.up, after > before, "%g, then %g", before, after)
			assert.InDelta(t, weight("goes", withReadings, "1 5/8-16 UN"), weight("goes", kept, "1 5/8-16 UN"), 1e-12, "the other side was not tried")

			again := getJSON[tryView](t, at+"/api/try?"+kept)
			assert.Equal(t, view, again, "a reload tells the same")
		})
	}
}

// Only the last try of a side is told at length; the ring may have changed since the first.
func TestTriesFollowOneAnother(t *testing.T) {
	at := open(t)
	first := getJSON[tryView](t, at+"/api/try?side=outer&result=does+not+start&"+withReadings)
	require.Empty(t, first.Faults)
	second := getJSON[tryView](t, at+"/api/try?side=outer&result=goes&clearance=0.6&tries="+url.QueryEscape(first.Tries)+"&"+withReadings)
	require.Empty(t, second.Faults)
	require.Len(t, second.Told, 2)
	assert.Equal(t, first.Told[0].Line, second.Told[0].Line)
	assert.NotEqual(t, strings.Split(second.Told[0].Line, "|")[3], strings.Split(second.Told[1].Line, "|")[3], "another gap, another pitch diameter")
	assert.Empty(t, second.Told[0].Next)
	assert.NotEmpty(t, second.Told[1].Next)
	third := getJSON[tryView](t, at+"/api/try?side=inner&result=goes&tries="+url.QueryEscape(second.Tries)+"&"+withReadings)
	require.Len(t, third.Told, 3)
	assert.NotEmpty(t, third.Told[1].Next)
	assert.NotEmpty(t, third.Told[2].Next)
}

func TestTryWithoutReadings(t *testing.T) {
	view := getJSON[tryView](t, open(t)+"/api/try?side=inner&result=goes&"+twoThreads)
	require.Empty(t, view.Faults)
	require.Len(t, view.Told, 1)
	assert.NotEmpty(t, view.Told[0].Meaning)
	assert.Contains(t, view.Told[0].Next, "Read the part that goes in")
}

func TestTryFaults(t *testing.T) {
	at := open(t)
	line := getJSON[tryView](t, at+"/api/try?side=outer&result=goes&"+withReadings).Tries
	for _, c := range []struct{ name, query, field, says string }{
		{"no ring", "side=outer&result=goes", "tries", "no ring yet"},
		{"a ring that cannot be", "side=outer&result=goes&height=x&" + twoThreads, "tries", "no ring yet"},
		{"no side", "side=top&result=goes&" + twoThreads, "tries", `"top"`},
		{"no result", "side=outer&" + twoThreads, "tries", "no result"},
		{"another result", "side=outer&result=fell&" + twoThreads, "tries", `"fell"`},
		{"no turns", "side=outer&result=stops&" + twoThreads, "outer.turns", "how many"},
		{"no number of turns", "side=inner&result=stops&inner.turns=many&" + twoThreads, "inner.turns", "many"},
		{"no turns at all", "side=inner&result=stops&inner.turns=0&" + twoThreads, "inner.turns", "more than 0"},
		{"tries that are none", "tries=abc&" + twoThreads, "tries", "no try"},
		{"too many", "tries=" + url.QueryEscape(strings.Repeat(line+";", mostTries+1)) + "&" + twoThreads, "tries", "take one back"},
	} {
		t.Run(c.name, func(t *testing.T) {
			view := getJSON[tryView](t, at+"/api/try?"+c.query)
			require.Len(t, view.Faults, 1)
			assert.Equal(t, c.field, view.Faults[0].Field)
			assert.Contains(t, view.Faults[0].Text, c.says)
			assert.NotContains(t, view.Faults[0].Text, "--")
			assert.Empty(t, view.Told)
		})
	}
	found := getJSON[identified](t, at+"/api/identify?part=stays&tries=abc&"+withReadings)
	require.NotEmpty(t, found.Faults)
	assert.Equal(t, "tries", found.Faults[0].Field)
}

func TestTriesLiveInTheJobFile(t *testing.T) {
	at := open(t)
	tried := getJSON[tryView](t, at+"/api/try?side=outer&result=snug&"+withReadings).Tries
	tried = getJSON[tryView](t, at+"/api/try?side=inner&result=stops&inner.turns=3&tries="+url.QueryEscape(tried)+"&"+withReadings).Tries
	status, _, saved := get(t, at+"/file/job.toml?"+withReadings+"&tries="+url.QueryEscape(tried))
	require.Equal(t, http.StatusOK, status, "%s", saved)
	j, err := job.Parse("saved", saved)
	require.NoError(t, err)
	require.Len(t, j.Tries, 2)
	assert.Equal(t, "stops after 3 turns", j.Tries[1].Result)

	back := postJSON[opened](t, at+"/api/job", string(saved))
	require.Empty(t, back.Faults)
	query, err := url.ParseQuery(back.Query)
	require.NoError(t, err)
	assert.Equal(t, tried, query.Get("tries"))

	wrong := postJSON[opened](t, at+"/api/job", strings.Replace(string(saved), `side = "inner"`, `side = "top"`, 1))
	require.Len(t, wrong.Faults, 1)
	assert.Contains(t, wrong.Faults[0].Text, "try 2")
	status, _, body := get(t, at+"/file/job.toml?"+withReadings+"&tries=abc")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	assert.Contains(t, string(body), "no try")
}
