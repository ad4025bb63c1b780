//go:build browser

package bench

// This file does the whole job in the browser, by keyboard alone, and measures what is downloaded.

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/caliper"
	"tryring/internal/mesh"
	"tryring/internal/unit"
)

// saveTo has the browser save files in a folder.
func (p *tab) saveTo(folder string) {
	p.t.Helper()
	_, err := chromedp.CallBrowser(p.ctx, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{
		Behavior: browser.SetDownloadBehaviorBehaviorAllow, DownloadPath: folder,
	})
	require.NoError(p.t, err)
}

// saved waits for a file that is being saved.
func (p *tab) saved(folder, name string) []byte {
	p.t.Helper()
	path := filepath.Join(folder, name)
	for until := time.Now().Add(enough); time.Now().Before(until); time.Sleep(50 * time.Millisecond) {
		if data, err := os.ReadFile(path); err == nil && len(data) > 0 {
			if parts, _ := filepath.Glob(filepath.Join(folder, "*.crdownload")); len(parts) == 0 {
				return data
			}
		}
	}
	p.t.Fatalf("%s was never saved", name)
	return nil
}

// download presses Enter on a file's link and returns what was saved under the given name.
func (p *tab) download(folder, file, name string) []byte {
	p.t.Helper()
	p.saveTo(folder)
	p.tabTo(fmt.Sprintf("a[data-file='%s']", file))
	p.keys("\r")
	return p.saved(folder, name)
}

