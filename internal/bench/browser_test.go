//go:build browser

package bench

// This file drives the page in a real browser, the Chromium of the system: go test -tags browser ./internal/bench.
// TRYRING_AXE names axe.min.js of axe-core; TRYRING_SHOTS, when set, a folder that gets a picture of every state.

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// enough is how long anything on the page may take, on a machine that does much else.
const enough = 60 * time.Second

// browserFlags keep Chromium to itself: without a sandbox (tests run as root), without errands of its own, and with 3D
// worked out by the processor.
var browserFlags = map[string]any{
	"no-sandbox": true, "disable-dev-shm-usage": true, "use-angle": "swiftshader", "enable-unsafe-swiftshader": true, "hide-scrollbars": true,
	"disable-background-networking": true, "disable-component-update": true, "disable-sync": true, "disable-domain-reliability": true,
	"disable-client-side-phishing-detection": true, "no-pings": true,
}

// tab is one page in the browser.
type tab struct {
	t       *testing.T
	ctx     context.Context
	address string
	*ears
}

// ears keep everything that a page said and asked for.
type ears struct {
	lock   sync.Mutex
	said   []string
	loaded []string
}

// in returns the same page for a part of the test.
func (p *tab) in(t *testing.T) *tab { return &tab{t: t, ctx: p.ctx, address: p.address, ears: p.ears} }

// openTab starts a site and a browser, and opens the page with the given query.
func openTab(t *testing.T, query string, flags map[string]any) *tab {
	t.Helper()
	return openTabAt(t, open(t)+"/", query, flags)
}

// openTabAt starts a browser and opens the page at an address. At the end of the test the page must have said nothing on the
// console and asked nobody else for anything.
func openTabAt(t *testing.T, address, query string, flags map[string]any) *tab {
	t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.WindowSize(1400, 900))
	for _, set := range []map[string]any{browserFlags, flags} {
		for name, value := range set {
			options = append(options, chromedp.Flag(name, value))
		}
	}
	p := &tab{t: t, address: address, ears: &ears{}}
	browser, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	var leave context.CancelFunc
	p.ctx, leave = chromedp.NewContext(browser)
	t.Cleanup(leave)
	require.NoError(t, chromedp.Listen(p.ctx, p.heard), "Chromium does not start; install the chromium package")
	_, err := chromedp.Call(p.ctx, network.Enable, network.EnableParams{})
	require.NoError(t, err)
	p.open(query)
	t.Cleanup(p.check)
	return p
}

// heard notes what the page says and asks for.
func (p *ears) heard(event any) {
	p.lock.Lock()
	defer p.lock.Unlock()
	switch e := event.(type) {
	case *runtime.EventConsoleAPICalled:
		text := string(e.Type)
		for _, a := range e.Args {
			text += " " + string(a.Value) + a.Description
		}
		p.said = append(p.said, text)
	case *runtime.EventExceptionThrown:
		p.said = append(p.said, e.ExceptionDetails.Text+" "+e.ExceptionDetails.URL)
	case *log.EventEntryAdded:
		p.said = append(p.said, e.Entry.Text+" "+e.Entry.URL)
	case *network.EventRequestWillBeSent:
		p.loaded = append(p.loaded, e.Request.URL)
	}
}

// check fails the test when the page said anything or asked elsewhere.
func (p *tab) check() {
	p.lock.Lock()
	defer p.lock.Unlock()
	var said []string
	for _, text := range p.said {
		if !strings.Contains(text, "GPU stall due to ReadPixels") { // a screenshot's, of the drawing by processor
			said = append(said, text)
		}
	}
	assert.Empty(p.t, said, "the console is not empty")
	assert.NotEmpty(p.t, p.loaded)
	for _, u := range p.loaded {
		if !strings.HasPrefix(u, p.address) && !strings.HasPrefix(u, "blob:") && !strings.HasPrefix(u, "data:") { // what was opened or made here, or stands in the page
			p.t.Errorf("the page asked for %s", u)
		}
	}
}

func (p *tab) do(actions ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, enough)
	defer stop()
	require.NoError(p.t, chromedp.Do(ctx, actions...))
}

// open loads the page with a query and waits until it is alive.
func (p *tab) open(query string) {
	p.t.Helper()
	p.do(chromedp.Navigate(p.address + query))
	p.until(`document.documentElement.dataset.ready === 'yes'`)
}

// until waits for a JavaScript condition.
func (p *tab) until(condition string) {
	p.t.Helper()
	_, err := chromedp.Run(p.ctx, chromedp.Poll[bool]("Boolean("+condition+")", chromedp.WithPollingInterval(30*time.Millisecond), chromedp.WithPollingTimeout(enough)))
	if err != nil {
		p.shot("failed")
		require.NoError(p.t, err, "never came true: %s\nstatus: %s", condition, p.text("status"))
	}
}

// value evaluates JavaScript.
func value[T any](p *tab, expression string) T {
	p.t.Helper()
	v, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	require.NoError(p.t, err, expression)
	return v
}

// text is what an element says.
func (p *tab) text(id string) string {
	p.t.Helper()
	return value[string](p, fmt.Sprintf("document.getElementById(%q).textContent", id))
}

// keys presses keys, one after another.
func (p *tab) keys(keys string) {
	p.t.Helper()
	p.do(chromedp.KeyEvent(keys))
}

// tabTo goes to an element with the Tab key alone; it fails when no number of presses leads there.
func (p *tab) tabTo(selector string) {
	p.t.Helper()
	const most = 150
	for range most {
		if value[bool](p, fmt.Sprintf("document.activeElement.matches(%q)", selector)) {
			return
		}
		p.keys("\t")
	}
	p.t.Fatalf("%d presses of Tab do not lead to %s", most, selector)
}

// enter goes to a field by keyboard and writes into it.
func (p *tab) enter(name, text string) {
	p.t.Helper()
	p.tabTo(fmt.Sprintf("[name='%s']", name))
	p.keys(text)
}

// rewrite replaces what stands in a field, as pasting does.
func (p *tab) rewrite(name, text string) {
	p.t.Helper()
	value[any](p, fmt.Sprintf("(e => { e.focus(); e.select(); document.execCommand(%q, false, %q); })(document.getElementsByName(%q)[0] ?? document.getElementById(%[3]q))",
		map[bool]string{true: "delete", false: "insertText"}[text == ""], text, name))
}

// made waits for the ring of the given threads.
func (p *tab) made(threads string) {
	p.t.Helper()
	p.until(fmt.Sprintf("document.getElementById('look-state').textContent === %q", threads))
}

// fields are the fields in the address.
func (p *tab) fields() url.Values {
	p.t.Helper()
	u, err := url.Parse(value[string](p, "location.href"))
	require.NoError(p.t, err)
	return u.Query()
}

// size makes the window that large, light or dark.
func (p *tab) size(width, height int64, scheme string) {
	p.t.Helper()
	p.do(chromedp.EmulateViewport(width, height))
	_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
	})
	require.NoError(p.t, err)
}

// onePage shows a small screen the whole page at once, from the next opening on.
func (p *tab) onePage() {
	p.t.Helper()
	value[any](p, "sessionStorage.setItem('whole', 'yes')")
}

// shot keeps a picture of the page, when pictures are wanted.
func (p *tab) shot(name string) {
	p.t.Helper()
	folder := os.Getenv("TRYRING_SHOTS")
	if folder == "" {
		return
	}
	png, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	require.NoError(p.t, err)
	require.NoError(p.t, os.WriteFile(filepath.Join(folder, strings.ReplaceAll(p.t.Name(), "/", "-")+"-"+name+".png"), png, 0o644))
}
