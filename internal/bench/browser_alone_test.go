//go:build browser

package bench

// This file opens the page as one file, from a disk and without a network: TRYRING_PAGE names the file, which else is made first.

import (
	"encoding/base64"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// alonePath is where the one file lies.
func alonePath(t *testing.T) string {
	t.Helper()
	path := os.Getenv("TRYRING_PAGE")
	if path == "" {
		path = filepath.Join(t.TempDir(), "tryring.html")
		told, err := exec.Command("go", "run", "tryring/cmd/page", "-out", path).CombinedOutput()
		require.NoError(t, err, "%s", told)
	}
	return path
}

// offline starts a browser without a network for the one file.
func offline(t *testing.T, flags map[string]any) *tab {
	t.Helper()
	p := openTabAt(t, "file://"+alonePath(t), "", flags)
	_, err := chromedp.Call(p.ctx, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: []*network.Conditions{{Offline: true}}})
	require.NoError(t, err)
	return p
}

// TestBrowserAloneStarts tells how soon the one file is there; no time is asserted, since a loaded machine must not fail a test.
func TestBrowserAloneStarts(t *testing.T) {
	p := offline(t, nil)
	for range 2 {
		p.open("")
		p.until("document.documentElement.dataset.bench === 'yes'")
		t.Logf("painted after %.0f ms, ready after %.0f ms", value[float64](p, "performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? 0"), value[float64](p, "performance.now()"))
	}
}

// TestBrowserAloneOffAServer opens it off one that knows nothing but files, under the policy with which a shared bench hands it out.
func TestBrowserAloneOffAServer(t *testing.T) {
	path := alonePath(t)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", takeAwayPolicy)
		http.ServeFile(w, r, path)
	}))
	t.Cleanup(server.Close)
	p := openTabAt(t, server.URL+"/tryring.html", "?"+smallRing, nil)
	p.made("IN M20x1.5 OUT M30x2")
	for _, asked := range p.loaded {
		assert.NotContains(t, asked, "api/", "it asks itself alone")
	}
}

// TestBrowserAloneKeeps: a reload, and the file opened anew, go on with the job and with what trials taught.
func TestBrowserAloneKeeps(t *testing.T) {
	p := offline(t, nil)
	p.open("?" + printedLadder)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.until("document.querySelectorAll('#rungs select').length > 0")
	value[any](p, "(s => { s.value = 'goes'; s.dispatchEvent(new Event('input', { bubbles: true })); s.dispatchEvent(new Event('change', { bubbles: true })); })(document.querySelector('#rungs select'))")
	p.until("!document.getElementById('keep').hidden")
	value[any](p, "document.getElementById('keep').click()")
	p.until("document.querySelectorAll('#trials li').length === 1")
	for _, again := range []func(){func() { p.open("") }, func() { p.do(chromedp.Reload()) }} {
		again()
		p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
		p.until("document.querySelectorAll('#trials li').length === 1")
		assert.Equal(t, "filament-0.4", value[string](p, "document.getElementsByName('printer')[0].value"))
	}
	assert.Equal(t, 1, value[int](p, "Object.keys(localStorage).filter((key) => key.startsWith('tryring job ')).length"), "it is one job all the time")
}

// TestBrowserAloneMakesTheSameFiles: the JSON file of a ring, which holds the digests of all its other files, is the same to the last bit.
func TestBrowserAloneMakesTheSameFiles(t *testing.T) {
	p := offline(t, nil)
	p.open("?" + withReadings)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	got := p.download(t.TempDir(), "ring.json", "in-1-5-8-16-UN-out-1-7-8-14-UNS.json")
	asked := value[string](p, "new URL(document.querySelector('a[data-file=\"ring.json\"]').href).search")
	want := request("GET", handlerOf(t), "/file/ring.json"+asked, "")
	assert.Equal(t, okay, want.Code)
	assert.Equal(t, want.Body.String(), string(got))
}