func TestBrowserWholeJobByKeyboard(t *testing.T) {
	p := openTab(t, "", nil)
	p.size(1440, 900, "light")
	assert.Contains(t, p.text("look-state"), "Pick both threads")
	p.shot("empty")

	// The fitting that stays, read in mm: the first letters of a reading are no error.
	p.enter("stays.bore", "45.7")
	p.enter("stays.count", "15")
	p.enter("stays.over", "25.4")
	candidate := func(part, designation string) {
		t.Helper()
		p.until(fmt.Sprintf("document.querySelector('[data-part=%s] .candidates li:first-child button .name')?.textContent === %q", part, designation))
		p.tabTo(fmt.Sprintf("[data-part=%s] .candidates li:first-child button", part))
		p.keys("\r")
		p.until(fmt.Sprintf("document.querySelector('[data-part=%s] .candidates button[aria-pressed=true] .name')?.textContent === %q", part, designation))
	}
	candidate("stays", "1 7/8-14 UNS")
	assert.Equal(t, "1 7/8-14 UNS", p.fields().Get("outer"))

	p.enter("goes.outside", "41.2")
	p.enter("goes.pitch", "16 tpi")
	candidate("goes", "1 5/8-16 UN")
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.until("document.querySelector('#drawing svg title')")
	p.until("Number(document.getElementById('view').dataset.triangles) > 10000 && Number(document.getElementById('view').dataset.painted) > 0")
	p.shot("picked")

	// The choices, by keyboard: the printer's first letters, a gap, a name.
	p.tabTo("[name=printer]")
	p.keys("filament-0.4")
	p.until("document.getElementsByName('printer')[0].value === 'filament-0.4'")
	p.enter("clearance", "0.25")
	p.shot("ring")
	p.until("document.getElementById('facts').textContent.includes('0.250 mm')")

	// The 3D view turns by keys.
	p.tabTo("#view")
	painted := value[int](p, "Number(document.getElementById('view').dataset.painted)")
	p.keys("+")
	p.until(fmt.Sprintf("Number(document.getElementById('view').dataset.painted) > %d", painted))
	p.shot("turned")

	folder := t.TempDir()
	stl := p.download(folder, "ring.stl", "in-1-5-8-16-UN-out-1-7-8-14-UNS.stl")
	m, err := mesh.ReadBack(bytes.NewReader(stl))
	require.NoError(t, err)
	assert.True(t, mesh.Audit(m).Sound())
	found, err := caliper.Measure(m, caliper.Options{})
	require.NoError(t, err)
	require.NotNil(t, found.Inner)
	require.NotNil(t, found.Outer)
	assert.InDelta(t, unit.MMPerInch/16, found.Inner.PitchMM, 0.005)
	assert.InDelta(t, unit.MMPerInch/14, found.Outer.PitchMM, 0.005)
	// 1.875 in basic (ASME B1.1), less the gap, less what the printer adds; the flanks alone are moved for its layers.
	printers, _ := testThings(t)
	profile, err := printers.Find("filament-0.4")
	require.NoError(t, err)
	assert.InDelta(t, 1.875*unit.MMPerInch-0.25-profile.OutsideAdds.MM(), found.Outer.MajorMM, 0.01)

	p.until("document.querySelector('#take .took').textContent.includes('in-1-5-8-16-UN-out-1-7-8-14-UNS.stl')")
	p.shot("taken")
	jobFile := p.download(folder, "job.toml", "in-1-5-8-16-UN-out-1-7-8-14-UNS.toml")
	assert.Contains(t, string(jobFile), "[[stays]]")

	// A parts list, and its verdicts.
	list := filepath.Join(folder, "list.csv")
	require.NoError(t, os.WriteFile(list, []byte(adapters), 0o644))
	p.do(chromedp.SetUploadFiles("#parts", []string{list}))
	p.until("document.querySelectorAll('#ranked .head').length === 2")
	assert.Contains(t, p.text("ranked"), "%")
	p.until("document.getElementById('answer').textContent.includes('A joins both threads')")
	p.tabTo("#try .next button")
	p.keys("\r")
	p.until("document.activeElement.id === 'title-outer.turns'")
	for _, side := range []string{"outer", "inner"} {
		p.tabTo(fmt.Sprintf("#try [data-side=%s] [data-result=goes]", side))
		p.keys("\r")
		p.until(fmt.Sprintf("document.querySelector('#try [data-side=%s] .told li')", side))
	}
	p.until("document.querySelector('#stands .next').textContent.includes('Order A') && !document.getElementById('order').hidden")
	value[any](p, "document.getElementById('stands').scrollIntoView()")
	p.shot("order")
	value[any](p, "document.getElementById('ranked').scrollIntoView()")
	p.shot("list")

	// A ladder; what fitted becomes the gap.
	p.enter("ladder.from", "0.1")
	p.enter("ladder.to", "0.3")
	p.enter("ladder.step", "0.1")
	p.until("document.querySelectorAll('#rungs li').length === 3")
	p.shot("ladder")
	p.tabTo("#rungs li:nth-child(2) button")
	p.keys("\r")
	p.until("document.getElementsByName('clearance')[0].value === '0.20 mm'")
	p.until("document.getElementById('facts').textContent.includes('0.200 mm')")

	// What a rung did teaches of the printer; it is in the address too.
	p.tabTo("[id='tried-inner-0.20']")
	p.keys("goes")
	p.until("document.getElementById('taught').textContent.includes('Bores come out')")
	p.until("location.search.includes('tried=inner%3A0.20%3Dgoes')")
	p.shot("tried")

	// A reload brings all of it back, the list too.
	before := value[string](p, "location.href")
	p.do(chromedp.Reload())
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	assert.Equal(t, before, value[string](p, "location.href"))
	assert.Equal(t, "45.7", value[string](p, "document.getElementsByName('stays.bore')[0].value"))
	p.until("document.querySelectorAll('#ranked .head').length === 2")
	p.until("document.querySelectorAll('#rungs li').length === 3")
	p.until("document.getElementById('taught').textContent.includes('Bores come out')")

	// The job file that was saved opens on a fresh page.
	p.open("")
	saved := filepath.Join(folder, "in-1-5-8-16-UN-out-1-7-8-14-UNS.toml")
	p.do(chromedp.SetUploadFiles("#open-job", []string{saved}))
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.until("document.querySelector('[data-part=stays] .kept input')?.value === '45.7'")
	assert.Empty(t, value[string](p, "document.getElementsByName('stays.bore')[0].value"), "the field is for the next reading")
	assert.Equal(t, "filament-0.4", p.fields().Get("printer"))
}

