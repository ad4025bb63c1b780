//go:build browser

package bench

// This file counts on a picture in the page, and changes the marks by keyboard and by pointer.

import (
	"fmt"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	marksShown = "document.querySelectorAll('#shot .mark').length"
	wordsShown = "document.getElementById('counted').textContent"
)

func (p *tab) openPicture(name string) {
	p.t.Helper()
	path, err := filepath.Abs(pictureOf(name))
	require.NoError(p.t, err)
	p.do(chromedp.SetUploadFiles("#picture", []string{path}))
}

// drag moves the pointer from the mark with the index by so many pixels.
func (p *tab) drag(index int, dx, dy float64) {
	p.t.Helper()
	value[any](p, `document.querySelector('#shot .frame').scrollIntoView({ block: 'center' })`)
	at := value[[]float64](p, `((r) => [r.x + r.width / 2, r.y + r.height / 2])(document.querySelectorAll('#shot .mark .dot')[`+strconv.Itoa(index)+`].getBoundingClientRect())`)
	p.do(
		chromedp.MouseEvent("mousePressed", at[0], at[1], chromedp.ButtonLeft, chromedp.ClickCount(1)),
		chromedp.MouseEvent("mouseMoved", at[0]+dx, at[1]+dy, chromedp.ButtonLeft),
		chromedp.MouseEvent("mouseReleased", at[0]+dx, at[1]+dy, chromedp.ButtonLeft, chromedp.ClickCount(1)),
	)
}

// picture brings the picture into sight and keeps it as it looks.
func (p *tab) picture(name string) {
	p.t.Helper()
	value[any](p, `document.querySelector('#shot .frame').scrollIntoView({ block: 'start' })`)
	p.shot(name)
}

func TestBrowserPhoto(t *testing.T) {
	p := openTab(t, "", nil)
	p.enter("goes.outside", "47")
	value[any](p, "document.getElementById('by-picture').open = true")
	p.openPicture("thread.jpg")
	p.until(marksShown + " === 33")
	p.until("document.querySelector('#shot img').naturalWidth > 0 && !document.getElementById('use-pitch').hidden")
	before := value[string](p, wordsShown)
	assert.Contains(t, before, "16 on the left edge, 17 on the right edge")
	p.picture("found")

	p.tabTo("#shot .frame")
	for range 5 {
		p.keys(kb.ArrowRight)
	}
	p.until("document.getElementById('photo-state').textContent === 'Crest 5, left edge'")
	p.keys(kb.Delete)
	p.until(marksShown + " === 32 && " + wordsShown + ".includes('15 on the left edge')")
	p.shot("struck out")
	p.keys(kb.ArrowLeft)
	p.keys(kb.Insert)
	p.until(marksShown + " === 33 && " + wordsShown + ".includes('1 of 33 marks were put by hand')")
	value[any](p, "document.activeElement.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp', shiftKey: true, bubbles: true }))")
	p.until("document.querySelectorAll('#shot .mark.hand').length === 1")

	p.drag(8, 3, 0)
	p.until("document.querySelectorAll('#shot .mark.hand').length === 2 && " + wordsShown + ".includes('2 of 33')")
	p.drag(9, 0, 9)
	p.until("document.querySelector('[data-fault=photo]').textContent.includes('strike it out') && document.querySelectorAll('#shot .mark.odd').length === 1")
	assert.True(t, value[bool](p, "document.getElementById('use-pitch').hidden"), "what cannot be counted is not used")
	p.picture("out of step")
	value[any](p, "document.querySelector('[data-do=undo]').click()")
	p.until("document.querySelector('[data-fault=photo]').hidden && !document.getElementById('use-pitch').hidden && !document.querySelector('#shot .odd')")
	for range 3 {
		value[any](p, "document.querySelector('[data-do=closer]').click()")
	}
	assert.True(t, value[bool](p, `((m, f) => m.left > f.left && m.right < f.right && m.top > f.top && m.bottom < f.bottom)(document.querySelector('#shot .picked .dot').getBoundingClientRect(), document.querySelector('#shot .frame').getBoundingClientRect())`), "the crest that is picked stays in sight")
	p.picture("closer")

	p.tabTo("#use-pitch")
	p.keys("\r")
	p.until("document.querySelector('[data-part=goes] .read').textContent.includes('pitch 2.0') && document.querySelector('[data-part=goes] .candidates button')")
	pitch := p.fields().Get("goes.pitch")
	assert.Contains(t, pitch, "+-")
	p.do(chromedp.Reload())
	p.until("document.documentElement.dataset.ready === 'yes'")
	assert.Equal(t, pitch, value[string](p, "document.getElementsByName('goes.pitch')[0].value"), "what was used outlives the picture")
}

