//go:build !js

package main

// This file makes one script of modules that import each other by `import { a, b as c } from './x.js'` at a line's start and
// export functions, classes and constants where they are declared.

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

var (
	imports   = regexp.MustCompile(`(?m)^import (?:(\{[^}]*\}) from )?'\./([a-z]+)\.js';$`)
	exports   = regexp.MustCompile(`(?m)^export ((?:async )?(?:function|const|class) (\w+))`)
	unbundled = regexp.MustCompile(`(?m)^(import|export)\b.*$`)
)

// bundle is the script of the module called entry and of all that it imports, each a function of its own that returns what it exports.
func bundle(read func(file string) string, entry string) (string, error) {
	var out strings.Builder
	var under, done []string
	var add func(name string) error
	add = func(name string) error {
		switch {
		case slices.Contains(done, name):
			return nil
		case slices.Contains(under, name):
			return fmt.Errorf("modules import each other in a circle: %s", strings.Join(append(under, name), ", "))
		}
		under = append(under, name)
		text := read(name + ".js")
		for _, found := range imports.FindAllStringSubmatch(text, -1) {
			if err := add(found[2]); err != nil {
				return err
			}
		}
		text = imports.ReplaceAllStringFunc(text, func(line string) string {
			found := imports.FindStringSubmatch(line)
			if found[1] == "" {
				return ""
			}
			return "const " + strings.ReplaceAll(found[1], " as ", ": ") + " = module_" + found[2] + ";"
		})
		var names []string
		for _, found := range exports.FindAllStringSubmatch(text, -1) {
			names = append(names, found[2])
		}
		text = exports.ReplaceAllString(text, "$1")
		if line := unbundled.FindString(text); line != "" {
			return fmt.Errorf("%s.js: %q; import and export as the other modules do", name, line)
		}
		fmt.Fprintf(&out, "const module_%s = (() => {\n%s\nreturn { %s };\n})();\n", name, text, strings.Join(names, ", "))
		under, done = under[:len(under)-1], append(done, name)
		return nil
	}
	if err := add(entry); err != nil {
		return "", err
	}
	text := "(() => {\n'use strict';\n" + out.String() + "})();\n"
	if strings.Contains(text, "</script") {
		return "", fmt.Errorf("a script of the page holds the end of a script")
	}
	return text, nil
}
