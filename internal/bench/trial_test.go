package bench

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/printer"
)

// openWith starts a site that keeps trials in folder.
func openWith(t *testing.T, folder string) string {
	t.Helper()
	printers, tables := testThings(t)
	server := httptest.NewUnstartedServer(nil)
	handler, err := New(Config{Addr: server.Listener.Addr().String(), Tables: tables, Printers: printers, Shelf: printer.Folder(folder)})
	require.NoError(t, err)
	server.Config.Handler = handler
	server.Start()
	t.Cleanup(server.Close)
	return server.URL
}

const printedLadder = twoThreads + "&printer=filament-0.4&ladder.from=0.1&ladder.to=0.4&ladder.step=0.1"

func TestTrialTeachesAndIsKept(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "printers")
	at := openWith(t, folder)
	query := printedLadder + "&tried=inner:0.10%3Ddoes+not+start,inner:0.20%3Dsnug,inner:0.30%3Dgoes"
	before := getJSON[ringView](t, at+"/api/ring?"+printedLadder)

	told := getJSON[trialView](t, at+"/api/trial?"+query)
	require.Empty(t, told.Faults)
	require.NotEmpty(t, told.Taught)
	assert.True(t, told.CanKeep)
	assert.False(t, told.Kept)
	r, err := http.Head(at + "/api/trial?do=keep&" + query)
	require.NoError(t, err)
	require.NoError(t, r.Body.Close())
	_, err = os.Stat(folder)
	assert.ErrorIs(t, err, os.ErrNotExist, "asking keeps nothing")

	do := func(deed string) (view trialView) {
		t.Helper()
		status, body := post(t, at+"/api/trial?do="+deed+"&"+query, "")
		require.Equal(t, http.StatusOK, status, "%s", body)
		require.NoError(t, json.Unmarshal(body, &view))
		return view
	}
	kept := do("keep")
	require.Empty(t, kept.Faults)
	assert.True(t, kept.Kept)
	require.Len(t, kept.Trials, 1)
	assert.Contains(t, kept.Trials[0].Text, "inside 0.10 on 1 5/8-16 UN does not start")
	assert.Equal(t, told.Taught, kept.Taught)
	files, err := filepath.Glob(filepath.Join(folder, "*"))
	require.NoError(t, err)
	assert.NotEmpty(t, files)
	taught := getJSON[ringView](t, at+"/api/ring?"+printedLadder)
	assert.NotEqual(t, before.SVG, taught.SVG, "the next ring makes use of it")

	second := do("anyway") // the same once more
	require.Len(t, second.Trials, 2)
	left := do("drop&id=1")
	require.Empty(t, left.Faults)
	require.Len(t, left.Trials, 1)
	assert.Equal(t, 2, left.Trials[0].ID, "any one is taken back, not the last alone")
	back := do("drop&id=2")
	require.Empty(t, back.Faults)
	assert.Empty(t, back.Trials)
	assert.Equal(t, before.SVG, getJSON[ringView](t, at+"/api/ring?"+printedLadder).SVG)
	assert.NotEmpty(t, do("drop&id=2").Faults, "nothing is left to take back")
	assert.NotEmpty(t, do("drop&id=x").Faults)
}

// A ladder that is printed is shown, and its outcomes are read, as it was printed, whatever was learned since.
func TestPrintedLadderStays(t *testing.T) {
	at := openWith(t, t.TempDir())
	first := getJSON[ladderView](t, at+"/api/ladder?"+printedLadder)
	require.Empty(t, first.Faults)
	as := printedLadder + fmt.Sprintf("&ladder.printer=filament-0.4&ladder.taught=%d", first.Taught)
	keep := func(query string) trialView {
		t.Helper()
		status, body := post(t, at+"/api/trial?do=keep&"+query, "")
		require.Equal(t, http.StatusOK, status, "%s", body)
		var view trialView
		require.NoError(t, json.Unmarshal(body, &view))
		require.Empty(t, view.Faults)
		return view
	}
	keep(as + "&tried=inner:0.10%3Ddoes+not+start,inner:0.20%3Dsnug,inner:0.30%3Dgoes")
	learned := getJSON[ladderView](t, at+"/api/ladder?"+printedLadder)
	assert.NotEqual(t, first.Rungs, learned.Rungs, "the next one is another")
	assert.Equal(t, 1, learned.Taught)
	assert.Equal(t, first.Rungs, getJSON[ladderView](t, at+"/api/ladder?"+as).Rungs)
	tight := as + "&tried=outer:0.40%3Ddoes+not+start"
	assert.NotEqual(t, getJSON[trialView](t, at+"/api/trial?"+tight).Taught, getJSON[trialView](t, at+"/api/trial?"+tight+"&tried.end=top").Taught, "from the top it is no closed entry")
	doubts := getJSON[trialView](t, at+"/api/trial?"+as+"&tried=inner:0.10%3Dgoes").Doubts
	require.Len(t, doubts, 1)
	assert.Contains(t, doubts[0], "rung 0.20 (inside), with 0.10 mm more room, is snug (trial 1)")
	_, header, _ := get(t, at+"/file/ladder.zip?"+as)
	assert.Equal(t, "1", header.Get("Tryring-Taught"), "a new one knows what is known")
}

