//go:build browser

package bench

// This file prints the report in the browser: one sheet on A4 and on Letter, asking nobody for anything.

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	paper "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sheetOf finds the sheets of a PDF file.
var sheetOf = regexp.MustCompile(`/Type\s*/Page\b[^s]`)

func TestBrowserReportIsOneSheet(t *testing.T) {
	p := openTab(t, "", nil)
	blank := func(html []byte) {
		text, err := json.Marshal(string(html))
		require.NoError(t, err)
		p.do(chromedp.Navigate("about:blank"))
		value[any](p, fmt.Sprintf("document.open(); document.write(%s); document.close(); document.fonts.ready.then(() => 0)", text))
	}
	blank([]byte("<p>one</p><p style='break-before: page'>two</p>"))
	two, err := chromedp.Run(p.ctx, chromedp.PrintToPDF())
	require.NoError(t, err)
	require.Len(t, sheetOf.FindAll(two, -1), 2, "sheets are counted")

	for _, c := range []struct{ name, query string }{
		{"plain", withReadings},
		{"small", "inner=M3x0.5&outer=M6x1"},
		{"stacked with a label", "inner=M120x4&outer=M110x4&printer=filament-0.4&label=DRAWER+14+NORTH+WALL"},
		{"taper", "inner=1/2-14+NPT&outer=R+1+1/4&printer=resin"},
		{"with warnings", "inner=20mm+x+2mm+3start+LH&outer=32mm+x+3mm+4start&height=200&clearance=0.02&layout=stacked&printer=filament-0.25&grip=none"},
	} {
		t.Run(c.name, func(t *testing.T) {
			q := p.in(t)
			status, _, html := get(t, p.address+"/file/ring.html?"+c.query)
			require.Equal(t, http.StatusOK, status, "%s", html)
			assert.True(t, bytes.Contains(html, []byte("data:image/png;base64,")), "the part is shown")
			blank(html)
			q.size(1100, 800, "light")
			q.shot("screen")
			for name, sheet := range map[string]chromedp.PDFOption{
				"A4": chromedp.PDFPaper(chromedp.PaperA4), "Letter": chromedp.PDFPaper(chromedp.PaperLetter),
			} {
				pdf, err := chromedp.Run(p.ctx, chromedp.PrintToPDF(sheet, margins))
				require.NoError(t, err)
				assert.Len(t, sheetOf.FindAll(pdf, -1), 1, name)
				if folder := os.Getenv("TRYRING_SHOTS"); folder != "" {
					require.NoError(t, os.WriteFile(filepath.Join(folder, "report-"+c.name+"-"+name+".pdf"), pdf, 0o644))
				}
			}
		})
	}
}

// margins are those that the report itself asks for.
func margins(p *paper.PrintToPDFParams) {
	p.PreferCSSPageSize = nil
	const inches = 7 / 25.4
	for _, m := range []**float64{&p.MarginTop, &p.MarginBottom, &p.MarginLeft, &p.MarginRight} {
		*m = new(inches)
	}
}
