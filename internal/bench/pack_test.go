package bench

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/datafile"
)

func TestPackLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.SliceOfN(rapid.Byte(), 0, 3000).Draw(t, "text")
		back, err := unpack(pack(text))
		require.NoError(t, err)
		assert.True(t, bytes.Equal(text, back))
	})
	// What cannot be compressed: every byte in an order without a pattern.
	noise, x := make([]byte, datafile.MaxBytes), uint32(1)
	for i := range noise {
		x = x*1664525 + 1013904223
		noise[i] = byte(x >> 24)
	}
	packed := pack(noise)
	assert.LessOrEqual(t, len(packed), maxPacked)
	back, err := unpack(packed)
	require.NoError(t, err)
	assert.Equal(t, noise, back)
}

func TestUnpackFaults(t *testing.T) {
	var bomb bytes.Buffer
	w, err := flate.NewWriter(&bomb, flate.BestCompression)
	require.NoError(t, err)
	_, err = w.Write(make([]byte, 100<<20))
	require.NoError(t, err)
	require.NoError(t, w.Close())
	whole := pack([]byte("inner = 'M20'\n"))
	for _, c := range []struct{ name, packed, says string }{
		{"no such letters", "a b", "whole"},
		{"cut short", whole[:len(whole)-4], "whole"},
		{"nonsense", "AAAA", "whole"},
		{"a bomb", base64.RawURLEncoding.EncodeToString(bomb.Bytes()), "more than"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := unpack(c.packed)
			assert.ErrorContains(t, err, c.says)
		})
	}
}
