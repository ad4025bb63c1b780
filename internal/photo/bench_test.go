package photo_test

// This file measures the time for a picture of 12 megapixels.

import (
	"bytes"
	"image"
	"image/jpeg"
	"io"
	"math"
	"testing"

	xdraw "golang.org/x/image/draw"

	"github.com/stretchr/testify/require"

	"tryring/internal/photo"
	"tryring/internal/reading"
	"tryring/internal/unit"
)

// twelveMegapixels is a rendered thread enlarged to 4000 by 3000.
func twelveMegapixels(b *testing.B) []byte {
	b.Helper()
	s := goodScene()
	p, err := photo.Decode(bytes.NewReader(s.photo(b)))
	require.NoError(b, err)
	large := image.NewRGBA(image.Rect(0, 0, 4000, 3000))
	xdraw.CatmullRom.Scale(large, large.Bounds(), p.Image, p.Image.Bounds(), xdraw.Src, nil)
	return encoded(b, func(w io.Writer) error { return jpeg.Encode(w, large, &jpeg.Options{Quality: 90}) })
}

func BenchmarkTwelveMegapixels(b *testing.B) {
	file := twelveMegapixels(b)
	outside := reading.Combine(42, reading.Part{U: 0.05, DOF: math.Inf(1)})
	b.ResetTimer()
	for b.Loop() {
		p, err := photo.Decode(bytes.NewReader(file))
		require.NoError(b, err)
		r, err := photo.Measure(p, photo.Options{Outside: &outside, Distance: unit.MM(goodScene().distance())})
		require.NoError(b, err)
		require.True(b, r.Answered, "%v", r.Refusals)
	}
}

// goodScene is a good picture of a thread of 14 to the inch, 42 mm.
func goodScene() scene {
	return scene{
		tpi: 14, diameter: 42, length: 30, hand: 1, flank: math.Pi / 6, collar: 48, chamfer: 1,
		width: 1200, height: 900, focal35: 52, fill: 0.7, lean: 0.01, turn: 0.05, blur: 0.7, noise: 2, quality: 90,
		background: 230, part: 70, uneven: 0.1, backlit: 0.5, gloss: 0.3, read: 42, uRead: 0.03, seed: 11,
	}
}
