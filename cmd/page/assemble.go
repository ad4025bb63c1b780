//go:build !js

package main

// This file puts the page together: the page as the bench serves it, with all that it loads inside.

import (
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html"
	"net/url"
	"strings"

	"tryring/internal/bench"
)

// own are the scripts of the one file.
//
//go:embed scripts
var own embed.FS

// assemble makes the page. The same sources and the same Go give the same bytes.
func assemble() (string, error) {
	reply, printers, err := service(map[string]string{}, nil)
	if err != nil {
		return "", err
	}
	if a := reply(bench.Request{Method: "GET", Path: "/api/ring", Query: url.Values{"inner": {"1 5/8-16"}, "outer": {"1 7/8-14"}}}); a.Status != 200 {
		return "", fmt.Errorf("the service plans no ring: %s", a.Body)
	}
	page, err := bench.Page(printers)
	if err != nil {
		return "", err
	}
	notices, err := licences()
	if err != nil {
		return "", err
	}
	leader, binary, err := compiled()
	if err != nil {
		return "", err
	}
	text, script, old, style := string(page), "(() => {\n'use strict';\n"+bundle(file, "alone", map[string]bool{})+"})();\n", file("old.js"), file("style.css")+file("alone.css")
	policy := "default-src 'none'; script-src " + digest(old) + " " + digest(script) + " 'wasm-unsafe-eval'; worker-src blob:; style-src " + digest(style) +
		"; img-src data: blob:; base-uri 'none'; form-action 'none'"
	for _, part := range [][2]string{
		{`<meta charset="utf-8">`, `<meta charset="utf-8">` + "\n" + `<meta http-equiv="Content-Security-Policy" content="` + policy + `">`},
		{`href="page/icon.svg"`, `href="data:image/svg+xml;base64,` + base64.StdEncoding.EncodeToString([]byte(file("icon.svg"))) + `"`},
		{`<link rel="stylesheet" href="page/style.css">`, "<style>" + style + "</style>"},
		{`<script type="module" src="page/main.js"></script>` + "\n", ""},
		{"<body>", "<body>\n" + tooOld + "\n<script>" + old + "</script>"},
		{"</main>", "</main>\n" + `<footer><details id="licences"><summary>Licences</summary><pre>` + html.EscapeString(string(notices)) + "</pre></details></footer>"},
		// The script comes before the binary, which takes longest to come in.
		{"</body>", `<script type="text/plain" id="worker">` + leader + file("worker.js") + "</script>\n<script>" + script + "</script>\n" +
			`<script type="text/plain" id="binary">` + base64.StdEncoding.EncodeToString(binary) + "</script>\n</body>"},
	} {
		if n := strings.Count(text, part[0]); n != 1 {
			return "", fmt.Errorf("the page has %d times %q; it must be there once", n, part[0])
		}
		text = strings.Replace(text, part[0], part[1], 1)
	}
	return text, nil
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

// digest is what the policy of a page calls a script or style that it lets in (Content Security Policy Level 3, section 2.3.1).
func digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
