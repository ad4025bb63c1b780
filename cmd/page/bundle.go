//go:build !js

package main

// This file makes one script of modules that import each other by `import { a, b as c } from './x.js';` at a line's start and
// export functions, classes and constants where they are declared.

import (
	"fmt"
	"regexp"
	"strings"
)

var (
	imports = regexp.MustCompile(`(?m)^import (?:(\{[^}]*\}) from )?'\./([a-z]+)\.js';$`)
	exports = regexp.MustCompile(`(?m)^export ((?:async )?(?:function|const|class) (\w+))`)
)

// bundle is the script of a module and of all that it imports but what is done: each is a function of its own that returns what it exports.
func bundle(read func(file string) string, name string, done map[string]bool) string {
	done[name] = true
	before := ""
	text := imports.ReplaceAllStringFunc(read(name+".js"), func(line string) string {
		found := imports.FindStringSubmatch(line)
		if !done[found[2]] {
			before += bundle(read, found[2], done)
		}
		if found[1] == "" {
			return ""
		}
		return "const " + strings.ReplaceAll(found[1], " as ", ": ") + " = module_" + found[2] + ";"
	})
	var names []string
	for _, found := range exports.FindAllStringSubmatch(text, -1) {
		names = append(names, found[2])
	}
	return before + fmt.Sprintf("const module_%s = (() => {\n%s\nreturn { %s };\n})();\n", name, exports.ReplaceAllString(text, "$1"), strings.Join(names, ", "))
}
