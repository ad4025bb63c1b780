//go:build !js

package main

// This file puts the page together: the page as the bench serves it, with all that it loads inside.

import (
	"context"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"net/url"
	"regexp"
	"strings"

	"tryring/internal/bench"
)

// own are the scripts of the one file.
//
//go:embed scripts
var own embed.FS

// assemble makes the page. The same sources and the same Go give the same bytes.
func assemble(ctx context.Context) ([]byte, error) {
	reply, printers, err := service(map[string][]byte{}, func(string, []byte) {})
	if err != nil {
		return nil, err
	}
	ring := bench.Request{Context: ctx, Method: "GET", Path: "/file/ring.stl", Query: url.Values{"inner": {"1 5/8-16"}, "outer": {"1 7/8-14"}}}
	if a := reply(ring); a.Status != 200 {
		return nil, fmt.Errorf("the service makes no ring: %s", a.Body)
	}
	page, err := bench.Page(printers)
	if err != nil {
		return nil, err
	}
	script, err := bundle(file, "alone")
	if err != nil {
		return nil, err
	}
	leader, binary, err := compiled(ctx)
	if err != nil {
		return nil, err
	}
	old, worker, style, icon := file("old.js"), leader+file("worker.js"), file("style.css"), file("icon.svg")
	policy := "default-src 'none'; script-src " + digest(old) + " " + digest(script) + " 'wasm-unsafe-eval'; worker-src blob:; style-src " + digest(style) +
		"; img-src data: blob:; base-uri 'none'; form-action 'none'"
	html := string(page)
	for _, part := range []struct{ of, with string }{
		{`<meta charset="utf-8">`, `$0` + "\n" + `<meta http-equiv="Content-Security-Policy" content="` + policy + `">`},
		{`<link rel="icon"[^>]*>`, `<link rel="icon" href="data:image/svg+xml;base64,` + base64.StdEncoding.EncodeToString([]byte(icon)) + `">`},
		{`<link rel="stylesheet"[^>]*>`, "<style>" + verbatim(style) + "</style>"},
		{`<script type="module"[^>]*></script>\n`, ""},
		{`<body>`, "<body>\n" + tooOld + "\n<script>" + verbatim(old) + "</script>"},
		{`</body>`, `<script type="text/plain" id="worker">` + verbatim(worker) + "</script>\n<script>" + verbatim(script) +
			"</script>\n" + `<script type="text/plain" id="binary">` + base64.StdEncoding.EncodeToString(binary) + "</script>\n</body>"},
	} {
		of := regexp.MustCompile(part.of)
		if n := len(of.FindAllString(html, -1)); n != 1 {
			return nil, fmt.Errorf("%d places of the page are %s; there must be one", n, part.of)
		}
		html = of.ReplaceAllString(html, part.with)
	}
	return []byte(html), nil
}

// tooOld is shown where the browser cannot run the page.
const tooOld = `<p id="old" class="caution" hidden>This browser is too old for this page, which works in browsers from 2023 on: Chrome, Edge and Firefox 113, Safari 16.4. </p>`

// file is a script of the one file, or else a file of the bench page.
func file(name string) string {
	text, err := own.ReadFile("scripts/" + name)
	if err != nil {
		text, err = bench.Files.ReadFile("page/" + name)
	}
	if err != nil {
		panic(err) // all are embedded
	}
	return string(text)
}

// verbatim is text as the replacement of a regular expression.
func verbatim(text string) string { return strings.ReplaceAll(text, "$", "$$") }

// digest is what the policy of a page calls a script or style that it lets in (Content Security Policy Level 3, section 2.3.1).
func digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
