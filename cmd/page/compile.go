//go:build !js

package main

// This file compiles the service behind the page for browsers.

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// compiled is the service, packed, and the lines of the Go distribution that lead it in a browser.
func compiled(ctx context.Context) (leader string, packed []byte, err error) {
	folder, err := os.MkdirTemp("", "tryring-page-")
	if err != nil {
		return "", nil, err
	}
	defer func() { _ = os.RemoveAll(folder) }()
	said, err := exec.CommandContext(ctx, "go", "env", "GOROOT").Output()
	if err != nil {
		return "", nil, fmt.Errorf("go env GOROOT: %w", err)
	}
	root, path := strings.TrimSpace(string(said)), filepath.Join(folder, "page.wasm")
	lines, err := os.ReadFile(filepath.Join(root, "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return "", nil, err
	}
	overlay, err := withoutMethods(root, folder)
	if err != nil {
		return "", nil, err
	}
	build := exec.CommandContext(ctx, "go", "build", "-buildvcs=false", "-ldflags=-s -w -buildid=", "-overlay", overlay, "-o", path, "tryring/cmd/page")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOWASM=", "GOEXPERIMENT=", "GOFLAGS=-trimpath")
	build.Stderr = os.Stderr
	if err := build.Run(); err != nil {
		return "", nil, fmt.Errorf("the page's service cannot be compiled: %w", err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return "", nil, err
	}
	var to bytes.Buffer
	w, err := gzip.NewWriterLevel(&to, gzip.BestCompression)
	if err != nil {
		return "", nil, err
	}
	_, _ = w.Write(data) // a buffer takes all
	_ = w.Close()
	return string(lines), to.Bytes(), nil
}

// withoutMethods has templates call no methods by their names, which none of the page's does. As long as one might, the linker keeps every
// exported method of every type: a quarter of the binary. It returns the file that tells the compiler so.
func withoutMethods(root, folder string) (string, error) {
	const call, none = "ptr.MethodByName(fieldName)", "(reflect.Value{})"
	source := filepath.Join(root, "src", "text", "template", "exec.go")
	text, err := os.ReadFile(source)
	if err != nil {
		return "", err
	}
	if n := strings.Count(string(text), call); n != 1 {
		return "", fmt.Errorf("%s has %q in %d places; this Go's templates are others than those that the page was made with", source, call, n)
	}
	changed, overlay := filepath.Join(folder, "exec.go"), filepath.Join(folder, "overlay.json")
	told, err := json.Marshal(map[string]map[string]string{"Replace": {source: changed}})
	if err == nil {
		err = os.WriteFile(changed, bytes.Replace(text, []byte(call), []byte(none), 1), 0o600)
	}
	if err == nil {
		err = os.WriteFile(overlay, told, 0o600)
	}
	return overlay, err
}