func TestBrowserBackButton(t *testing.T) {
	p := openTab(t, "?"+twoThreads, nil)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.rewrite("inner", "M30")
	p.made("IN M30x3.5 OUT 1 7/8-14 UNS")
	p.enter("height", "30")
	p.until("document.getElementById('facts').textContent.includes('30.000 mm')")
	p.until("location.search.includes('height=30')")
	value[any](p, "history.back()")
	p.until("!location.search.includes('height')")
	p.until("document.getElementById('facts').textContent.includes('30.000 mm') === false")
	assert.Equal(t, "M30", value[string](p, "document.getElementsByName('inner')[0].value"))
	value[any](p, "history.back()")
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	value[any](p, "history.forward()")
	p.made("IN M30x3.5 OUT 1 7/8-14 UNS")
}

func TestBrowserUnitSwitch(t *testing.T) {
	p := openTab(t, "", nil)
	p.enter("stays.bore", "45.7")
	value[any](p, "document.querySelector('[name=unit][value=inch]').click()")
	p.until("document.getElementsByName('stays.bore')[0].value === '45.7 mm'")
	assert.Equal(t, "inch", p.fields().Get("unit"))
	p.rewrite("stays.bore", "1.8")
	p.enter("stays.pitch", "14")
	p.until("document.querySelector('[data-part=stays] .candidates button .name')?.textContent === '1 7/8-14 UNS'")
}

// TestBrowserTellsHowAFileGoes presses a file's link while the bench is gone, and when it is back.
func TestBrowserTellsHowAFileGoes(t *testing.T) {
	p := openTab(t, "?"+twoThreads, nil)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	// A question is under way when the bench goes, and is answered after the press that failed.
	value[any](p, "window.held = window.fetch; window.fetch = (...a) => new Promise((go) => { window.go = () => go(window.held(...a)); }); 0")
	value[any](p, "import('/page/ask.js').then((m) => { window.late = m.get('/api/threads?text=M30'); }).then(() => 0)")
	value[any](p, "window.fetch = () => Promise.reject(new TypeError('gone')); 0")
	value[any](p, "document.querySelector('a[data-file=\"ring.stl\"]').click()")
	p.until("document.getElementById('status').textContent.includes('still running')")
	assert.Equal(t, 200, value[int](p, "window.go(); window.late.then((a) => a.status)"))
	assert.Contains(t, p.text("status"), "still running", "what was asked before does not say that the bench is back")
	assert.Empty(t, value[string](p, "document.querySelector('#take .took').textContent"))
	value[any](p, "window.fetch = (...a) => new Promise((go) => { window.go = () => go(window.held(...a)); }); 0")
	value[any](p, "document.querySelector('a[data-file=\"ring.stl\"]').click()")
	assert.Equal(t, "STL is being made…", value[string](p, "document.querySelector('#take .took').textContent"))
	p.shot("making")
	value[any](p, "window.fetch = window.held; window.go(); 0")
	p.until("document.querySelector('#take .took').textContent.startsWith('✓ in-1-5-8-16-UN-out-1-7-8-14-UNS.stl, ')")
}

// TestBrowserAddressFollowsTheHand types and leaves at once: what was typed last stands in the address all the same.
func TestBrowserAddressFollowsTheHand(t *testing.T) {
	p := openTab(t, "?"+twoThreads, nil)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	entries := value[int](p, "history.length")
	p.enter("height", "31")
	p.keys("\t") // leaving the field writes at once
	assert.Equal(t, "31", p.fields().Get("height"))
	assert.Equal(t, entries+1, value[int](p, "history.length"), "one entry is one step back")
	p.rewrite("label", "MINE")
	value[any](p, "dispatchEvent(new PageTransitionEvent('pagehide'))")
	assert.Equal(t, "MINE", p.fields().Get("label"))
	value[any](p, "history.back()")
	p.until("document.getElementsByName('label')[0].value === ''")
	assert.Equal(t, "31", value[string](p, "document.getElementsByName('height')[0].value"))
}

