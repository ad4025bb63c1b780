//go:build !js

package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestBundle(t *testing.T) {
	texts := map[string]string{
		"a.js": "import { b as c, d } from './b.js';\nimport './d.js';\nexport const a = () => c(d);\n",
		"b.js": "import { d } from './d.js';\nexport function b() {}\n",
		"d.js": "export class d {}\nexport async function e() {}\n",
	}
	assert.Equal(t, `const module_d = (() => {
class d {}
async function e() {}

return { d, e };
})();
const module_b = (() => {
const { d } = module_d;
function b() {}

return { b };
})();
const module_a = (() => {
const { b: c, d } = module_b;

const a = () => c(d);

return { a };
})();
`, bundle(func(name string) string { return texts[name] }, "a", map[string]bool{}))
}

// TestPageIsBundled: all scripts of the page can be, and each stands behind those that it takes from.
func TestPageIsBundled(t *testing.T) {
	text := bundle(file, "alone", map[string]bool{})
	assert.Equal(t, 1, strings.Count(text, "new Worker("))
	assert.NotContains(t, text, "fetch(", "nothing asks a network")
	assert.NotContains(t, text, "</script")
	assert.Greater(t, len(text), 50_000)
	made := map[string]bool{}
	for line := range strings.Lines(text) {
		assert.NotRegexp(t, `^(import|export)\b`, line, "imported and exported as the other modules do")
		if name, begins := strings.CutSuffix(line, " = (() => {\n"); begins {
			made[strings.TrimPrefix(name, "const ")] = true
		} else if _, name, takes := strings.Cut(line, "} = module_"); takes {
			assert.True(t, made["module_"+strings.TrimSuffix(name, ";\n")], "modules import each other in a circle: %s", line)
		}
	}
}
