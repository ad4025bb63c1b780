//go:build browser

package bench

import (
	"image"
	"image/color"
	"image/png"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// phoneHost stands for another machine: what comes in by it is taken for a phone's.
const phoneHost = "127.0.0.2"

// openShared serves a shared job at the desk's address and at the phone's, which is returned with its key.
func openShared(t *testing.T) (desk, phone string) {
	t.Helper()
	printers, tables := testThings(t)
	atDesk := httptest.NewUnstartedServer(nil)
	_, port, err := net.SplitHostPort(atDesk.Listener.Addr().String())
	require.NoError(t, err)
	c := Config{Addr: atDesk.Listener.Addr().String(), Tables: tables, Printers: printers, Key: testKey, Networks: []string{phoneHost}}
	handler, err := New(c)
	require.NoError(t, err)
	atPhone := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.RemoteAddr = "192.0.2.9:999"
		handler.ServeHTTP(w, r)
	}))
	require.NoError(t, atPhone.Listener.Close())
	atPhone.Listener, err = net.Listen("tcp", net.JoinHostPort(phoneHost, port))
	require.NoError(t, err)
	atDesk.Config.Handler = handler
	for _, s := range []*httptest.Server{atDesk, atPhone} {
		s.Start()
		t.Cleanup(s.Close)
	}
	return atDesk.URL, c.others(port)[0]
}

// scanned is what a reader of codes, which is not ours, finds on a picture.
func scanned(t *testing.T, picture string) string {
	t.Helper()
	out, err := exec.Command("zbarimg", "--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", picture).Output()
	require.NoError(t, err, "zbarimg; install the zbar-tools package")
	return strings.TrimSpace(string(out))
}

// TestBrowserPhone has a phone scan the code on the desk's page, and both work on one job.
func TestBrowserPhone(t *testing.T) {
	desk, phone := openShared(t)
	p := openTabAt(t, desk+"/", "", nil)
	p.size(1400, 900, "dark")
	p.do(chromedp.Click("#phone summary"))
	svg, err := chromedp.Run(p.ctx, chromedp.Screenshot("#phone svg"))
	require.NoError(t, err)
	picture := filepath.Join(t.TempDir(), "page.png")
	require.NoError(t, os.WriteFile(picture, svg, 0o600))
	assert.Equal(t, phone, scanned(t, picture), "on the dark page")
	p.accessible()

	// The phone is another browser, with cookies of its own.
	u, err := url.Parse(phone)
	require.NoError(t, err)
	there := openTabAt(t, "http://"+u.Host+"/", "?"+u.RawQuery, nil)
	there.size(390, 844, "light")
	assert.False(t, value[bool](there, `document.querySelector('#phone svg') !== null`), "the code is for the desk")
	there.accessible()
	there.do(chromedp.Click("#whole"))

	there.rewrite("stays.bore", "45.75")
	p.until(`document.getElementsByName('stays.bore')[0].value === '45.75'`)
	p.rewrite("goes.outside", "41.2")
	there.until(`document.getElementsByName('goes.outside')[0].value === '41.2'`)
	there.open("") // by the cookie alone
	there.until(`document.getElementsByName('goes.outside')[0].value === '41.2' && document.getElementsByName('stays.bore')[0].value === '45.75'`)
	p.rewrite("stays.bore", "")
	there.until(`document.getElementsByName('stays.bore')[0].value === ''`)
	// What is opened on purpose is opened on both.
	p.open("?" + twoThreads)
	there.until(`document.getElementsByName('inner')[0].value !== '' && document.getElementsByName('goes.outside')[0].value === ''`)
}

// TestBrowserTerminalCode draws the code's text as a light and a dark terminal show it, and has it read.
func TestBrowserTerminalCode(t *testing.T) {
	const address = "http://192.168.178.123:8137/?key=OPENSESAMEOPENSESAMEOPENSES"
	text, err := Code(address)
	require.NoError(t, err)
	for name, paper := range map[string]uint8{"light": 255, "dark": 0} {
		picture := filepath.Join(t.TempDir(), name+".png")
		f, err := os.Create(picture)
		require.NoError(t, err)
		require.NoError(t, png.Encode(f, onScreen(t, text, paper)))
		require.NoError(t, f.Close())
		assert.Equal(t, address, scanned(t, picture), name)
	}
}

// onScreen draws text with half blocks in the colours that it asks for, on a screen of that paper: a character is 8 by 16.
func onScreen(t *testing.T, text string, paper uint8) image.Image {
	lines := strings.Split(text, "\n")
	screen := image.NewGray(image.Rect(0, 0, 60*8, (len(lines)+2)*16))
	fill := func(x, y, height int, level uint8) {
		for dy := range height {
			for dx := range 8 {
				screen.SetGray(x+dx, y+dy, color.Gray{Y: level})
			}
		}
	}
	for i := range screen.Pix {
		screen.Pix[i] = paper
	}
	coloured := regexp.MustCompile(`^\x1b\[38;5;231;48;5;16m([ █▀▄]+)\x1b\[0m$`) // white (231) on black (16)
	for row, line := range lines[:len(lines)-1] {
		parts := coloured.FindStringSubmatch(line)
		require.NotNil(t, parts, "%q", line)
		for column, block := range []rune(parts[1]) {
			for half, ink := range map[int]string{0: "█▀", 8: "█▄"} {
				fill((column+4)*8, (row+1)*16+half, 8, map[bool]uint8{true: 255, false: 0}[strings.ContainsRune(ink, block)])
			}
		}
	}
	return screen
}
