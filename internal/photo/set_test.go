package photo_test

// This file measures the room on rendered pictures: how often it answers, how often its interval holds, how often it is wrong.

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/photo"
	"tryring/internal/reading"
	"tryring/internal/unit"
)

// measure reads a picture as a person would have it read who knows what the scene says.
func (s scene) measure(t testing.TB, file []byte) (*photo.Picture, *photo.Result) {
	t.Helper()
	p, err := photo.Decode(bytes.NewReader(file))
	require.NoError(t, err)
	outside := reading.Combine(s.read, reading.Part{What: "caliper", U: s.uRead, DOF: math.Inf(1)})
	o := photo.Options{Outside: &outside}
	if s.saysFar {
		o.Distance = unit.MM(math.Round(s.distance()))
	}
	r, err := photo.Measure(p, o)
	require.NoError(t, err)
	return p, r
}

// tally counts what came of a set of pictures.
type tally struct {
	pictures, answered, held, halfOff int
	offs                              []float64
	handRight, handWrong              int
}

func (y *tally) add(s scene, r *photo.Result) {
	y.pictures++
	if !r.Answered {
		return
	}
	y.answered++
	tpi, low, high, _ := r.TPI()
	if low <= s.tpi && s.tpi <= high {
		y.held++
	}
	off := math.Abs(tpi - s.tpi)
	y.offs = append(y.offs, off/s.tpi)
	if off >= 0.5 {
		y.halfOff++
	}
	switch want := map[int]string{1: "right", -1: "left"}[s.hand]; r.Hand {
	case want:
		y.handRight++
	case "not told":
	default:
		y.handWrong++
	}
}

func (y *tally) String() string {
	slices.Sort(y.offs)
	median := math.NaN()
	if len(y.offs) > 0 {
		median = y.offs[len(y.offs)/2]
	}
	return fmt.Sprintf("%d pictures, %d answered; of these the interval holds %d, off by half a thread per inch or more %d, median error %.3f %%; hand right %d, wrong %d",
		y.pictures, y.answered, y.held, y.halfOff, 100*median, y.handRight, y.handWrong)
}

// TestRenderedPhotos reads pictures of rendered threads. TRYRING_PHOTOS sets their number, TRYRING_SEED the seed that they
// are drawn from (default 1), TRYRING_PHOTOS_OUT a folder for what is read off each.
func TestRenderedPhotos(t *testing.T) {
	const usual = 24
	seed := seedOr(t, 1)
	n := photographs(t, usual)
	scenes, results := make([]scene, n), make([]*photo.Result, n)
	t.Run("read", func(t *testing.T) {
		for i := range n {
			t.Run(strconv.Itoa(i), func(t *testing.T) {
				t.Parallel()
				s := draw(seed, uint64(i))
				if n == usual {
					s = s.small()
				}
				file := s.photo(t)
				p, r := s.measure(t, file)
				scenes[i], results[i] = s, r
				report(t, i, s, file, p, r)
			})
		}
	})
	var y tally
	for i, r := range results {
		require.NotNil(t, r, "picture %d", i)
		y.add(scenes[i], r)
	}
	t.Log(y.String())
	require.Equal(t, n, y.pictures)
	assert.Greater(t, float64(y.answered), 0.4*float64(n), "too few answers")
	// A few of 95 % intervals miss by chance: in a small set perhaps two more than one in twenty.
	assert.GreaterOrEqual(t, float64(y.held), 0.95*float64(y.answered)-2)
	assert.LessOrEqual(t, float64(y.halfOff), 0.005*float64(y.answered))
	assert.LessOrEqual(t, float64(y.handWrong), 0.01*float64(y.answered))
}

func report(t *testing.T, i int, s scene, file []byte, p *photo.Picture, r *photo.Result) {
	t.Helper()
	out := os.Getenv("TRYRING_PHOTOS_OUT")
	if out == "" {
		return
	}
	tpi, low, high, _ := r.TPI()
	flag := ""
	switch {
	case !r.Answered:
		flag = "none: " + r.Refusals[0].Why
	case math.Abs(tpi-s.tpi) >= 0.5:
		flag = "WRONG"
	case low > s.tpi || high < s.tpi:
		flag = "OUTSIDE"
	}
	t.Logf("%3d tpi %5.1f D %5.1f taper %.3f lean %5.1f f %2.0f blur %.1f noise %.1f known %v %v: read %.2f (%.2f to %.2f) off %+.2f %% px %.1f taper %s %.3f u %.3f hand %s %s",
		i, s.tpi, s.diameter, s.taper, s.lean*180/math.Pi, s.focal35, s.blur, s.noise, s.writesFocal, s.saysFar,
		tpi, low, high, 100*(tpi/s.tpi-1), r.PeriodPixels, r.Tapers, r.Taper.Value, r.Taper.U, r.Hand, flag)
	keep(t, fmt.Sprintf("%03d", i), file, photo.Overlay(p, r))
}

// keep writes a picture and what was drawn over it to the folder TRYRING_PHOTOS_OUT, if there is one.
func keep(t *testing.T, name string, file []byte, overlay image.Image) {
	t.Helper()
	out := os.Getenv("TRYRING_PHOTOS_OUT")
	if out == "" {
		return
	}
	require.NoError(t, os.WriteFile(filepath.Join(out, name+".jpg"), file, 0o600))
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, overlay))
	require.NoError(t, os.WriteFile(filepath.Join(out, name+".png"), b.Bytes(), 0o600))
}

// photographs is how many pictures are to be rendered: usual, a few in a brief run (TRYRING_BRIEF), or what TRYRING_PHOTOS says.
func photographs(t *testing.T, usual int) int {
	t.Helper()
	text := os.Getenv("TRYRING_PHOTOS")
	switch {
	case text != "":
	case os.Getenv("TRYRING_BRIEF") != "":
		return min(usual, 3)
	default:
		return usual
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err)
	require.Positive(t, n)
	return n
}

// seedOr is the seed that TRYRING_SEED says, or the usual one.
func seedOr(t *testing.T, usual uint64) uint64 {
	t.Helper()
	text := os.Getenv("TRYRING_SEED")
	if text == "" {
		return usual
	}
	seed, err := strconv.ParseUint(text, 10, 64)
	require.NoError(t, err)
	return seed
}

func distance(a, b photo.Mark) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }
