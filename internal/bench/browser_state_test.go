//go:build browser

package bench

// This file holds the page to its word: an answer to other input than stands there is old, and then gone; what was off comes back.

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
)

// hasten makes the page wait a twentieth of its long waits, but not those of this test.
func (p *tab) hasten() {
	p.t.Helper()
	value[any](p, "((real) => { window.setTimeout = (f, ms, ...more) => real(f, ms > 900 && ms < 50_000 ? ms / 20 : ms, ...more); })(window.setTimeout); 0")
}

func TestBrowserOldAnswers(t *testing.T) {
	p := openTab(t, full, nil)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.hasten()
	ring := "document.getElementById('drawing')"
	gone := ring + ".hidden && document.getElementById('solid').hidden && !document.getElementById('fits').textContent && !document.querySelector('#facts dt')"
	p.rewrite("height", "x")
	p.until(ring + ".classList.contains('old') && document.getElementById('look-state').textContent.includes('last ring')")
	p.shot("old")
	p.until(gone)
	assert.NotContains(t, p.text("look-state"), "last ring")
	assert.Equal(t, "true", value[string](p, "document.querySelector('[data-file=\"ring.stl\"]').getAttribute('aria-disabled')"))
	p.rewrite("height", "")
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.until("!" + ring + ".hidden && !document.querySelector('.old')")

	p.rewrite("stays.bore", "abc")
	found := "document.querySelector('[data-part=stays] .found')"
	p.until(found + ".classList.contains('old') && " + found + ".querySelector('.candidates button')")
	p.until("!" + found + ".classList.contains('old') && !" + found + ".querySelector('.candidates button')")
	assert.False(t, value[bool](p, ring+".hidden"), "the ring does not hang on it")
	p.rewrite("stays.bore", "45.7")
	p.until(found + ".querySelector('.candidates button')")

	p.rewrite("pasted", adapters)
	p.until("document.querySelectorAll('#ranked .head').length === 2")
	p.rewrite("pasted", "no list\nat all")
	p.until("!document.querySelector('[data-fault=parts]').hidden && document.querySelectorAll('#ranked .head').length === 0")
	assert.Empty(t, p.text("parts-state"))
	p.rewrite("pasted", "")
	p.until("document.querySelector('[data-fault=parts]').hidden")

	// The bench goes, and comes back.
	value[any](p, "window.held = window.fetch; window.fetch = () => Promise.reject(new TypeError('gone')); 0")
	p.rewrite("clearance", "0.35")
	p.until(ring + ".classList.contains('old')")
	assert.Contains(t, p.text("status"), "does not answer")
	p.until(gone)
	value[any](p, "window.fetch = window.held; 0")
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.until("document.getElementById('facts').textContent.includes('0.350 mm') && document.getElementById('status').textContent === '' && !document.querySelector('.old')")
}

// TestBrowserBeginsAnew begins another job while an answer for the one before is on its way.
func TestBrowserBeginsAnew(t *testing.T) {
	p := openTab(t, full, nil)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	value[any](p, "window.held = window.fetch; window.waiting = []; window.fetch = (...a) => new Promise((go) => { window.waiting.push(() => go(window.held(...a))); }); 0")
	p.rewrite("height", "33")
	p.until("window.waiting.length === 2")
	value[any](p, "document.querySelector('#anew button').click()")
	value[any](p, "window.fetch = window.held; window.waiting.forEach((go) => go()); 0")
	p.until("document.getElementById('answer').textContent.includes('is not known yet')")
	assert.True(t, value[bool](p, "document.getElementById('drawing').hidden && !document.getElementById('start').hidden"))
	assert.Empty(t, p.fields())
	value[any](p, "history.back()")
	p.until("document.getElementsByName('height')[0].value === '33'")
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
}

// TestBrowserSaysWhatItDoesNotKnow opens an address with a unit and a printer that are none, and types a pitch that is hardly one.
func TestBrowserSaysWhatItDoesNotKnow(t *testing.T) {
	p := openTab(t, "?unit=furlong&printer=magic&inner=M20&outer=M30", nil)
	p.until("!document.getElementById('fault-unit').hidden && !document.getElementById('fault-printer').hidden")
	assert.Contains(t, p.text("fault-unit"), "furlong")
	assert.Contains(t, p.text("fault-printer"), "magic")
	p.shot("unknown")
	p.open("?stays.bore=45.7")
	for _, c := range []struct{ typed, press, want string }{{"14", "2", "14 tpi"}, {"8", "1", "8 mm"}} {
		p.rewrite("stays.pitch", c.typed)
		p.until("!document.getElementById('ask-stays.pitch').hidden")
		p.shot("asked")
		value[any](p, fmt.Sprintf("document.querySelector(`[id='ask-stays.pitch'] button:nth-of-type(%s)`).click()", c.press))
		assert.Equal(t, c.want, value[string](p, "document.getElementsByName('stays.pitch')[0].value"))
		assert.True(t, value[bool](p, "document.getElementById('ask-stays.pitch').hidden"))
		p.until("location.search.includes('tpi') || location.search.includes('8+mm')")
	}
}

// TestBrowserWaysIn takes each of the three ways in, on a wide page.
func TestBrowserWaysIn(t *testing.T) {
	p := openTab(t, "", nil)
	p.size(1440, 900, "light")
	for way, focus := range map[string]string{"kind": "stays.bore", "names": "outer"} {
		p.open("")
		assert.True(t, value[bool](p, "((r) => r.top >= 0 && r.bottom < innerHeight)(document.querySelector('#start .three').getBoundingClientRect())"), "the picture is in sight")
		p.tabTo(fmt.Sprintf("[data-way=%s]", way))
		p.keys("\r")
		p.until(fmt.Sprintf("document.activeElement.name === %q", focus))
	}
	p.tabTo("[data-way=look]")
	p.keys("\r")
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	assert.True(t, value[bool](p, "document.getElementById('start').hidden"))
	p.shot("example")
	// Warnings, chance and files are in sight together, and so is the drawing.
	for _, id := range []string{"chance", "drawing", "files"} {
		assert.True(t, value[bool](p, fmt.Sprintf("((r) => r.top >= 0 && r.bottom < innerHeight)(document.getElementById(%q).getBoundingClientRect())", id)), id)
	}
	value[any](p, "history.back()")
	p.until("!document.getElementById('start').hidden && document.getElementsByName('inner')[0].value === ''")
}
