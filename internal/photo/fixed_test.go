package photo_test

// This file holds the fixed pictures in testdata/photo: what they show, and what must be read off them. TRYRING_PHOTOS_FIXED=1
// renders them anew; thread.webp is made from thread.jpg by `cwebp -q 80`.

import (
	"bytes"
	"image"
	"image/jpeg"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/photo"
	"tryring/internal/unit"
)

// shown are the pictures of threads.
func shown() map[string]scene {
	good := goodScene()
	good.writesFocal = true
	good.width, good.height = 900, 675
	taper := good
	taper.tpi, taper.taper, taper.collar, taper.turn, taper.seed = 11.5, 1.0/16, 36, 1.62, 12
	left := good
	left.tpi, left.hand, left.collar, left.diameter, left.read, left.seed = 11, -1, 0, 33, 33, 13
	left.backlit, left.gloss = 0, 0.6
	return map[string]scene{"thread": good, "taper": taper, "left": left}
}

// sideways stores a picture as a phone does that is held upright: turned a quarter left, with orientation 6.
func sideways(t *testing.T, file []byte, focal35 int) []byte {
	t.Helper()
	m, err := jpeg.Decode(bytes.NewReader(file))
	require.NoError(t, err)
	b := m.Bounds()
	out := image.NewRGBA(image.Rect(0, 0, b.Dy(), b.Dx()))
	for y := range b.Dy() {
		for x := range b.Dx() {
			out.Set(y, b.Dx()-1-x, m.At(x, y))
		}
	}
	return withEXIF(encoded(t, func(w io.Writer) error { return jpeg.Encode(w, out, &jpeg.Options{Quality: 85}) }), 6, focal35)
}

func fixedPath(name string) string { return filepath.Join("..", "..", "testdata", "photo", name) }

func TestFixedPhotos(t *testing.T) {
	if os.Getenv("TRYRING_PHOTOS_FIXED") != "" {
		renderFixed(t)
	}
	for name, s := range shown() {
		t.Run(name, func(t *testing.T) {
			file, err := os.ReadFile(fixedPath(name + ".jpg"))
			require.NoError(t, err)
			_, r := s.measure(t, file)
			require.True(t, r.Answered, "%v", r.Refusals)
			tpi, low, high, ok := r.TPI()
			require.True(t, ok)
			assert.LessOrEqual(t, low, s.tpi)
			assert.GreaterOrEqual(t, high, s.tpi)
			assert.InDelta(t, s.tpi, tpi, 0.1)
			assert.Equal(t, map[int]string{1: "right", -1: "left"}[s.hand], r.Hand)
			assert.Equal(t, map[bool]string{true: "yes", false: "no"}[s.taper > 0], r.Tapers)
			// The crests that can be full: those of the thread's length less chamfer and the last at either end.
			full := s.length / s.pitch()
			assert.InDelta(t, full, r.Crests(), 2)
			for _, o := range r.Outlines {
				for i := 1; i < len(o.Crests); i++ {
					a, b := o.Crests[i-1], o.Crests[i]
					assert.InDelta(t, o.PeriodPixels, distance(a, b), 0.1*o.PeriodPixels)
				}
			}
			assert.InDelta(t, s.pitch(), r.Pitch.Value, 0.02*s.pitch())
			length, half, err := unit.ParseReading(r.PitchReading())
			require.NoError(t, err)
			assert.InDelta(t, r.Pitch.Value, length.MM(), 1e-4)
			assert.InDelta(t, r.Pitch.U, half.MM()/math.Sqrt(3), 1e-4)
		})
	}
}

// TestWebP checks that the same picture in another format says the same.
func TestWebP(t *testing.T) {
	s := shown()["thread"]
	file, err := os.ReadFile(fixedPath("thread.webp"))
	require.NoError(t, err)
	s.saysFar = true // the format has no place for the focal length
	_, r := s.measure(t, file)
	require.True(t, r.Answered, "%v", r.Refusals)
	tpi, _, _, _ := r.TPI()
	assert.InDelta(t, s.tpi, tpi, 0.1)
}

func TestMarksAsScale(t *testing.T) {
	s := shown()["thread"]
	file, err := os.ReadFile(fixedPath("thread.jpg"))
	require.NoError(t, err)
	p, with := s.measure(t, file)
	// Two marks on one crest line, as far apart as it goes.
	c := with.Outlines[0].Crests
	o := photo.Options{Marks: &photo.Marks{A: [2]float64{c[0].X, c[0].Y}, B: [2]float64{c[len(c)-1].X, c[len(c)-1].Y}}}
	o.Marks.Behind = unit.MM(-s.diameter * s.diameter / 4 / s.distance()) // the outlines touch nearer than the axis is
	o.Marks.Apart = unit.Inches(float64(len(c)-1) / 14)
	r, err := photo.Measure(p, o)
	require.NoError(t, err)
	require.True(t, r.Answered, "%v", r.Refusals)
	tpi, low, high, _ := r.TPI()
	assert.InDelta(t, 14, tpi, 0.1)
	assert.Less(t, low, 14.0)
	assert.Greater(t, high, 14.0)
	// Without any scale the ratio is told.
	r, err = photo.Measure(p, photo.Options{})
	require.NoError(t, err)
	require.True(t, r.Answered)
	assert.Nil(t, r.Pitch)
	assert.InDelta(t, s.pitch()/s.diameter, r.Ratio.Value, 0.01*s.pitch()/s.diameter)
}

func TestSameBytes(t *testing.T) {
	s := shown()["left"]
	file, err := os.ReadFile(fixedPath("left.jpg"))
	require.NoError(t, err)
	p, r := s.measure(t, file)
	_, again := s.measure(t, file)
	assert.Equal(t, r, again)
	assert.Equal(t, photo.Overlay(p, r), photo.Overlay(p, again))
}

func TestOptionFaults(t *testing.T) {
	p, err := photo.Decode(bytes.NewReader(smallPNG(t, small(300, 200))))
	require.NoError(t, err)
	for name, o := range map[string]photo.Options{
		"marks on one spot": {Marks: &photo.Marks{Apart: 3}},
		"marks no length":   {Marks: &photo.Marks{B: [2]float64{100, 100}}},
		"distance below 0":  {Distance: -1},
	} {
		_, err := photo.Measure(p, o)
		assert.Error(t, err, name)
	}
}

func renderFixed(t *testing.T) {
	t.Helper()
	require.NoError(t, os.MkdirAll(fixedPath(""), 0o755))
	for name, s := range shown() {
		file := s.photo(t)
		if name == "left" {
			file = sideways(t, file, int(s.focal35))
		}
		require.NoError(t, os.WriteFile(fixedPath(name+".jpg"), file, 0o644))
	}
	s := goodScene().small()
	s.seed = 21
	for file, kind := range map[string]string{"pipe.jpg": "a smooth pipe", "rings.jpg": "rings and not a thread", "comb.jpg": "a comb", "bricks.jpg": "a brick wall"} {
		require.NoError(t, os.WriteFile(fixedPath(file), nonThreads[kind](t, s, rand.New(rand.NewPCG(5, 5))), 0o644))
	}
}