// TestBrowserPhotoByHand marks a part on which nothing was found.
func TestBrowserPhotoByHand(t *testing.T) {
	p := openTab(t, "?goes.outside=47", nil)
	p.onePage()
	p.size(360, 740, "dark")
	p.open("?goes.outside=47")
	value[any](p, "document.getElementById('by-picture').open = true")
	p.openPicture("pipe.jpg")
	p.until("document.getElementById('photo-state').textContent.includes('by hand')")
	p.picture("nothing found")
	p.do(chromedp.Click("[data-do=add]"))
	value[any](p, `document.querySelector('#shot .frame').scrollIntoView({ block: 'center' })`)
	box := "((r) => [r.x, r.y, r.width, r.height])(document.querySelector('#shot svg').getBoundingClientRect())"
	at := value[[]float64](p, box)
	for _, x := range []float64{0.3, 0.7} {
		for i := range 6 {
			p.do(chromedp.MouseClickXY(at[0]+x*at[2], at[1]+(0.2+0.1*float64(i))*at[3]))
			if x < 0.5 {
				p.until(wordsShown + ".includes('" + strconv.Itoa(i+1) + " marked. Go on')")
				assert.True(t, value[bool](p, "document.querySelector('[data-fault=photo]').hidden"), "not enough yet is no mistake")
			}
		}
	}
	// A pixel: what stands above grows by fractions of one, and a page is scrolled back by whole ones.
	assert.InDeltaSlice(t, at, value[[]float64](p, box), 1, "the picture keeps still under the finger")
	p.until(marksShown + " === 12 && " + wordsShown + ".includes('12 of 12 marks were put by hand') && !document.getElementById('use-pitch').hidden")
	assert.LessOrEqual(t, value[int](p, "document.documentElement.scrollWidth"), 360, "the page scrolls sideways")
	assert.Empty(t, value[string](p, small), "too small to hit")
	p.picture("by hand")
}

// TestBrowserPhotoByKeys marks both edges of a part without a pointer.
func TestBrowserPhotoByKeys(t *testing.T) {
	p := openTab(t, "?goes.outside=47", nil)
	value[any](p, "document.getElementById('by-picture').open = true")
	p.openPicture("pipe.jpg")
	p.until("document.getElementById('photo-state').textContent.includes('by hand')")
	p.tabTo("[data-do=add]")
	p.keys("\r")
	p.until(marksShown + " === 1 && document.activeElement.matches('#shot .frame') && document.getElementById('photo-state').textContent.startsWith('A new crest')")
	press := func(key string, shift, held bool, times int) {
		value[any](p, fmt.Sprintf("for (let i = 0; i < %d; i++) document.activeElement.dispatchEvent(new KeyboardEvent('keydown', { key: %q, shiftKey: %v, repeat: %v, bubbles: true }))", times, key, shift, held))
	}
	place := func() []float64 {
		return value[[]float64](p, "((c) => [Number(c.getAttribute('cx')), Number(c.getAttribute('cy'))])(document.querySelector('#shot .picked .dot'))")
	}
	press("ArrowLeft", true, false, 1)
	press("ArrowLeft", true, true, 20)
	for range 4 { // one after the other along the left edge, each where the two before point
		p.keys(kb.Insert)
	}
	p.until(marksShown + " === 5")
	left := place()
	p.keys(kb.Insert)
	press("ArrowRight", true, true, 50)
	press("ArrowUp", true, true, 20)
	assert.Greater(t, place()[0], left[0]+100)
	press("z", false, false, 1) // without Control nothing
	p.until(marksShown + " === 6")
	value[any](p, "document.activeElement.dispatchEvent(new KeyboardEvent('keydown', { key: 'z', ctrlKey: true, bubbles: true }))")
	p.until(marksShown + " === 5")
}

