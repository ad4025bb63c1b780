//go:build browser

package bench

// This file looks at the page: what is wrong stands beside its field, nothing is cut off on a phone, everybody can use it.

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// full is the query of a page with everything on it, readings of the job and of the fields among them.
var full = "?" + twoThreads + "&printer=filament-0.4&stays.bore=45.7&stays.count=15&stays.over=25.4&goes.pitch=1.6&ladder.from=0.1&ladder.to=0.3&ladder.step=0.1&job=" + pack([]byte(`
[[goes]]
instrument = "ruler"
when = "2026-03-01"
outside = "41"

[[goes]]
outside = "41.2"
note = "by lamp"

[[tries]]
side = "outer"
thread = "1 7/8-14 UNS"
major_mm = 47.325
pitch_diameter_mm = 46.147
minor_mm = 45.361
engaged_mm = 16.5
printer = "filament-0.4"
off_mm = 0.05
u_mm = 0.1
result = "stops after 4 turns"

[[tries]]
side = "inner"
thread = "1 5/8-16 UN"
major_mm = 41.575
pitch_diameter_mm = 40.544
minor_mm = 39.856
engaged_mm = 18.0
printer = "filament-0.4"
off_mm = 0.15
u_mm = 0.1
result = "goes"
`))

func TestBrowserWrongInput(t *testing.T) {
	p := openTab(t, full, nil)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	good := value[string](p, "document.getElementById('drawing').innerHTML")
	for _, c := range []struct{ name, text, says string }{
		{"stays.bore", "abc", "abc"},
		{"stays.count", "many", "many"},
		{"stays.over", "0", "above 0"},
		{"stays.pitch", "fast", "fast"},
		{"stays.throat", "wide", "wide"},
		{"stays.leaf", "x", "x"},
		{"stays.no_leaf", "x", "x"},
		{"goes.outside", "999", "300"},
		{"goes.pitch", "-1", "above 0"},
		{"inner", "wide", "wide"},
		{"outer", "M48x", "M48x"},
		{"clearance", "9", "3 mm"},
		{"height", "12x", "unknown unit"},
		{"label", strings.Repeat("A", 61), "60"},
		{"inner_clearance", "9", "3 mm"},
		{"outer_clearance", "9", "3 mm"},
		{"name", "a/b", "letters"},
		{"chord", "9", "between"},
		{"ladder.from", "x", "x"},
		{"ladder.to", "0.01", "above"},
		{"ladder.step", "0", "above 0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			q := p.in(t)
			id := c.name
			if c.name == "ladder.to" {
				id = "ladder.from" // a ladder that goes down is told at its start
			}
			before := value[string](q, fmt.Sprintf("document.getElementsByName(%q)[0].value", c.name))
			value[any](q, fmt.Sprintf("document.getElementsByName(%q)[0].closest('details')?.setAttribute('open', '')", c.name))
			q.rewrite(c.name, c.text)
			q.until(fmt.Sprintf("!document.getElementById('fault-%s').hidden", id))
			assert.Contains(t, q.text("fault-"+id), c.says)
			assert.Equal(t, "true", value[string](q, fmt.Sprintf("document.getElementsByName(%q)[0].getAttribute('aria-invalid')", id)))
			assert.Equal(t, good, value[string](q, "document.getElementById('drawing').innerHTML"), "the last good drawing stays")
			q.shot("wrong")
			q.rewrite(c.name, before)
			q.until(fmt.Sprintf("document.getElementById('fault-%s').hidden", id))
		})
	}
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.rewrite("height", "x")
	p.until("document.querySelector('[data-file=\"ring.stl\"]').getAttribute('aria-disabled') === 'true'")
	assert.Contains(t, p.text("look-state"), "last ring")
}

// TestBrowserFocusIsSeen tabs through the whole page: what has the focus is never behind the caution.
func TestBrowserFocusIsSeen(t *testing.T) {
	p := openTab(t, full, nil)
	p.onePage()
	p.size(360, 740, "light")
	p.open(full)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.until("document.querySelectorAll('#rungs li').length === 3 && document.querySelectorAll('.candidates button').length > 1")
	const most = 150
	stops := 0
	for range most {
		p.keys("\t")
		stop := value[string](p, "document.activeElement === document.body ? '' : document.activeElement.outerHTML.slice(0, 80)")
		if stop == "" {
			break
		}
		stops++
		hidden := value[bool](p, `((r, c) => r.top >= c.top || r.bottom <= 0)(document.activeElement.getBoundingClientRect(), document.querySelector('.caution').getBoundingClientRect())`)
		assert.False(t, hidden, "out of sight: %s", stop)
		assert.NotEqual(t, "none", value[string](p, "getComputedStyle(document.activeElement.matches('.switch input') ? document.activeElement.nextElementSibling : document.activeElement).outlineStyle"), "no mark of focus: %s", stop)
	}
	assert.Greater(t, stops, 40)
	assert.Less(t, stops, most, "Tab never leaves the page")
}

// overflow lists the elements that reach beyond the window, but for those in a box of their own that scrolls.
const overflow = `[...document.querySelectorAll('body *')].filter((e) => {
  const r = e.getBoundingClientRect();
  if (r.width === 0 || (r.right <= innerWidth + 1 && r.left >= -1)) return false;
  for (let a = e.parentElement; a; a = a.parentElement) if (['auto', 'scroll', 'hidden'].includes(getComputedStyle(a).overflowX) && a !== document.documentElement && a !== document.body) return false;
  return !e.matches('.skip');
}).map((e) => e.outerHTML.slice(0, 80)).join('\n')`

