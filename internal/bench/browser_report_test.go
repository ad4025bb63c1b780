//go:build browser

package bench

// This file prints the report and the drawing in the browser, and has another reader measure what came out.

import (
	"bytes"
	"encoding/base64"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	paper "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	// fullInSVG and fullInPDF find the words "full thread" of both notes, which stand in two columns of the drawing.
	fullInSVG = regexp.MustCompile(`<text x="([\d.]+)" y="[\d.]+" font-size="[\d.]+">full `)
	fullInPDF = regexp.MustCompile(`xMin="([\d.]+)" yMin="[\d.]+" xMax="[\d.]+" yMax="[\d.]+">full<`)
	pageInPDF = regexp.MustCompile(`<page `)
	// wordInPDF finds the box of any word, which is as high as its face's ascender and descender together.
	// Dimensions that read from the right, which end in "in]", lie on their side.
	wordInPDF = regexp.MustCompile(`yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">[^<]*[^<\]]<`)
)

// apart is how far the two words stand from each other.
func apart(t *testing.T, found [][][]byte) float64 {
	t.Helper()
	require.Len(t, found, 2)
	var x [2]float64
	for i, f := range found {
		var err error
		x[i], err = strconv.ParseFloat(string(f[1]), 64)
		require.NoError(t, err)
	}
	return max(x[0], x[1]) - min(x[0], x[1])
}

func TestBrowserPrintsToScale(t *testing.T) {
	p := openTab(t, "", nil)
	for _, c := range []struct{ name, query string }{
		{"plain", withReadings},
		{"with warnings", "inner=20mm+x+2mm+3start+LH&outer=32mm+x+3mm+4start&height=200&clearance=0.02&layout=stacked&printer=filament-0.25&grip=none"},
	} {
		t.Run(c.name, func(t *testing.T) {
			q := p.in(t)
			for _, file := range []struct {
				name, mediaType string
				pages           int
			}{{"ring.html", "text/html;charset=utf-8", 5}, {"ring.svg", "image/svg+xml", 1}} {
				status, _, body := get(t, p.address+"file/"+file.name+"?"+c.query)
				require.Equal(t, http.StatusOK, status, "%s", body)
				p.do(chromedp.Navigate("data:" + file.mediaType + ";base64," + base64.StdEncoding.EncodeToString(body)))
				if file.name == "ring.html" {
					assert.True(t, bytes.Contains(body, []byte("data:image/png;base64,")), "the part is shown")
					q.size(1100, 800, "light")
					q.shot("screen")
				}
				for name, on := range map[string]chromedp.PDFOption{"A4": chromedp.PDFPaper(chromedp.PaperA4), "Letter": chromedp.PDFPaper(chromedp.PaperLetter)} {
					pdf, err := chromedp.Run(p.ctx, chromedp.PrintToPDF(on, asThePageAsks))
					require.NoError(t, err)
					printed := filepath.Join(t.TempDir(), name+".pdf")
					require.NoError(t, os.WriteFile(printed, pdf, 0o644))
					words, err := exec.Command("pdftotext", "-bbox", printed, "-").Output()
					require.NoError(t, err, "pdftotext of poppler-utils")
					drawn, shown := apart(t, fullInSVG.FindAllSubmatch(body, -1)), apart(t, fullInPDF.FindAllSubmatch(words, -1))*25.4/72
					assert.InDelta(t, drawn, shown, 0.001*drawn, "%s of %s", file.name, name)
					assert.LessOrEqual(t, len(pageInPDF.FindAll(words, -1)), file.pages, "%s of %s", file.name, name)
					for _, w := range wordInPDF.FindAllSubmatch(words, -1) {
						var y [2]float64
						for i := range y {
							y[i], err = strconv.ParseFloat(string(w[i+1]), 64)
							require.NoError(t, err)
						}
						// Ascender and descender of Liberation Sans together are 1.117 of the size (measured on the font): 10 pt at least, but
						// for figures that lie on their side, as long as they are.
						require.Greater(t, y[1]-y[0], 9.95*1.117, "%s", w[0])
					}
				}
			}
		})
	}
}

// asThePageAsks prints with the sizes and margins that the page itself asks for.
func asThePageAsks(p *paper.PrintToPDFParams) { p.PreferCSSPageSize = new(true) }
