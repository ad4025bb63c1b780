//go:build browser

package bench

// This file makes the pictures of the README: TRYRING_README=1 writes them anew.

import (
	"encoding/base64"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// webp is an element of the page as WebP, at so many pixels a pixel of the page.
func (p *tab) webp(selector string, scale float64) []byte {
	p.t.Helper()
	at := value[[]float64](p, fmt.Sprintf("((r) => [r.x, r.y, r.width, Math.min(r.height, innerHeight)])(document.querySelector(%q).getBoundingClientRect())", selector))
	quality := int64(70)
	shot, err := chromedp.Call(p.ctx, page.CaptureScreenshot, page.CaptureScreenshotParams{
		Format: page.CaptureScreenshotFormatWebp, Quality: &quality, Clip: &page.Viewport{X: at[0], Y: at[1], Width: at[2], Height: at[3], Scale: scale},
	})
	require.NoError(p.t, err)
	return shot.Data
}

func TestBrowserPicturesOfReadme(t *testing.T) {
	p := openTab(t, "?"+withReadings, nil)
	p.size(1240, 860, "light")
	p.made("IN 1 5/8-16 UN OUT 1 7/8-14 UNS")
	p.until("Number(document.getElementById('view').dataset.smooth) > 0")
	p.until("document.querySelectorAll('.candidates button').length > 1")
	pictures := map[string][]byte{"page": p.webp("body", 0.6)}
	p.size(1240, 1300, "light") // where nothing lies over the ring
	value[any](p, "(e => { e.value = 180; e.dispatchEvent(new Event('input', { bubbles: true })); })(document.getElementById('cut'))")
	smooth := value[int](p, "Number(document.getElementById('view').dataset.smooth)")
	p.until(fmt.Sprintf("Number(document.getElementById('view').dataset.smooth) > %d", smooth))
	pictures["ring"] = p.webp("#view", 0.8)
	_, _, svg := get(t, p.address+"file/ring.svg?"+withReadings)
	p.do(chromedp.Navigate("data:image/svg+xml;base64," + base64.StdEncoding.EncodeToString(svg)))
	pictures["sheet"] = p.webp("svg", 0.6)
	for name, picture := range pictures {
		path := filepath.Join("..", "..", "testdata", "readme", name+".webp")
		if os.Getenv("TRYRING_README") != "" {
			require.NoError(t, os.WriteFile(path, picture, 0o644))
		}
		there, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.InEpsilon(t, len(there), len(picture), 0.5, "%s has changed: look at it, and write it anew", name)
	}
}
