package photo

// This file reads a picture file within bounds of memory and time.

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	_ "image/jpeg" // registers the format
	_ "image/png"  // registers the format
	"io"
	"strings"

	_ "golang.org/x/image/webp" // registers the format
)

const (
	// MaxBytes is the largest file that is read: four times what a 50-megapixel phone picture takes.
	MaxBytes = 96 << 20
	// MaxPixels is the largest picture that is read.
	MaxPixels = 50_000_000
	// maxSide is the longest side: no camera makes strips, but whoever means harm does.
	maxSide = 20_000
	// minSide is the shortest side on which a thread could be counted.
	minSide = 100
	// maxLayered is the largest JPEG in layers (progressive), whose decoder keeps 4 bytes a coefficient.
	maxLayered = 33_000_000
	// maxDeep is the largest picture of 16 bits a colour, which takes 8 bytes a pixel.
	maxDeep = 33_000_000
	// maxLayers are the most layers: every layer costs a pass over the whole picture. Cameras write about ten.
	maxLayers = 64
)

// ErrPicture is wrapped by every error about a file that is no picture, or none that is read.
var ErrPicture = errors.New("not a picture that can be read")

// Picture is a picture as it was taken, with what the camera wrote beside it.
type Picture struct {
	Image image.Image
	// turn is the orientation of the EXIF standard, 1 to 8; 1 is upright.
	turn int
	// focal35 is the focal length for a frame of 36 by 24 mm in mm, 0 when the camera did not say or the picture was cropped or resized since.
	focal35 float64
	// cropped is set where the picture may be a piece of what the camera saw, its middle anywhere.
	cropped bool
	// flash is set where the camera says that its flash went off.
	flash bool
}

// Decode reads a JPEG, PNG or WebP picture. Errors of the file's contents wrap ErrPicture.
func Decode(r io.Reader) (p *Picture, err error) {
	defer rescue(&p, &err)
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, err
	}
	if len(data) > MaxBytes {
		return nil, fmt.Errorf("%w: the file has more than %d MB", ErrPicture, MaxBytes>>20)
	}
	if len(data) > 12 && string(data[4:8]) == "ftyp" && strings.Contains("heic heix hevc heim mif1 msf1 avif", string(data[8:12])) {
		return nil, fmt.Errorf("%w: it is a HEIC or AVIF file, as phones keep pictures in; send it as JPEG: set the camera to JPEG, or share or export the picture as JPEG", ErrPicture)
	}
	config, format, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("%w: %w; JPEG, PNG and WebP are read", ErrPicture, err)
	}
	w, h := config.Width, config.Height
	switch {
	case w < minSide || h < minSide:
		return nil, fmt.Errorf("%w: %d by %d pixels; both sides must have at least %d", ErrPicture, w, h, minSide)
	case w > maxSide || h > maxSide || w*h > MaxPixels:
		return nil, fmt.Errorf("%w: %d by %d pixels; at most %d megapixels and %d on a side are read", ErrPicture, w, h, MaxPixels/1_000_000, maxSide)
	}
	if deep := config.ColorModel == color.NRGBA64Model || config.ColorModel == color.RGBA64Model; deep && w*h > maxDeep {
		return nil, fmt.Errorf("%w: %d megapixels of 16 bits a colour; at most %d are read, so save it with 8 bits", ErrPicture, w*h/1_000_000, maxDeep/1_000_000)
	}
	e := written{turn: 1}
	switch format {
	case "jpeg":
		layers, layered := jpegLayers(data)
		if layered && (w*h > maxLayered || layers > maxLayers) {
			return nil, fmt.Errorf("%w: a layered (progressive) JPEG of %d megapixels in %d layers; at most %d and %d are read, so save it as a plain JPEG",
				ErrPicture, w*h/1_000_000, layers, maxLayered/1_000_000, maxLayers)
		}
		e = readEXIF(data)
	case "png", "webp":
	default:
		return nil, fmt.Errorf("%w: the file is %s; JPEG, PNG and WebP are read", ErrPicture, format)
	}
	p = &Picture{turn: e.turn, focal35: e.focal35, flash: e.flash}
	if !e.whole(w, h) {
		p.focal35, p.cropped = 0, true
	}
	if p.Image, _, err = image.Decode(bytes.NewReader(data)); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrPicture, err)
	}
	if b := p.Image.Bounds(); b.Dx() != w || b.Dy() != h {
		return nil, fmt.Errorf("%w: it says %d by %d pixels and holds %d by %d", ErrPicture, w, h, b.Dx(), b.Dy())
	}
	return p, nil
}

// rescue turns a decoder's panic on a broken file into an error; none is known, but files come from anywhere.
func rescue(p **Picture, err *error) {
	if r := recover(); r != nil {
		*p, *err = nil, fmt.Errorf("%w: the decoder gave up: %v", ErrPicture, r)
	}
}

// jpegLayers counts the scans of a JPEG file and says whether it is progressive (marker SOF2; ITU-T T.81 table B.1). In
// coded data 0xff is followed by 0 or a restart marker, so the markers can be found without decoding.
func jpegLayers(data []byte) (layers int, progressive bool) {
	const sof2, sos = 0xc2, 0xda
	for i := 0; ; i += 2 {
		next := bytes.IndexByte(data[i:], 0xff)
		if next < 0 || i+next+1 >= len(data) {
			return layers, progressive
		}
		i += next
		switch data[i+1] {
		case sof2:
			progressive = true
		case sos:
			layers++
		case 0xff: // fill byte: the marker may begin at the second
			i--
		}
	}
}
