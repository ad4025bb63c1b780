//go:build browser

package bench

// This file tells the page what the printed ring did on the real thread.

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBrowserTriesTheRing(t *testing.T) {
	p := openTab(t, "?"+twoThreads, nil)
	p.open("?" + withReadings)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.until("document.querySelectorAll('[data-part=stays] .candidates button').length > 0")
	value[any](p, "document.getElementById('try').scrollIntoView()")
	p.shot("untried")
	folder := t.TempDir()
	const name = "in-1-5-8-16-UN-out-1-7-8-14-UNS"
	p.download(folder, "ring.stl", name+".stl")
	p.until("document.getElementById('made-ring').textContent.includes('for printer filament-0.4')")

	// Stopping needs the number of turns, and says so beside the field.
	p.tabTo("#try [data-side=outer] [data-result=stops]")
	p.keys("\r")
	p.until("!document.getElementById('fault-outer.turns').hidden")
	p.shot("no-turns")
	assert.True(t, value[bool](p, "document.activeElement.name === 'outer.turns'"), "the field to fill has the focus")
	p.keys("4\r")
	p.until("document.querySelectorAll('#try [data-side=outer] .told > li').length === 1")
	assert.True(t, value[bool](p, "document.getElementById('fault-outer.turns').hidden"))
	told := value[string](p, "document.querySelector('#try [data-side=outer] .told').textContent")
	assert.Contains(t, told, "1 7/8-14 UNS: stops after 4 turns")
	assert.Contains(t, told, "the pitch is a little off")
	p.until("document.querySelector('[data-part=stays] .read').textContent.includes('1 ring tried')")
	p.shot("stopped")

	// The other side is told by itself.
	p.tabTo("#try [data-side=inner] [data-result=goes]")
	p.keys("\r")
	p.until("document.querySelector('#try [data-side=inner] .told')?.textContent.includes('1 5/8-16 UN: goes')")
	p.shot("goes")

	// The next ring of the same side: the older try keeps its line alone.
	p.rewrite("clearance", "0.5")
	p.until("document.getElementById('facts').textContent.includes('0.500 mm')")
	p.download(folder, "ring.3mf", name+".3mf")
	p.until("document.getElementById('made-ring').textContent.includes('0.50 mm')")
	value[any](p, "document.querySelector('#try [data-side=outer] [data-result=snug]').click()")
	p.until("document.querySelectorAll('#try [data-side=outer] .told > li').length === 2")
	assert.Equal(t, 1, value[int](p, "[...document.querySelectorAll('#try [data-side=outer] .told > li')].filter((li) => li.querySelector('ul')).length"))
	p.shot("two")

	// A reload, the back button and the job file bring them back.
	address := value[string](p, "location.href")
	p.do(chromedp.Reload())
	p.until("document.querySelectorAll('#try .told > li').length === 3")
	assert.Equal(t, address, value[string](p, "location.href"))
	p.until("document.querySelector('[data-part=stays] .read').textContent.includes('2 rings tried')")
	value[any](p, "history.back()")
	p.until("document.querySelectorAll('#try .told > li').length === 2")
	value[any](p, "history.forward()")
	p.until("document.querySelectorAll('#try .told > li').length === 3")
	job := p.download(folder, "job.toml", "in-1-5-8-16-UN-out-1-7-8-14-UNS.toml")
	path := filepath.Join(folder, "again.toml")
	require.NoError(t, os.WriteFile(path, job, 0o644))
	p.open("")
	assert.Zero(t, value[int](p, "document.querySelectorAll('#try .told > li').length"))
	p.do(chromedp.SetUploadFiles("#open-job", []string{path}))
	p.until("document.querySelectorAll('#try .told > li').length === 3")

	// What contradicts is kept only with a word.
	value[any](p, "document.querySelector('#try [data-side=outer] [data-result=\"does not start\"]').click()")
	p.until("document.getElementById('doubt').open")
	p.shot("doubted")
	value[any](p, "document.querySelector('#doubt button[value=no]').click()")
	p.until("!document.getElementById('doubt').open")
	assert.Equal(t, 3, value[int](p, "document.querySelectorAll('#try .told > li').length"))

	// A wrong press is taken back.
	value[any](p, "document.querySelector('#try [data-side=outer] .told button').click()")
	p.until("document.querySelectorAll('#try .told > li').length === 2")
	p.until("document.querySelector('[data-part=stays] .read').textContent.includes('1 ring tried')")
	p.onePage()
	p.size(360, 740, "dark")
	value[any](p, "document.getElementById('try').scrollIntoView()")
	p.shot("narrow")
}

func TestBrowserTriesNothing(t *testing.T) {
	p := openTab(t, "", nil)
	p.tabTo("#try [data-side=inner] [data-result=goes]")
	p.keys("\r")
	p.until("!document.querySelector('[data-fault=tries]').hidden")
	assert.Contains(t, value[string](p, "document.querySelector('[data-fault=tries]').textContent"), "no ring yet")
	p.shot("none")
}
