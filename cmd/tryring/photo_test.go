package main

import (
	"encoding/json"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// photoOf is a fixed picture; its thread is named in the tests of internal/photo: 14 to the inch, 42 mm.
func photoOf(name string) string { return filepath.Join("..", "..", "testdata", "photo", name) }

func TestPhoto(t *testing.T) {
	overlay := filepath.Join(t.TempDir(), "counted.png")
	code, stdout, stderr := tryring(t, "photo", photoOf("thread.jpg"), "--outside", "42mm", "--overlay", overlay, "--json")
	require.Equal(t, exitDone, code, stderr)
	var got photoInfo
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	require.True(t, got.Answered)
	require.NotNil(t, got.TPI)
	assert.InDelta(t, 14, *got.TPI, 0.1)
	assert.Less(t, got.TPI95[0], 14.0)
	assert.Greater(t, got.TPI95[1], 14.0)
	assert.InDelta(t, 25.4/14, *got.PitchMM, 0.02)
	assert.Equal(t, "right", got.Hand)
	assert.Len(t, got.Outlines, 2)
	assert.NotEmpty(t, got.Parts)

	f, err := os.Open(overlay)
	require.NoError(t, err)
	defer f.Close()
	m, err := png.Decode(f)
	require.NoError(t, err)
	assert.Equal(t, got.WidthPx, m.Bounds().Dx())

	code, stdout, _ = tryring(t, "photo", photoOf("thread.jpg"), "--outside", "42mm")
	assert.Equal(t, exitDone, code)
	for _, want := range []string{"full crests", "threads to the inch", `Next: tryring identify --outside 42mm --pitch`, "right"} {
		assert.Contains(t, stdout, want)
	}
	code, stdout, _ = tryring(t, "photo", photoOf("thread.jpg"))
	assert.Equal(t, exitDone, code)
	assert.Contains(t, stdout, "pitch / diameter")
	assert.NotContains(t, stdout, "threads to the inch")
}

func TestPhotoSaysNo(t *testing.T) {
	for _, name := range []string{"pipe.jpg", "rings.jpg", "comb.jpg", "bricks.jpg"} {
		code, stdout, stderr := tryring(t, "photo", photoOf(name), "--outside", "42mm", "--json")
		assert.Equal(t, exitNo, code, name)
		assert.Contains(t, stderr, "does not say enough")
		var got photoInfo
		require.NoError(t, json.Unmarshal([]byte(stdout), &got))
		assert.False(t, got.Answered)
		assert.Nil(t, got.TPI)
		assert.NotEmpty(t, got.Refusals)
	}
	code, stdout, _ := tryring(t, "photo", photoOf("pipe.jpg"), "--outside", "42mm")
	assert.Equal(t, exitNo, code)
	assert.Contains(t, stdout, "to mend it")
}

func TestPhotoFaults(t *testing.T) {
	text := filepath.Join(t.TempDir(), "text.jpg")
	require.NoError(t, os.WriteFile(text, []byte("no picture"), 0o600))
	good := photoOf("thread.jpg")
	taken := filepath.Join(t.TempDir(), "taken.png")
	require.NoError(t, os.WriteFile(taken, nil, 0o600))
	tests := []struct {
		name string
		args []string
		code int
		says string
	}{
		{"no picture named", nil, exitBadInput, "arg"},
		{"no such file", []string{"nowhere.jpg"}, exitFailed, "nowhere.jpg"},
		{"not a picture", []string{text}, exitBadInput, "JPEG, PNG and WebP"},
		{"no length", []string{good, "--outside", "wide"}, exitBadInput, "outside"},
		{"one mark", []string{good, "--mark", "1,2", "--apart", "10mm"}, exitBadInput, "twice"},
		{"marks without their distance", []string{good, "--mark", "1,2", "--mark", "300,2"}, exitBadInput, "--apart"},
		{"not a point", []string{good, "--mark", "1;2", "--mark", "300,2", "--apart", "10mm"}, exitBadInput, "X,Y"},
		{"two scales", []string{good, "--outside", "42mm", "--mark", "1,2", "--mark", "300,2", "--apart", "10mm"}, exitBadInput, "not both"},
		{"distance below 0", []string{good, "--outside", "42mm", "--distance=-1mm"}, exitBadInput, "distance"},
		{"camera inside the part", []string{good, "--outside", "42mm", "--distance", "10mm"}, exitBadInput, "more than the part's diameter"},
		{"the overlay exists", []string{good, "--outside", "42mm", "--overlay", taken}, exitBadInput, "taken.png"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			code, _, stderr := tryring(t, append([]string{"photo"}, tt.args...)...)
			assert.Equal(t, tt.code, code, stderr)
			assert.Contains(t, stderr, tt.says)
		})
	}
}

// FuzzPhotoFlags gives the command any text for its lengths and points: it takes them or says what is wrong, and never a
// value that no picture can have.
func FuzzPhotoFlags(f *testing.F) {
	f.Add("42mm", "1,2", "3,4", "10mm")
	f.Add("1 7/8in ± 0.01", "-1e300,NaN", ",", "")
	f.Fuzz(func(t *testing.T, outside, a, b, apart string) {
		asked := photoAsked{marks: []string{a, b}}
		if outside != "" {
			asked = photoAsked{outside: []string{outside}}
		}
		_ = lengthFlag{&asked.apart}.Set(apart)
		o, err := asked.options()
		if err != nil {
			return
		}
		if o.Outside != nil {
			assert.Positive(t, o.Outside.Value)
		}
		if o.Marks != nil {
			for _, v := range append(o.Marks.A[:], o.Marks.B[:]...) {
				assert.False(t, math.IsNaN(v) || math.IsInf(v, 0))
			}
		}
	})
}
