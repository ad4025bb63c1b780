package main

// This file holds the house to its plan: which room may use which.

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rooms lists the rooms from the ground up; a room may use those before it.
var rooms = []string{
	"profiles", "internal/fault", "internal/unit", "internal/datafile", "internal/whole",
	"internal/thread", "internal/printer", "internal/reading", "internal/combs", "internal/fit", "internal/parts", "internal/pose", "internal/photo",
	"internal/ring", "internal/toolpath", "internal/mesh", "internal/caliper", "internal/check", "internal/draw", "internal/job", "internal/build", "internal/gauge", "internal/ladder", "internal/trial", "internal/identity", "internal/leaf", "internal/standing",
	"internal/bench",
	"cmd/tryring", "cmd/page",
}

// knowsSDF are the rooms that may know sdfx.
var knowsSDF = map[string]bool{"internal/ring": true, "internal/mesh": true}

func TestImportsPointDownwards(t *testing.T) {
	level := map[string]int{}
	for i, r := range rooms {
		level[r] = i
	}
	root := filepath.Join("..", "..")
	files := 0
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return err
		}
		files++
		rel, err := filepath.Rel(root, filepath.Dir(name))
		require.NoError(t, err)
		room := filepath.ToSlash(rel)
		at, known := level[room]
		if !assert.True(t, known, "%s lies outside the house", name) {
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		require.NoError(t, err)
		for _, spec := range f.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			require.NoError(t, err)
			if strings.HasPrefix(imported, "github.com/deadsy/sdfx") {
				assert.True(t, knowsSDF[room], "%s knows sdfx", name)
			}
			used, ours := strings.CutPrefix(imported, "tryring/")
			if !ours {
				continue
			}
			below, known := level[path.Clean(used)]
			assert.True(t, known && below < at, "%s uses %s, which does not lie below it", name, used)
		}
		return nil
	})
	require.NoError(t, err)
	require.Greater(t, files, 50)
}

// TestPageNeedsNoNetwork: what runs in a page links nothing that speaks to a network, which would be a third of it.
func TestPageNeedsNoNetwork(t *testing.T) {
	list := exec.Command("go", "list", "-deps", "tryring/internal/bench")
	list.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := list.Output()
	require.NoError(t, err)
	linked := strings.Fields(string(out))
	assert.Contains(t, linked, "tryring/internal/mesh")
	for _, no := range []string{"net", "net/http", "crypto/tls"} {
		assert.NotContains(t, linked, no)
	}
}

// TestNoFlagsBelowTheCommandLine keeps flags ("--bore") out of the words of internal, where nobody knows how a field is entered:
// a fault names its field, and the edge names the flag.
func TestNoFlagsBelowTheCommandLine(t *testing.T) {
	flag := regexp.MustCompile(`(^|[^-!<])--[a-z]`)
	texts := 0
	err := filepath.WalkDir(filepath.Join("..", "..", "internal"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if text, is := n.(*ast.BasicLit); is && text.Kind == token.STRING {
				texts++
				assert.NotRegexp(t, flag, text.Value, path)
			}
			return true
		})
		return nil
	})
	require.NoError(t, err)
	assert.Greater(t, texts, 1000)
}
