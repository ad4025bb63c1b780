//go:build !js

package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBundle(t *testing.T) {
	texts := map[string]string{
		"a.js":     "import { b as c, d } from './b.js';\nimport './d.js';\nexport const a = () => c(d);\n",
		"b.js":     "import { d } from './d.js';\nexport function b() {}\nexport { d };\n",
		"d.js":     "export class d {}\nexport async function e() {}\n",
		"round.js": "import { square } from './square.js';\n", "square.js": "import './round.js';\n",
		"far.js": "import { x } from 'elsewhere';\n", "ends.js": "const s = '</script>';\n",
	}
	read := func(name string) string { return texts[name] }
	_, err := bundle(read, "a")
	assert.ErrorContains(t, err, "b.js", "lists of exports are not read")
	texts["b.js"] = strings.Replace(texts["b.js"], "export { d };\n", "", 1)
	text, err := bundle(read, "a")
	require.NoError(t, err)
	assert.Equal(t, `(() => {
'use strict';
const module_d = (() => {
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
})();
`, text)
	for entry, says := range map[string]string{"round": "circle: round, square, round", "far": "elsewhere", "ends": "end of a script"} {
		_, err := bundle(read, entry)
		assert.ErrorContains(t, err, says)
	}
}

// TestPageIsBundled: all scripts of the page can be.
func TestPageIsBundled(t *testing.T) {
	text, err := bundle(file, "alone")
	require.NoError(t, err)
	assert.Equal(t, 1, strings.Count(text, "new Worker("))
	assert.NotContains(t, text, "fetch(", "nothing asks a network")
	assert.Greater(t, len(text), 50_000)
}
