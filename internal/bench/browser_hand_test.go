//go:build browser

package bench

// This file does the whole job by touch on a phone, one question a screen, and looks at every screen of it.

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/caliper"
	"tryring/internal/mesh"
	"tryring/internal/unit"
)

// phone makes the window a phone's, with a finger for a pointer.
func (p *tab) phone(scheme string) {
	p.t.Helper()
	p.size(390, 844, scheme)
	_, err := chromedp.Call(p.ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true})
	require.NoError(p.t, err)
	_, err = chromedp.Call(p.ctx, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
	require.NoError(p.t, err)
}

// tap lays a finger on the first element of a selector, which must be in sight or to be scrolled to, and under nothing else.
func (p *tab) tap(selector string) {
	p.t.Helper()
	p.until(fmt.Sprintf("document.querySelector(%q)?.checkVisibility()", selector))
	at := value[[]float64](p, fmt.Sprintf(`((e) => {
  const bar = document.getElementById('bar');
  const pad = document.getElementById('pad');
  const foot = () => (!pad.hidden && !pad.contains(e) ? pad : bar.hidden ? document.querySelector('.caution') : bar).getBoundingClientRect().top;
  const r = () => e.getBoundingClientRect();
  if (!bar.contains(e) && (r().top < 0 || r().bottom > foot())) e.scrollIntoView({ block: 'center' });
  const [x, y] = [r().x + r().width / 2, r().y + r().height / 2];
  const under = document.elementFromPoint(x, y);
  return e.contains(under) || under?.contains(e) ? [x, y] : [];
})(document.querySelector(%q))`, selector))
	require.Len(p.t, at, 2, "something lies over %s", selector)
	for _, event := range []input.DispatchTouchEventParams{
		{Type: input.DispatchTouchEventTypeTouchStart, TouchPoints: []*input.TouchPoint{{X: at[0], Y: at[1]}}},
		{Type: input.DispatchTouchEventTypeTouchEnd, TouchPoints: []*input.TouchPoint{}},
	} {
		_, err := chromedp.Call(p.ctx, input.DispatchTouchEvent, event)
		require.NoError(p.t, err)
	}
}

// write taps keys of the page's own keypad.
func (p *tab) write(keys ...string) {
	p.t.Helper()
	for _, key := range keys {
		p.tap(fmt.Sprintf("#pad [data-key=%q]", key))
	}
}

// at waits for a screen of the guided way.
func (p *tab) at(screen string) {
	p.t.Helper()
	p.until(fmt.Sprintf("document.documentElement.dataset.screen === %q", screen))
	p.shot(strings.ReplaceAll(screen, ".", "-"))
}

// goOn taps Go on, and waits for the next screen.
func (p *tab) goOn(screen string) {
	p.t.Helper()
	p.tap("#on")
	p.at(screen)
}

// stands waits until the bar says so of the job, its words with single blanks between.
func (p *tab) stands(words string) {
	p.t.Helper()
	p.until(fmt.Sprintf("[...document.querySelectorAll('#chips button')].map((b) => b.textContent).join(' ').includes(%q)", words))
}

// wholeJobByTouch goes from the first screen to a tried ring, with a finger alone, and returns the STL. The page is open and empty.
func (p *tab) wholeJobByTouch(folder string) []byte {
	t := p.t
	t.Helper()
	p.at("start")
	p.tap("[data-way=kind]")
	p.at("unit")
	p.goOn("kind")
	p.tap("[data-go='stays.across']")
	p.at("stays.across")
	p.write("4", "5", ".", "7")
	p.goOn("stays.how")
	p.tap("[data-go='stays.count']")
	p.at("stays.count")
	p.write("1", "5")
	p.tap("[name='stays.over']")
	p.write("1", "in")
	p.goOn("stays.name")
	p.until("document.querySelector('[data-part=stays] .candidates .name')?.textContent === '1 7/8-14 UNS'") // of what was written last
	p.stands("stays 1 7/8-14?")
	p.tap("[data-part=stays] .candidates button")
	p.stands("stays 1 7/8-14")

	p.goOn("goes.across")
	p.write("4", "1", ".", "2", "±", "0", ".", "0", "5")
	assert.Equal(t, "41.2±0.05", value[string](p, "document.getElementsByName('goes.outside')[0].value"))
	p.goOn("goes.how")
	p.tap("[data-go='goes.pitch']")
	p.at("goes.pitch")
	p.write("1", "6")
	p.until("!document.getElementById('ask-goes.pitch').hidden")
	p.write("tpi")
	p.until("document.getElementById('ask-goes.pitch').hidden")
	p.goOn("goes.name")
	p.until("document.querySelector('[data-part=goes] .candidates .name')?.textContent === '1 5/8-16 UN'") // of what was written last
	p.tap("[data-part=goes] .candidates button")
	p.stands("goes in 1 5/8-16 goes")

	// There and back, by the page's own button and by the browser's: nothing is lost.
	for range 2 {
		p.tap("#back")
	}
	p.at("goes.how")
	value[any](p, "history.back()")
	p.at("goes.across")
	assert.Equal(t, "41.2±0.05", value[string](p, "document.getElementsByName('goes.outside')[0].value"))
	p.goOn("goes.how")
	p.tap("[data-go='goes.pitch']")
	p.at("goes.pitch")
	assert.Equal(t, "16 tpi", value[string](p, "document.getElementsByName('goes.pitch')[0].value"))
	p.goOn("goes.name")
	p.stands("stays 1 7/8-14 goes in 1 5/8-16")

	p.goOn("ring")
	value[any](p, "((s) => { s.value = 'filament-0.4'; s.dispatchEvent(new Event('input', { bubbles: true })); })(document.getElementsByName('printer')[0])") // a phone's own list
	p.goOn("look")
	p.until("document.querySelector('#glance svg') && Number(document.getElementById('view').dataset.painted) > 0")
	p.goOn("take")
	p.saveTo(folder)
	p.tap("[data-file='ring.stl']")
	stl := p.saved(folder, "in-1-5-8-16-UN-out-1-7-8-14-UNS.stl")
	p.goOn("try")
	p.until("document.getElementById('made-ring').textContent.includes('for printer filament-0.4')")
	for _, side := range []string{"outer", "inner"} {
		p.tap(fmt.Sprintf("#try [data-side=%s] [data-result=goes]", side))
		p.until(fmt.Sprintf("document.querySelector('#try [data-side=%s] .told li')", side))
	}
	p.goOn("stands")

	// The one next step leads to the list, which is pasted, and then to the order.
	p.until("document.querySelector('#stands .next button').textContent === 'Open a list'")
	p.tap("#stands .next button")
	p.at("list")
	p.tap("#pasted")
	p.do(chromedp.KeyEvent(strings.ReplaceAll(adapters, "\n", "\r")))
	p.until("document.querySelectorAll('#ranked .head').length === 2")
	p.goOn("stands")
	p.until("document.querySelector('#stands .next').textContent.includes('Order A') && !document.getElementById('order').hidden")
	p.shot("order")
	return stl
}

