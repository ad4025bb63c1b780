//go:build !js

package main

// This file compiles the service behind the page for browsers.

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// compiled is the service, packed, and the lines of the Go distribution that lead it in a browser.
func compiled() (leader string, packed []byte, err error) {
	folder, err := os.MkdirTemp("", "tryring-page-")
	if err != nil {
		return "", nil, err
	}
	defer func() { _ = os.RemoveAll(folder) }()
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return "", nil, fmt.Errorf("go env GOROOT: %w", err)
	}
	in := func(names ...string) string {
		return filepath.Join(append([]string{strings.TrimSpace(string(root))}, names...)...)
	}
	lines, err := os.ReadFile(in("lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return "", nil, err
	}
	overlay, err := withoutMethods(in("src", "text", "template", "exec.go"), folder)
	if err != nil {
		return "", nil, err
	}
	path := filepath.Join(folder, "page.wasm")
	build := exec.Command("go", "build", "-buildvcs=false", "-ldflags=-s -w -buildid=", "-overlay", overlay, "-o", path, "tryring/cmd/page")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOWASM=", "GOEXPERIMENT=", "GOFLAGS=-trimpath")
	if told, err := build.CombinedOutput(); err != nil {
		return "", nil, fmt.Errorf("the page's service cannot be compiled: %w\n%s", err, told)
	}
	data, err := os.ReadFile(path)
	var to bytes.Buffer
	w, _ := gzip.NewWriterLevel(&to, gzip.BestCompression) // one of the package's own levels
	_, _ = w.Write(data)                                   // a buffer takes all
	_ = w.Close()
	return string(lines), to.Bytes(), err
}

// licences are the notices of all that the service is built of, which the command is built of too.
func licences() ([]byte, error) {
	folder, err := exec.Command("go", "list", "-f", "{{.Dir}}", "tryring/cmd/tryring").Output()
	if err != nil {
		return nil, fmt.Errorf("go list: %w", err)
	}
	return os.ReadFile(filepath.Join(strings.TrimSpace(string(folder)), "licences.txt"))
}

// withoutMethods has the templates of the Go distribution, whose source is given, call no methods by their names, which none of the page's
// does. As long as one might, the linker keeps every exported method of every type: a quarter of the binary. It returns the file in folder
// that tells the compiler so.
func withoutMethods(source, folder string) (string, error) {
	const call, none = "ptr.MethodByName(fieldName)", "(reflect.Value{})"
	text, err := os.ReadFile(source)
	if n := strings.Count(string(text), call); err == nil && n != 1 {
		err = fmt.Errorf("%s has %d times %q, not once: this Go's templates are others than those that the page was made with", source, n, call)
	}
	changed, overlay := filepath.Join(folder, "exec.go"), filepath.Join(folder, "overlay.json")
	if err == nil {
		err = os.WriteFile(changed, bytes.Replace(text, []byte(call), []byte(none), 1), 0o600)
	}
	if err == nil {
		err = os.WriteFile(overlay, fmt.Appendf(nil, `{"Replace": {%q: %q}}`, source, changed), 0o600)
	}
	return overlay, err
}