// TestBrowserShowsAnExample presses the one button of an empty page, on a phone.
func TestBrowserShowsAnExample(t *testing.T) {
	p := openTab(t, "", nil)
	p.size(360, 740, "light")
	p.shot("empty")
	p.do(chromedp.Click("#example"))
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.until("[...document.querySelectorAll('[data-part]')].every((c) => c.querySelector('.candidates button'))")
	p.shot("shown")
	p.do(chromedp.Click("#chips button:last-child"))
	p.until("document.querySelector('#stands .next button')?.textContent === 'Open a list'")
	p.tabTo("#stands .next button")
	p.keys("\r")
	p.until("document.activeElement.id === 'parts'")
}

// TestBrowserLeadsByButtons goes from an empty page to both threads by the next step's own button.
func TestBrowserLeadsByButtons(t *testing.T) {
	p := openTab(t, "", nil)
	next := func(words string) {
		t.Helper()
		p.until(fmt.Sprintf("document.querySelector('#stands .next button').textContent === %q && !document.querySelector('#stands .next').hidden", words))
		p.do(chromedp.Click("#stands .next button"))
	}
	next("Read it")
	p.until("document.activeElement.name === 'stays.bore'")
	assert.Equal(t, "1in", value[string](p, "document.getElementsByName('stays.over')[0].value"), "what is known is filled in")
	p.keys("45.7\t15")
	p.until("document.getElementById('answer').textContent.includes('1 7/8-14')")
	p.until("document.querySelector('#stands .next span').textContent.includes('goes in')")
	next("Read it")
	p.until("document.activeElement.name === 'goes.outside'")
	p.keys("41.2\t17")
	p.until("document.getElementById('answer').textContent.includes('1 5/8-16')")
	p.shot("read")
	next("Take it")
	p.until("document.getElementsByName('outer')[0].value === '1 7/8-14 UNS'")
	p.until("document.querySelector('#stands .next span').textContent.includes('1 5/8-16')")
	next("Take it")
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
}

// TestBrowserTurnsToTheInch: threads to the inch can be typed where a length has the number pad of a phone.
func TestBrowserTurnsToTheInch(t *testing.T) {
	p := openTab(t, "", nil)
	p.onePage()
	p.size(360, 740, "light")
	pad := func(name string) string {
		return value[string](p, fmt.Sprintf("document.getElementsByName(%q)[0].inputMode", name))
	}
	assert.Equal(t, "decimal", pad("stays.bore"))
	for _, name := range []string{"stays.pitch", "goes.leaf", "goes.no_leaf"} {
		assert.Equal(t, "text", pad(name), name)
	}
	p.enter("goes.outside", "41.2")
	p.enter("goes.pitch", "16 tpi")
	p.until("document.querySelector('[data-part=goes] .candidates button .name')?.textContent === '1 5/8-16 UN'")
	value[any](p, "document.querySelector('[name=unit][value=inch]').click()")
	assert.Equal(t, "text", pad("stays.bore"), "1 5/8 is no decimal")
}