// TestBrowserAloneWholeJobByTouch does the whole job on a phone; the command makes the same STL of the job file that is saved there.
func TestBrowserAloneWholeJobByTouch(t *testing.T) {
	p, folder := offline(t, nil), t.TempDir()
	p.phone("light")
	p.open("")
	stl := p.wholeJobByTouch(folder)
	p.open("") // which goes on with the job
	p.at("stands")
	p.stands("stays 1 7/8-14 goes in 1 5/8-16 goes")
	const name = "in-1-5-8-16-UN-out-1-7-8-14-UNS"
	p.tap("#chips button:nth-child(3)")
	p.goOn("take")
	p.tap("[data-file='job.toml']")
	require.NotEmpty(t, p.saved(folder, name+".toml"))
	told, err := exec.Command("go", "run", "tryring/cmd/tryring", "ring", filepath.Join(folder, name+".toml"), "--out", filepath.Join(folder, "out")).CombinedOutput()
	require.NoError(t, err, "%s", told)
	want, err := os.ReadFile(filepath.Join(folder, "out", name+".stl"))
	require.NoError(t, err)
	assert.True(t, string(want) == string(stl))

	// Another job does not drop it.
	p.open("")
	p.tap("#anew button")
	p.at("start")
	assert.NotContains(t, value[string](p, "document.getElementById('start').innerText"), "keeps nothing")
	assert.Equal(t, "Go on: stays 1 7/8-14 UNS, goes in 1 5/8-16 UN", value[string](p, "document.querySelector('#start .kept button').textContent"))
	p.shot("kept")
	p.accessible()
	p.tap("#start .kept button")
	p.at("stands")
	p.stands("stays 1 7/8-14 goes in 1 5/8-16 goes")
	p.tap("#anew button")
	p.at("start")
	p.do(chromedp.SetUploadFiles("#open-job", []string{filepath.Join(folder, name+".toml")}))
	p.at("stands")
	p.stands("stays 1 7/8-14 goes in 1 5/8-16 goes")
}

// TestBrowserAloneSaysWhatIsMissing opens it where a browser is too old, and where scripts are off.
func TestBrowserAloneSaysWhatIsMissing(t *testing.T) {
	p := offline(t, nil)
	shown := func() string { return value[string](p, "document.body.innerText") }
	assert.NotContains(t, shown(), "too old")
	_, err := chromedp.Call(p.ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: "delete window.DecompressionStream"})
	require.NoError(t, err)
	p.do(chromedp.Reload())
	assert.Contains(t, shown(), "too old for this page")
	assert.Contains(t, shown(), "It lacks: unpacking.")
	_, err = chromedp.Call(p.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
	require.NoError(t, err)
	p.do(chromedp.Reload())
	text, err := chromedp.Run(p.ctx, chromedp.Text("noscript"))
	require.NoError(t, err)
	assert.Contains(t, text, "JavaScript")
}

// TestBrowserAloneKeepsNothing opens it where a page has neither an address to write nor a storage, as a file may on a phone.
func TestBrowserAloneKeepsNothing(t *testing.T) {
	p := offline(t, nil)
	p.phone("dark")
	text, err := os.ReadFile(strings.TrimPrefix(p.address, "file://"))
	require.NoError(t, err)
	blob := value[string](p, "URL.createObjectURL(new Blob([Uint8Array.from(atob('"+base64.StdEncoding.EncodeToString(text)+"'), (c) => c.charCodeAt(0))], { type: 'text/html' }))")
	p.do(chromedp.Navigate(blob))
	p.until("document.documentElement.dataset.ready === 'yes'")
	p.at("start")
	assert.Contains(t, value[string](p, "document.getElementById('start').innerText"), "keeps nothing")
	p.tap("[data-way=names]")
	p.at("names")
	p.rewrite("inner", "M20x1.5")
	p.rewrite("outer", "M30x2")
	p.goOn("ring")
	p.goOn("look")
	p.made("IN M20x1.5 OUT M30x2")
	p.tap("#back")
	p.at("ring")
	p.tap("#back")
	p.at("names")
	assert.Equal(t, "M30x2", value[string](p, "document.getElementsByName('outer')[0].value"))
}
