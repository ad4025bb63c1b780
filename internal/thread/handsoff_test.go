package thread

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestHandsOff(t *testing.T) {
	for _, c := range []struct{ thread, says string }{
		{"W21.8x1/14 LH", "cylinders"},
		{"W21.8x1/14", "cylinders"},
		{".825-14 NGO", "cylinders"},
		{"POL", "cylinders"},
		{"G 3/8 LH", "fuel gas"},
		{"M20x1.5-6g LH", "fuel gas"},
		{"Rd 40x1/7", "breathing"},
		{"1 5/16-5 Acme", "liquefied gas"},
		// As a free thread or a special within its sizes.
		{"21.75mm x 14tpi 55deg LH", "W21.8x1/14 LH"},
		{"0.885in x 14tpi LH", ".885-14 NGO LH"},
		{"0.82in x 14tpi", ".825-14 NGO"},
		{".825-14 UNS", ".825-14 NGO"},
		{"13.1mm x 19tpi 55deg LH", "G 1/4 LH"},
		{"40mm x 7tpi 30deg", "Rd 40x1/7"},
		{"21.8mm x 14tpi", "W21.8x1/14"},
	} {
		t.Run(c.thread, func(t *testing.T) {
			th, err := Parse(c.thread)
			require.NoError(t, err)
			err = th.HandsOff()
			require.ErrorIs(t, err, ErrHandsOff)
			assert.ErrorContains(t, err, c.says)
		})
	}
	for _, text := range []string{
		"G 1/2", "1/2-14 NPSM", "1/2-14 NPT", "G 5/8", "G 3/8", "M20x1.5", "1 7/8-14 UNS", "44.4mm x 12tpi", "20.95mm x 14tpi 55deg",
		"0.885in x 14tpi", "22.2mm x 14tpi", "M24x1", "Tr 20x4", "1-5 Acme",
	} {
		th, err := Parse(text)
		require.NoError(t, err, text)
		assert.NoError(t, th.HandsOff(), text)
	}
}

func TestSharedThreadsSayIt(t *testing.T) {
	for text, says := range map[string]string{
		"1/2-14 NPT": "gas", "G 1/2 A": "gas", "M10x1": "brake", "7/16-20 UNF": "gas", "M45x1.5": "such threads", "1/2-26 brass": "gas",
	} {
		th, err := Parse(text)
		require.NoError(t, err)
		assert.Contains(t, th.SharedWith(), says, text)
	}
	for _, text := range []string{"3/4-11.5 NH", "44.4mm x 12tpi", "Pg 9", "W21.8x1/14"} {
		th, err := Parse(text)
		require.NoError(t, err)
		assert.Empty(t, th.SharedWith(), text)
	}
}

// What is said of all metric and Unified threads is no danger of one of them; that of a size is.
func TestDanger(t *testing.T) {
	for text, says := range map[string]string{
		"M10x1": "brake", "M20x1.5": "gas", "7/16-20 UNF": "gas", "1/2-14 NPT": "gas", "G 1/2 A": "gas", "G 2": "gas", "1/2-26 brass": "gas", "E27": "mains",
		"M45x1.5": "", "1 7/8-14 UNS": "", "1 5/8-16 UN-2A": "", "44.4mm x 12tpi": "", "Tr 20x4": "",
	} {
		th, err := Parse(text)
		require.NoError(t, err)
		if says == "" {
			assert.Empty(t, th.Danger(), text)
		}
		assert.Contains(t, th.Danger(), says, text)
	}
}

func TestRefusedUse(t *testing.T) {
	for _, use := range []string{"gas cooker", "LPG", "brake line", "high-pressure air", "Fuel tank", "medical oxygen", "to breathe: breathing air"} {
		assert.ErrorIs(t, RefusedUse(use), ErrHandsOff, use)
	}
	for _, use := range []string{"", "bath drain", "gasket of a trap", "rebrake", "garden hose", "low pressure water", "kitchen tap"} {
		assert.NoError(t, RefusedUse(use), use)
	}
}