// TestBrowserKeepsReadingsApart opens a file that was read with a ruler, reads on with a caliper, changes, takes out, and saves.
func TestBrowserKeepsReadingsApart(t *testing.T) {
	p := openTab(t, "", nil)
	folder := t.TempDir()
	path := filepath.Join(folder, "old.toml")
	require.NoError(t, os.WriteFile(path, []byte(oldJob), 0o644))
	p.onePage()
	p.size(360, 740, "light")
	p.do(chromedp.SetUploadFiles("#open-job", []string{path}))
	p.until("document.querySelectorAll('[data-part=stays] .kept li').length === 4")
	value[any](p, "document.querySelector('[data-part=stays] .kept').scrollIntoView()")
	p.shot("opened")
	rows := func(side string) string {
		return value[string](p, fmt.Sprintf("[...document.querySelectorAll('[data-part=%s] .kept li')].map((li) => [li.querySelector('input').value, li.querySelector('select')?.value ?? '-'].join(' ')).join('; ')", side))
	}
	assert.Equal(t, "46 ruler; 15 over 1in ruler; 45.7 ; yes -", rows("stays"))
	p.until("document.querySelector('[data-part=stays] .candidates button')")

	// What is typed next is the caliper's; switching over to the ruler afterwards asks first.
	p.enter("stays.bore", "45.72")
	p.until("!document.querySelector('[data-part=stays] .again').hidden")
	value[any](p, "(s => { s.value = 'ruler'; s.dispatchEvent(new Event('input', { bubbles: true })); })(document.getElementsByName('instrument')[0])")
	p.until("document.getElementById('doubt').open")
	p.shot("which")
	value[any](p, "document.querySelector('#doubt button').click()")
	p.until("document.querySelectorAll('[data-part=stays] .kept li').length === 5")
	assert.Equal(t, "ruler", value[string](p, "document.getElementsByName('instrument')[0].value"))
	assert.Equal(t, "46 ruler; 15 over 1in ruler; 45.7 ; yes -; 45.72 caliper", strings.ReplaceAll(rows("stays"), "45.72 ", "45.72 caliper"))

	// The same once more is asked about.
	value[any](p, "(s => { s.value = ''; s.dispatchEvent(new Event('input', { bubbles: true })); })(document.getElementsByName('instrument')[0])")
	p.rewrite("stays.bore", "45.72")
	p.until("!document.querySelector('[data-part=stays] .again').hidden")
	value[any](p, "document.querySelector('[data-part=stays] .again').click()")
	p.until("document.getElementById('doubt').open")
	p.shot("twice")
	value[any](p, "document.querySelector('#doubt button[value=no]').click()")
	p.until("!document.getElementById('doubt').open")
	assert.Len(t, strings.Split(rows("stays"), ";"), 5)
	p.rewrite("stays.bore", "")

	// A reading is changed where it stands, and a wrong one says so there.
	change := func(row, text string) {
		value[any](p, fmt.Sprintf("(e => { e.value = %q; e.dispatchEvent(new Event('change', { bubbles: true })); })(document.getElementById(%q))", text, row))
	}
	change("reading-1", "wide")
	p.until("!document.getElementById('fault-reading-1').hidden")
	p.shot("wrong")
	change("reading-1", "46.5")
	p.until("document.getElementById('reading-1').value === '46.5' && document.getElementById('fault-reading-1').hidden")
	value[any](p, "(s => { s.value = 'tape'; s.dispatchEvent(new Event('change', { bubbles: true })); })(document.getElementById('by-reading-3'))")
	p.until("document.getElementById('by-reading-3').value === 'tape' && location.search.includes('job=')")
	assert.Empty(t, value[string](p, "document.getElementsByName('instrument')[0].value"), "what reads next is not changed with it")
	p.tabTo("[data-part=stays] .kept li:nth-child(2) button")
	p.keys("\r")
	p.until("document.querySelectorAll('[data-part=stays] .kept li').length === 4")
	p.size(1400, 900, "dark")
	value[any](p, "scrollTo(0, 0)")
	p.shot("wide")

	// Back is one step back, and a reload keeps all.
	p.do(chromedp.Reload())
	p.until("document.querySelectorAll('[data-part=stays] .kept li').length === 4")
	d := parsed(t, string(p.download(folder, "job.toml", "tub.toml")))
	assert.Equal(t, []int{2}, d.Dropped)
	assert.Equal(t, "46.5", d.Stays[0].Text)
	assert.Equal(t, "ruler", d.Stays[0].Instrument)
	assert.Equal(t, "tape", d.Stays[1].Instrument)
	assert.Equal(t, "octree", d.Mesher)
	value[any](p, "history.back()")
	p.until("document.querySelectorAll('[data-part=stays] .kept li').length === 5")
}