// What cannot all be right, or was tried on another printer's ladder, is kept only with a word.
func TestDoubtfulTrial(t *testing.T) {
	at := openWith(t, t.TempDir())
	do := func(deed, query string) (view trialView) {
		t.Helper()
		status, body := post(t, at+"/api/trial?do="+deed+"&"+query, "")
		require.Equal(t, http.StatusOK, status, "%s", body)
		require.NoError(t, json.Unmarshal(body, &view))
		return view
	}
	require.Empty(t, do("keep", printedLadder+"&tried=inner:0.10%3Dgoes").Faults)
	for _, c := range []struct{ name, query, says string }{
		{"contradicts", printedLadder + "&tried=inner:0.40%3Ddoes+not+start", "more room"},
		{"another printer's ladder", printedLadder + "&ladder.printer=filament-0.25&tried=outer:0.30%3Dgoes", "built for printer filament-0.25, not for filament-0.4"},
	} {
		t.Run(c.name, func(t *testing.T) {
			told := getJSON[trialView](t, at+"/api/trial?"+c.query)
			require.Len(t, told.Doubts, 1)
			assert.Contains(t, told.Doubts[0], c.says)
			assert.Contains(t, told.Doubts[0], "this trial")
			refused := do("keep", c.query)
			require.NotEmpty(t, refused.Faults)
			assert.Contains(t, refused.Faults[0].Text, c.says)
			assert.False(t, refused.Kept)
			kept := do("anyway", c.query)
			require.Empty(t, kept.Faults)
			assert.True(t, kept.Kept)
			last := kept.Trials[len(kept.Trials)-1]
			assert.Empty(t, do(fmt.Sprintf("drop&id=%d", last.ID), c.query).Faults)
		})
	}
}

func TestTrialFaults(t *testing.T) {
	at := openWith(t, t.TempDir())
	for _, c := range []struct{ name, query, says string }{
		{"no printer", twoThreads + "&ladder.from=0.1&ladder.to=0.4&ladder.step=0.1&tried=inner:0.10%3Dgoes", "printer"},
		{"nothing tried", printedLadder, "say what each rung did"},
		{"no such rung", printedLadder + "&tried=inner:0.15%3Dgoes", "has no rung 0.15"},
		{"no such outcome", printedLadder + "&tried=inner:0.10%3Dperhaps", "perhaps"},
		{"no side", printedLadder + "&tried=0.10%3Dgoes", "side"},
		{"twice", printedLadder + "&tried=inner:0.10%3Dgoes,inner:0.10%3Dsnug", "twice"},
	} {
		t.Run(c.name, func(t *testing.T) {
			view := getJSON[trialView](t, at+"/api/trial?"+c.query)
			require.NotEmpty(t, view.Faults)
			assert.Equal(t, "tried", view.Faults[0].Field)
			assert.Contains(t, view.Faults[0].Text, c.says)
			assert.NotContains(t, view.Faults[0].Text, "--")
		})
	}
	status, _ := post(t, at+"/api/trial?do=burn&"+printedLadder, "")
	assert.Equal(t, http.StatusBadRequest, status)
	r, err := http.Post(at+"/api/trial?do=keep&"+printedLadder+"&tried=inner:0.10%3Dgoes", "text/plain", nil)
	require.NoError(t, err)
	_ = r.Body.Close()
	assert.Equal(t, http.StatusForbidden, r.StatusCode, "another site teaches nothing")

	status, body := post(t, open(t)+"/api/trial?do=keep&"+printedLadder+"&tried=inner:0.10%3Dgoes", "")
	assert.Equal(t, http.StatusOK, status)
	assert.Contains(t, string(body), "no folder")
}