// TestBrowserPhotoInDoubt moves a crest of a picture that gave no answer: why it gave none stays to be read.
func TestBrowserPhotoInDoubt(t *testing.T) {
	p := openTab(t, "", nil)
	value[any](p, "document.getElementById('by-picture').open = true")
	p.openPicture("rings.jpg")
	p.until(marksShown + " > 10 && " + wordsShown + ".includes('as rings do')")
	assert.True(t, value[bool](p, "document.getElementById('use-pitch').hidden"))
	p.tabTo("#shot .frame")
	p.keys(kb.ArrowRight)
	p.keys(kb.Delete)
	p.until(wordsShown + ".includes('gave no answer')")
	assert.Contains(t, value[string](p, wordsShown), "as rings do")
	p.onePage()
	p.size(360, 740, "light")
	p.picture("in doubt")
}

// TestBrowserPhotoBeforeOutside opens pictures while the outside diameter cannot be read, and a file that is none.
func TestBrowserPhotoBeforeOutside(t *testing.T) {
	p := openTab(t, "", nil)
	p.enter("goes.outside", "wide")
	value[any](p, "document.getElementById('by-picture').open = true")
	p.openPicture("thread.jpg")
	p.until("document.querySelector('[data-fault=photo]').textContent.includes('cannot be read yet') && document.getElementById('shot').hidden")
	p.rewrite("goes.outside", "47")
	p.until(marksShown + " === 33 && document.querySelector('[data-fault=photo]').hidden && !document.getElementById('use-pitch').hidden")
	p.openPicture("../bath-drain.toml")
	p.until("document.querySelector('[data-fault=photo]').textContent.includes('not a picture') && document.getElementById('shot').hidden")
	p.openPicture("left.jpg")
	p.until("!document.getElementById('shot').hidden && document.querySelector('[data-fault=photo]').hidden")
	p.onePage()
	for _, scheme := range []string{"light", "dark"} {
		for _, width := range []int64{360, 1400} {
			p.size(width, 800, scheme)
			p.picture(fmt.Sprintf("%s %d", scheme, width))
			value[any](p, `document.getElementById('counted').scrollIntoView({ block: 'end' })`)
			p.shot(fmt.Sprintf("words %s %d", scheme, width))
		}
	}
}

// The other side of a part on the sheet is asked for where one picture does not tell the diameter, and goes with it.
func TestBrowserPhotoFromBothSides(t *testing.T) {
	p := openTab(t, "", nil)
	value[any](p, "document.getElementById('by-picture').open = true")
	p.enter("photo.line", "150mm")
	shown := "!document.getElementById('other').parentElement.hidden"
	assert.False(t, value[bool](p, shown))
	p.openPicture("lying-near.jpg")
	p.until(shown + " && !document.getElementById('use-pitch').hidden")
	far, err := filepath.Abs(pictureOf("lying-far.jpg"))
	require.NoError(t, err)
	p.do(chromedp.SetUploadFiles("#other", []string{far}))
	p.until(wordsShown + ".includes('utside diameter')")
	p.shot("both sides")
	p.do(chromedp.Click("#use-pitch"))
	p.until("document.querySelector('[name=\"goes.outside\"]').value.includes('mm')")
	p.openPicture("thread.jpg")
	p.until("document.getElementById('other').parentElement.hidden")
}