// small lists the targets below the 24 px of WCAG 2.2 success criterion 2.5.8, and buttons and fields below 44 px.
const small = `[...document.querySelectorAll('button, a[data-file], input:not([type=checkbox]):not([type=radio]):not([type=range]), select, summary')].filter((e) => {
  const r = e.getBoundingClientRect();
  return e.checkVisibility() && r.width > 0 && r.height < (e.matches('summary') ? 24 : 44);
}).map((e) => e.outerHTML.slice(0, 80)).join('\n')`

func TestBrowserSizes(t *testing.T) {
	p := openTab(t, full, nil)
	p.onePage()
	for _, width := range []int64{320, 360, 720, 1024, 1440, 2200} {
		for _, scheme := range []string{"light", "dark"} {
			t.Run(fmt.Sprintf("%d-%s", width, scheme), func(t *testing.T) {
				q := p.in(t)
				q.size(width, 800, scheme)
				q.open(full)
				q.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
				q.until("document.querySelectorAll('#rungs li').length === 3 && document.querySelectorAll('.candidates button').length > 1 && document.querySelectorAll('.told > li').length === 2")
				assert.LessOrEqual(t, value[int](q, "document.documentElement.scrollWidth"), int(width), "the page scrolls sideways")
				assert.Empty(t, value[string](q, overflow), "cut off")
				assert.Empty(t, value[string](q, small), "too small to hit")
				assert.True(t, value[bool](q, `(r => r.bottom <= innerHeight + 1 && r.top < innerHeight)(document.querySelector('.caution').getBoundingClientRect())`), "the caution is out of sight")
				q.shot("top")
				value[any](q, "document.getElementById('look').scrollIntoView()")
				assert.True(t, value[bool](q, `(r => r.bottom <= innerHeight + 1 && r.top < innerHeight)(document.querySelector('.caution').getBoundingClientRect())`), "the caution scrolled away")
				q.shot("look")
				for _, section := range []string{"read", "take", "try", "list", "steps"} {
					value[any](q, fmt.Sprintf("document.getElementById(%q).scrollIntoView()", section))
					q.shot(section)
				}
			})
		}
	}
}

func TestBrowserWithoutWebGL(t *testing.T) {
	p := openTab(t, full, map[string]any{"disable-3d-apis": true})
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.until("!document.getElementById('flat').hidden && document.getElementById('solid').hidden")
	assert.Contains(t, p.text("flat"), "no 3D")
	assert.True(t, value[bool](p, "Boolean(document.querySelector('#drawing svg'))"))
}

func TestBrowserBenchGone(t *testing.T) {
	p := openTab(t, full, nil)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	value[any](p, "window.fetch = () => Promise.reject(new TypeError('gone'))")
	p.enter("height", "30")
	p.until("document.getElementById('status').textContent.includes('still running')")
	assert.True(t, value[bool](p, "Boolean(document.querySelector('#drawing svg'))"), "the drawing stays")
	p.until("document.querySelector('#drawing.old')")
	p.accessible()
	p.until("location.search.includes('height=30')") // and so does what was typed
}

// violation is what axe-core tells of one rule.
type violation struct {
	ID    string `json:"id"`
	Help  string `json:"help"`
	Nodes []struct {
		HTML    string `json:"html"`
		Summary string `json:"failureSummary"`
	} `json:"nodes"`
}

// accessible has axe-core look at the page as it stands.
func (p *tab) accessible() {
	p.t.Helper()
	path := os.Getenv("TRYRING_AXE")
	require.NotEmpty(p.t, path, "TRYRING_AXE must name axe.min.js of axe-core")
	axe, err := os.ReadFile(path)
	require.NoError(p.t, err)
	value[any](p, "document.querySelectorAll('details').forEach((d) => { d.open = true; })")
	value[any](p, string(axe)+"; 0")
	told := value[string](p, `axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }).then((r) => JSON.stringify({ bad: r.violations, good: r.passes.length }))`)
	var result struct {
		Bad  []violation `json:"bad"`
		Good int         `json:"good"`
	}
	require.NoError(p.t, json.Unmarshal([]byte(told), &result))
	assert.Greater(p.t, result.Good, 15, "axe looked at hardly anything") // a question leaves it little but itself
	for _, v := range result.Bad {
		for _, n := range v.Nodes {
			p.t.Errorf("%s: %s\n  %s\n  %s", v.ID, v.Help, n.HTML, n.Summary)
		}
	}
	p.shot("page")
}

func TestBrowserAccessibility(t *testing.T) {
	p := openTab(t, "", nil)
	p.onePage()
	for _, c := range []struct{ name, query, ready string }{
		{"picture", "?goes.outside=47", marksShown + " === 33"},
		{"empty", "", "true"},
		{"doubt", full, "document.getElementById('doubt').open"},
		{"full", full, "document.querySelectorAll('#rungs li').length === 3 && document.querySelectorAll('.told > li').length === 2 && !document.getElementById('checks').hidden && document.querySelectorAll('.candidates button').length > 1"},
		{"wrong", full + "&height=x&stays.throat=x&name=/", "!document.getElementById('fault-height').hidden && !document.getElementById('fault-stays.throat').hidden"},
	} {
		for _, scheme := range []string{"light", "dark"} {
			for _, width := range []int64{360, 1400} {
				t.Run(fmt.Sprintf("%s-%s-%d", c.name, scheme, width), func(t *testing.T) {
					q := p.in(t)
					q.size(width, 800, scheme)
					q.open(c.query)
					if c.name == "picture" {
						q.openPicture("thread.jpg")
					}
					if c.name == "doubt" {
						q.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
						value[any](q, "document.querySelector('#try [data-result=snug]').click()")
					}
					q.until(c.ready)
					q.accessible()
				})
			}
		}
	}
}
