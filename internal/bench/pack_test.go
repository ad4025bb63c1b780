package bench

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/job"
	"tryring/internal/reading"
)

func TestPackLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.SliceOfN(rapid.Byte(), 0, 3000).Draw(t, "text")
		back, err := unpack(pack(text))
		require.NoError(t, err)
		assert.True(t, bytes.Equal(text, back))
	})
}

// TestPackHoldsLargeJobs: a document of thousands of readings, each with its day and a note, fits into the address.
func TestPackHoldsLargeJobs(t *testing.T) {
	d := job.New()
	for i := range 4000 {
		d.Goes = append(d.Goes, reading.Record{What: "outside", Text: fmt.Sprintf("%.2f mm", 47+float64(i*7919%1000)/5000), Instrument: "dial", When: fmt.Sprintf("2026-03-%02d", i%28+1), Note: "by lamp"})
	}
	text, err := d.Text()
	require.NoError(t, err)
	require.LessOrEqual(t, len(text), job.MaxBytes)
	assert.LessOrEqual(t, len(pack(text)), maxPacked)
}

// noise are letters in an order without a pattern, which no compression makes much of.
func noise(n int) string {
	out, x := make([]byte, n), uint32(1)
	for i := range out {
		x = x*1664525 + 1013904223
		out[i] = 'A' + byte(x>>24)%26
	}
	return string(out)
}

func TestUnpackFaults(t *testing.T) {
	var bomb bytes.Buffer
	w, err := flate.NewWriter(&bomb, flate.BestCompression)
	require.NoError(t, err)
	_, err = w.Write(make([]byte, 8*job.MaxBytes))
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

// Whatever stands in an address, it is a job of bounded length or refused in words; what was packed comes back.
func FuzzUnpack(f *testing.F) {
	f.Add(pack([]byte("name = 'tub'\n")))
	f.Add("")
	f.Add("AAAA")
	f.Fuzz(func(t *testing.T, packed string) {
		text, err := unpack(packed)
		if err != nil {
			return
		}
		if back, err := unpack(pack(text)); err != nil || len(text) > job.MaxBytes || !bytes.Equal(text, back) {
			t.Errorf("%q: %d bytes, then %d, %v", packed, len(text), len(back), err)
		}
	})
}
