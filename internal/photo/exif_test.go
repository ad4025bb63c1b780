package photo

import "testing"

// Whatever a JPEG's header holds, a turn and a focal length come of it that can be worked with.
func FuzzEXIF(f *testing.F) {
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x40Exif\x00\x00II*\x00\x08\x00\x00\x00\x02\x00\x12\x01\x03\x00\x01\x00\x00\x00\x06\x00\x00\x00" +
		"\x69\x87\x04\x00\x01\x00\x00\x00\x26\x00\x00\x00\x00\x00\x00\x00\x01\x00\x05\xa4\x03\x00\x01\x00\x00\x00\x1c\x00\x00\x00"))
	f.Add([]byte("\xff\xd8\xff\xe1\xff\xffExif\x00\x00MM\x00*\x7f\xff\xff\xff"))
	f.Fuzz(func(t *testing.T, data []byte) {
		e := readEXIF(data)
		if e.turn < 1 || e.turn > 8 || !(e.focal35 >= 0 && e.focal35 < 1e6) {
			t.Errorf("turn %d, focal length %v", e.turn, e.focal35)
		}
	})
}

// A picture is whole where its size is the camera's and its form a sensor's.
func TestWhole(t *testing.T) {
	for _, c := range []struct {
		e    written
		w, h int
		want bool
	}{
		{written{wide: 4032, high: 3024}, 4032, 3024, true},
		{written{wide: 4032, high: 3024}, 3024, 4032, true},
		{written{wide: 4032, high: 3024}, 2016, 1512, false}, // shrunk or cropped: it does not say
		{written{wide: 2900, high: 1700}, 2900, 1700, false},
		{written{wide: 2901, high: 2175}, 2901, 2175, false}, // a crop of the camera's form
		{written{}, 6000, 4000, true},
		{written{}, 1920, 1080, false},
	} {
		if got := c.e.whole(c.w, c.h); got != c.want {
			t.Errorf("%+v of %d by %d: whole %v", c.e, c.w, c.h, got)
		}
	}
}
