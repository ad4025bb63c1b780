package draw

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPageContrast holds all words of the pages to 4.5 : 1 against their ground, light, dark and printed
// (WCAG 2.2 success criterion 1.4.3, contrast as defined there).
func TestPageContrast(t *testing.T) {
	sets := regexp.MustCompile(`:root \{([^}]*)\}`).FindAllStringSubmatch(pageStyle, -1)
	require.Len(t, sets, 3, "light, dark, print")
	for i, set := range sets {
		colours := map[string]float64{}
		for _, m := range regexp.MustCompile(`--(\w+): #([0-9a-f]{3,6});`).FindAllStringSubmatch(set[1], -1) {
			colours[m[1]] = luminance(t, m[2])
		}
		require.Len(t, colours, 6)
		for _, ink := range []string{"ink", "soft", "alert"} {
			for _, ground := range []string{"paper", "wash"} {
				a, b := colours[ink], colours[ground]
				assert.GreaterOrEqual(t, (math.Max(a, b)+0.05)/(math.Min(a, b)+0.05), 4.5, "set %d: %s on %s", i, ink, ground)
			}
		}
	}
	assert.InDelta(t, 1, luminance(t, "fff"), 1e-9)
	assert.InDelta(t, 0.2126, luminance(t, "ff0000"), 1e-9) // the weight of red in the definition
}

// luminance is the relative luminance of WCAG 2.2.
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		require.NoError(t, err)
		c := float64(v) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}
