//go:build browser

package bench

// This file turns the ring in the browser: by drag, wheel, two fingers, buttons and keys; and looks at paper and at rest.

import (
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// press makes pointer events on the canvas, each "type id x y" from its middle.
const press = `((...steps) => {
  const c = document.getElementById('view');
  const r = c.getBoundingClientRect();
  c.setPointerCapture = () => {};
  for (const [type, pointerId, x, y] of steps) {
    c.dispatchEvent(new PointerEvent(type, { pointerId, clientX: r.x + r.width / 2 + x, clientY: r.y + r.height / 2 + y, bubbles: true }));
  }
})`

// picture is a hash of what the canvas shows, read in the frame in which it was painted.
const picture = `new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => {
  const c = document.getElementById('view');
  const small = new OffscreenCanvas(160, 80);
  const paper = small.getContext('2d');
  document.getElementById('cut').dispatchEvent(new Event('input'));
  requestAnimationFrame(() => {
    paper.drawImage(c, 0, 0, 160, 80);
    const bytes = paper.getImageData(0, 0, 160, 80).data;
    let hash = 0;
    let inked = 0;
    for (let i = 0; i < bytes.length; i += 4) {
      hash = (hash * 31 + bytes[i] + 7 * bytes[i + 1] + 13 * bytes[i + 2]) % 2147483647;
      if (bytes[i + 3] > 0) inked++;
    }
    done([hash, inked]);
  });
})))`

func TestBrowserTurnsTheRing(t *testing.T) {
	p := openTab(t, full, nil)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.until("Number(document.getElementById('view').dataset.painted) > 0")
	seen := map[int]string{}
	look := func(deed string) (inked int) {
		t.Helper()
		shown := value[[2]int](p, picture)
		if before, known := seen[shown[0]]; known {
			t.Errorf("after %s the ring looks as after %s", deed, before)
		}
		seen[shown[0]] = deed
		assert.Greater(t, shown[1], 160*80/50, "hardly anything is painted after %s", deed)
		return shown[1]
	}
	start := look("the start")
	value[any](p, press+"(['pointerdown', 1, 0, 0], ['pointermove', 1, 80, 20], ['pointerup', 1, 80, 20])")
	look("a drag")
	value[any](p, press+"(['pointerdown', 1, -40, 0], ['pointerdown', 2, 40, 0], ['pointermove', 2, 60, 0], ['pointerup', 1, -40, 0], ['pointerup', 2, 60, 0])")
	assert.Greater(t, look("two fingers apart"), start)
	value[any](p, "(c => { c.focus(); c.dispatchEvent(new WheelEvent('wheel', { deltaY: 400, cancelable: true })); })(document.getElementById('view'))")
	look("the wheel")
	for _, move := range []string{"left", "up", "closer", "closer"} {
		value[any](p, fmt.Sprintf("document.querySelector('[data-move=%s]').click()", move))
		look("the button " + move)
	}
	p.tabTo("#cut")
	p.keys(kb.ArrowRight)
	look("an arrow key on the slider")
	value[any](p, "(e => { e.value = 180; e.dispatchEvent(new Event('input', { bubbles: true })); })(document.getElementById('cut'))")
	look("cutting open")
	value[any](p, "(e => { e.value = 0; e.dispatchEvent(new Event('input', { bubbles: true })); })(document.getElementById('cut'))")
	look("closing")
	p.until("Number(document.getElementById('view').dataset.smooth) > 0") // at rest the edges are smoothed
	p.shot("closed")
}

func TestBrowserPaperAndRest(t *testing.T) {
	p := openTab(t, full, nil)
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.until("document.querySelectorAll('.candidates button').length > 1")
	_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	require.NoError(t, err)
	p.do(chromedp.EmulateViewport(794, 1123)) // A4 at 96 to the inch
	assert.Equal(t, "static", value[string](p, "getComputedStyle(document.querySelector('.caution')).position"), "on paper the caution stands once, over nothing")
	assert.Equal(t, "none", value[string](p, "getComputedStyle(document.querySelector('.pad')).display"))
	assert.Equal(t, "rgb(255, 255, 255)", value[string](p, "getComputedStyle(document.body).backgroundColor"))
	assert.LessOrEqual(t, value[int](p, "document.documentElement.scrollWidth"), 794)
	p.shot("paper")
	pdf, err := chromedp.Run(p.ctx, chromedp.PrintToPDF())
	require.NoError(t, err)
	assert.Greater(t, len(pdf), 10_000)

	_, err = chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}},
	})
	require.NoError(t, err)
	moving := value[int](p, "[...document.querySelectorAll('*')].filter((e) => parseFloat(getComputedStyle(e).transitionDuration) > 0).length")
	assert.Zero(t, moving)
	_, err = chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
	require.NoError(t, err)
	moving = value[int](p, "[...document.querySelectorAll('*')].filter((e) => parseFloat(getComputedStyle(e).transitionDuration) > 0).length")
	assert.NotZero(t, moving, "there is something to hold still")
}
