package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// linked is a package that is built into the program, as `go list -json` tells it.
type linked struct {
	ImportPath, Dir string
	Standard        bool
	Module          *struct {
		Path, Version, Dir string
		Main               bool
	}
}

// systems are those that the program is released for; some take in packages of their own.
var systems = []string{"linux", "darwin", "windows"}

// notice is a file that says what one may do with the folder that it lies in.
var notice = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|patents)([.-].*)?$`)

// chosen stands in the place of what offers a choice of licences: the file of the one that we take, and what is said of it.
var chosen = map[string]struct{ file, words string }{
	"github.com/golang/freetype": {
		"licenses/ftl.txt",
		"It offers a choice of licences; this program takes it under the FreeType License. Portions of this software are copyright © 2010 The FreeType Project (www.freetype.org). All rights reserved.",
	},
}

// noticesOfAll are the notices of everything that the program is linked of, on all systems, each text once.
func noticesOfAll(t *testing.T) string {
	t.Helper()
	texts := map[string][]string{} // who has a text
	add := func(whose, file string) {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		told := strings.TrimSpace(strings.ReplaceAll(string(text), "\r\n", "\n"))
		if !slices.Contains(texts[told], whose) {
			texts[told] = append(texts[told], whose)
		}
	}
	for _, system := range systems {
		list := exec.Command("go", "list", "-deps", "-json=ImportPath,Dir,Standard,Module", ".")
		list.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		out, err := list.Output()
		require.NoError(t, err)
		for to := json.NewDecoder(bytes.NewReader(out)); ; {
			var p linked
			if err := to.Decode(&p); errors.Is(err, io.EOF) {
				break
			} else {
				require.NoError(t, err)
			}
			switch {
			case p.Standard || p.Module != nil && p.Module.Main:
				continue
			case chosen[p.Module.Path].file != "":
				add(p.Module.Path+" "+p.Module.Version, filepath.Join(p.Module.Dir, chosen[p.Module.Path].file))
				continue
			}
			found := false
			for dir := p.Dir; len(dir) >= len(p.Module.Dir); dir = filepath.Dir(dir) {
				entries, err := os.ReadDir(dir)
				require.NoError(t, err)
				for _, e := range entries {
					if notice.MatchString(e.Name()) && !e.IsDir() {
						found = true
						add(p.Module.Path+" "+p.Module.Version, filepath.Join(dir, e.Name()))
					}
				}
			}
			require.True(t, found, "%s comes without a licence", p.ImportPath)
		}
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	require.NoError(t, err)
	for _, file := range []string{"LICENSE", "PATENTS"} {
		add("Go and its standard library", filepath.Join(strings.TrimSpace(string(root)), file))
	}
	var parts []string
	for text, whose := range texts {
		slices.Sort(whose)
		head := strings.Join(whose, "\n")
		for _, w := range whose {
			if c := chosen[strings.Fields(w)[0]]; c.words != "" {
				head += "\n\n" + c.words
			}
		}
		parts = append(parts, head+"\n\n"+text+"\n")
	}
	slices.Sort(parts)
	return fmt.Sprintf("tryring is built of the libraries below, each under its own licence.\n\n%s\n%s", line, strings.Join(parts, "\n"+line+"\n"))
}

const line = "--------------------------------------------------------------------------------\n"

// What `tryring version --licences` prints is what belongs to the libraries that are linked now; -update writes it anew.
func TestLicencesAreThoseOfWhatIsLinked(t *testing.T) {
	want := noticesOfAll(t)
	if *update {
		require.NoError(t, os.WriteFile("licences.txt", []byte(want), 0o600))
	}
	have, err := os.ReadFile("licences.txt")
	require.NoError(t, err)
	require.True(t, want == string(have), "licences.txt is of other libraries than those linked; go test ./cmd/tryring -run Licences -update")
	require.Contains(t, want, "Attribution 4.0", "svgo asks for it")
	require.NotContains(t, want, "GENERAL PUBLIC LICENSE")
}
