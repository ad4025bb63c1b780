package photo_test

// This file tests reading picture files: orientation, focal length, formats, and files that mean harm.

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/photo"
)

// small is a grey picture with a bright corner at the upper left.
func small(w, h int) *image.Gray {
	m := image.NewGray(image.Rect(0, 0, w, h))
	for i := range m.Pix {
		m.Pix[i] = 90
	}
	for y := range h / 3 {
		for x := range w / 3 {
			m.SetGray(x, y, color.Gray{Y: 230})
		}
	}
	return m
}

func encoded(t testing.TB, encode func(w io.Writer) error) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, encode(&b))
	return b.Bytes()
}

func smallJPEG(t testing.TB, w, h int) []byte {
	t.Helper()
	return encoded(t, func(out io.Writer) error { return jpeg.Encode(out, small(w, h), &jpeg.Options{Quality: 90}) })
}

func smallPNG(t testing.TB, m image.Image) []byte {
	t.Helper()
	return encoded(t, func(out io.Writer) error { return png.Encode(out, m) })
}

// resized returns a PNG file whose header says another size.
func resized(file []byte, w, h uint32) []byte {
	const header, data = 12, 16 // "IHDR" begins at 12, its fields at 16
	out := bytes.Clone(file)
	binary.BigEndian.PutUint32(out[data:], w)
	binary.BigEndian.PutUint32(out[data+4:], h)
	binary.BigEndian.PutUint32(out[data+13:], crc32.ChecksumIEEE(out[header:data+13]))
	return out
}

// layered returns a JPEG file that claims to be progressive and has many scans.
func layered(file []byte, scans int) []byte {
	out := bytes.Clone(file)
	if at := bytes.Index(out, []byte{0xff, 0xc0}); at >= 0 {
		out[at+1] = 0xc2
	}
	return append(out[:len(out)-2], bytes.Repeat([]byte{0xff, 0xda, 0, 8, 1, 1, 0, 0, 0, 0}, scans)...)
}

func TestDecodeFaults(t *testing.T) {
	good := smallPNG(t, small(300, 200))
	tests := []struct {
		name string
		file []byte
		says string
	}{
		{"nothing", nil, "unknown format"},
		{"text", []byte("this is no picture"), "JPEG, PNG and WebP"},
		{"half a PNG", good[:len(good)/2], "not a picture"},
		{"half a JPEG", smallJPEG(t, 300, 200)[:400], "not a picture"},
		{"too small", smallPNG(t, small(300, 40)), "300 by 40 pixels"},
		{"a million pixels a side", resized(good, 1_000_000, 1_000_000), "at most 50 megapixels"},
		{"a strip", resized(good, 30_000, 200), "20000 on a side"},
		{"fifty-one megapixels", resized(good, 8500, 6000), "at most 50 megapixels"},
		{"fifty megapixels of 16 bits", resized(smallPNG(t, image.NewNRGBA64(image.Rect(0, 0, 120, 120))), 8160, 6120), "save it with 8 bits"},
		{"a header without the rest", resized(good, 7000, 7000), "not a picture"},
		{"a JPEG of a thousand layers", layered(smallJPEG(t, 300, 200), 1000), "layers"},
		{"WebP with no end", []byte("RIFF\xff\xff\xff\xffWEBPVP8L\xff\xff\xff\x7f/\xff\xff\xff\xff\xff\xff"), "not a picture"},
		{"an animation", encoded(t, func(w io.Writer) error { return gif.Encode(w, small(300, 200), nil) }), "JPEG, PNG and WebP are read"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := photo.Decode(bytes.NewReader(tt.file))
			require.ErrorIs(t, err, photo.ErrPicture)
			assert.ErrorContains(t, err, tt.says)
		})
	}
}

func TestDecodeStopsReading(t *testing.T) {
	endless := io.MultiReader(bytes.NewReader(smallPNG(t, small(300, 200))), strings.NewReader(strings.Repeat("x", photo.MaxBytes+1)))
	_, err := photo.Decode(endless)
	require.ErrorIs(t, err, photo.ErrPicture)
	assert.ErrorContains(t, err, "MB")
}

// TestOrientation checks where the bright corner comes to lie (Exif 2.3, tag 0x0112: what row 0 and column 0 stand for).
func TestOrientation(t *testing.T) {
	tests := []struct {
		orientation int
		right, low  bool
		turned      bool
	}{
		{1, false, false, false},
		{2, true, false, false},
		{3, true, true, false},
		{4, false, true, false},
		{5, false, false, true},
		{6, true, false, true},
		{7, true, true, true},
		{8, false, true, true},
	}
	for _, tt := range tests {
		p, err := photo.Decode(bytes.NewReader(withEXIF(smallJPEG(t, 300, 200), tt.orientation, 26)))
		require.NoError(t, err)
		r, err := photo.Measure(p, photo.Options{})
		require.NoError(t, err)
		w, h := 300, 200
		if tt.turned {
			w, h = h, w
		}
		assert.Equal(t, [2]int{w, h}, [2]int{r.Width, r.Height}, "orientation %d", tt.orientation)
		m := photo.Overlay(p, r)
		at := func(right, low bool) uint32 {
			x, y := 10, 10
			if right {
				x = w - 10
			}
			if low {
				y = h - 40 // the title stands at the lower edge
			}
			g, _, _, _ := m.At(x, y).RGBA()
			return g >> 8
		}
		for _, right := range []bool{false, true} {
			for _, low := range []bool{false, true} {
				bright := right == tt.right && low == tt.low
				assert.Equal(t, bright, at(right, low) > 160, "orientation %d, right %v, low %v", tt.orientation, right, low)
			}
		}
	}
}

// FuzzDecode reads anything: a picture within the bounds or an error of the picture, and never a crash.
func FuzzDecode(f *testing.F) {
	f.Add(smallPNG(f, small(120, 110)))
	f.Add(smallJPEG(f, 120, 110))
	f.Add(withEXIF(smallJPEG(f, 120, 110), 6, 26))
	f.Add(layered(smallJPEG(f, 120, 110), 3))
	f.Add([]byte("RIFF\x1a\x00\x00\x00WEBPVP8L\x0d\x00\x00\x00\x2f\x00\x00\x00\x10\x07\x10\x11\x11\x88\x88\xfe\x07\x00"))
	f.Fuzz(func(t *testing.T, file []byte) {
		if c, _, err := image.DecodeConfig(bytes.NewReader(file)); err == nil && c.Width*c.Height > 1_000_000 {
			t.Skip("a large picture only takes longer")
		}
		p, err := photo.Decode(bytes.NewReader(file))
		if err != nil {
			require.ErrorIs(t, err, photo.ErrPicture)
			return
		}
		r, err := photo.Measure(p, photo.Options{})
		require.NoError(t, err)
		require.NotNil(t, photo.Overlay(p, r))
	})
}