func TestBrowserWholeJobByTouch(t *testing.T) {
	p := openTab(t, "", nil)
	p.phone("light")
	p.open("")
	folder := t.TempDir()
	m, err := mesh.ReadBack(bytes.NewReader(p.wholeJobByTouch(folder)))
	require.NoError(t, err)
	found, err := caliper.Measure(m, caliper.Options{})
	require.NoError(t, err)
	assert.InDelta(t, unit.MMPerInch/16, found.Inner.PitchMM, 0.005)
	assert.InDelta(t, unit.MMPerInch/14, found.Outer.PitchMM, 0.005)
	p.do(chromedp.Reload())
	p.at("stands")
	p.stands("stays 1 7/8-14 goes in 1 5/8-16 goes")
	p.tap("#chips button:nth-child(3)")
	p.at("look")
}

// TestBrowserKeypad writes on the page's own keys whatever a reading is written with.
func TestBrowserKeypad(t *testing.T) {
	p := openTab(t, "", nil)
	p.phone("dark")
	p.open("")
	p.tap("[data-way=kind]")
	p.at("unit")
	p.goOn("kind")
	p.tap("[data-go='stays.across']")
	for _, c := range []struct {
		want string
		keys []string
	}{
		{"1 13/16", []string{"1", "space", "1", "3", "/", "1", "6"}},
		{"45.7±0.05", []string{"4", "5", ".", "7", "±", "0", ".", "0", "5"}},
		{"45.7 mm;1.8 in", []string{"4", "5", ".", "7", "mm", ";", "1", ".", "8", "in"}},
	} {
		p.write(c.keys...)
		assert.Equal(t, c.want, value[string](p, "document.getElementsByName('stays.bore')[0].value"))
		assert.Equal(t, "none", value[string](p, "document.getElementsByName('stays.bore')[0].inputMode"), "a phone's own keys stay away")
		p.until("document.querySelector('[data-part=stays] .read').textContent.includes('bore')")
		for range c.want {
			p.write("delete")
		}
		p.until("document.querySelector('[data-part=stays] .read').textContent === ''")
	}
	p.write("letters")
	p.until("document.getElementById('pad').hidden")
	assert.Equal(t, "decimal", value[string](p, "document.getElementsByName('stays.bore')[0].inputMode"))
}

// TestBrowserScreens looks at every screen of the guided way: nothing is cut off, covered or too small.
func TestBrowserScreens(t *testing.T) {
	p := openTab(t, full, nil)
	p.phone("light")
	p.open(full)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.until("document.querySelectorAll('.candidates button').length > 1")
	screens := []string{"start", "unit", "kind", "names", "ring", "look", "take", "try", "list", "steps", "stands", "goes.photo"}
	for _, side := range []string{"stays", "goes"} {
		for _, screen := range []string{"across", "how", "count", "leaf", "pitch", "more", "name"} {
			screens = append(screens, side+"."+screen)
		}
	}
	for i, screen := range screens {
		t.Run(screen, func(t *testing.T) {
			q := p.in(t)
			scheme := []string{"light", "dark"}[i%2]
			for _, size := range [][2]int64{{320, 568}, {390, 844}} {
				q.size(size[0], size[1], scheme)
				value[any](q, fmt.Sprintf("(history.replaceState({ ...history.state, screen: %q, job: 0 }, ''), dispatchEvent(new PopStateEvent('popstate', { state: history.state })))", screen))
				q.at(screen)
				assert.LessOrEqual(t, value[int](q, "document.documentElement.scrollWidth"), int(size[0]), "the page scrolls sideways")
				assert.Empty(t, value[string](q, overflow), "cut off")
				assert.Empty(t, value[string](q, small), "too small to hit")
				shown := value[int](q, `[...document.querySelectorAll('main h2, main h3, main p, main label, main button')].filter((e) => e.checkVisibility()).length`)
				assert.Positive(t, shown, "nothing is shown")
				foot := value[float64](q, `innerHeight - (document.getElementById('bar').hidden ? document.querySelector('.caution') : document.getElementById('bar')).getBoundingClientRect().top`)
				assert.Less(t, foot, 150.0, "bar and caution take too much of the screen")
			}
			q.accessible()
		})
	}
}
