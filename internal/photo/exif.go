package photo

// This file finds what a camera wrote into a JPEG file about the picture: which way is up, its size and the focal length (JEITA
// CP-3451, Exif 2.3: tags 0x0112 Orientation, 0x8769 Exif IFD pointer, 0x9209 Flash, 0xa002 and 0xa003 PixelX/YDimension, 0xa405
// FocalLengthIn35mmFilm), and whether the picture is still the whole of what the camera saw.

import (
	"bytes"
	"encoding/binary"
	"math"
)

const (
	tagOrientation = 0x0112
	tagExif        = 0x8769
	tagWide        = 0xa002
	tagHigh        = 0xa003
	tagFlash       = 0x9209
	tagFocal35     = 0xa405
	typeShort      = 3
	typeLong       = 4
	// maxEntries bounds a directory; the standard names fewer than 200 tags.
	maxEntries = 1000
)

// written is what a camera wrote: orientation (1 when unknown), focal length for a 36 by 24 mm frame and the size of its picture (0 when
// unknown). What cannot be understood counts as unknown: a picture without EXIF is as good.
type written struct {
	turn       int
	focal35    float64
	wide, high int
	flash      bool
}

func readEXIF(data []byte) written {
	out := written{turn: 1}
	tiff := exifBlock(data)
	if len(tiff) < 8 {
		return out
	}
	var order binary.ByteOrder
	switch string(tiff[:2]) {
	case "II":
		order = binary.LittleEndian
	case "MM":
		order = binary.BigEndian
	default:
		return out
	}
	first := directory(tiff, order, order.Uint32(tiff[4:]))
	if v := first[tagOrientation]; v >= 1 && v <= 8 {
		out.turn = int(v)
	}
	if at, ok := first[tagExif]; ok {
		own := directory(tiff, order, at)
		out.wide, out.high = int(own[tagWide]), int(own[tagHigh])
		out.flash = own[tagFlash]&1 == 1
		// Zero stands for unknown in the standard; beyond these no lens of a camera is.
		if v := own[tagFocal35]; v >= 8 && v <= 2000 {
			out.focal35 = float64(v)
		}
	}
	return out
}

// whole tells whether a picture of w by h pixels is all that the camera saw, so that its focal length holds for its diagonal: the camera's
// size is the picture's, its sides are as 4 to 3 or 3 to 2, and the long one a multiple of 4, as sensors have them (common practice, no
// published source). A picture of another form was cropped, perhaps by the camera itself.
func (e written) whole(w, h int) bool {
	if long, short := max(e.wide, e.high), min(e.wide, e.high); long > 0 && (long != max(w, h) || short != min(w, h)) {
		return false
	}
	long, short := float64(max(w, h)), float64(min(w, h))
	form := func(a, b float64) bool { return math.Abs(long*b-short*a) <= 4*a }
	return max(w, h)%4 == 0 && (form(4, 3) || form(3, 2))
}

// exifBlock returns the TIFF structure in the APP1 segment of a JPEG file, nil when there is none.
func exifBlock(data []byte) []byte {
	const app1, sos, head = 0xe1, 0xda, "Exif\x00\x00"
	for i := 2; i+4 <= len(data) && data[i] == 0xff && data[i+1] != sos; {
		size := int(binary.BigEndian.Uint16(data[i+2:]))
		if size < 2 || i+2+size > len(data) {
			return nil
		}
		body := data[i+4 : i+2+size]
		if data[i+1] == app1 && bytes.HasPrefix(body, []byte(head)) {
			return body[len(head):]
		}
		i += 2 + size
	}
	return nil
}

// directory returns the whole numbers of one image file directory by tag.
func directory(tiff []byte, order binary.ByteOrder, at uint32) map[uint16]uint32 {
	found := map[uint16]uint32{}
	if uint64(at)+2 > uint64(len(tiff)) {
		return found
	}
	n := int(order.Uint16(tiff[at:]))
	for entry := tiff[at+2:]; n > 0 && n <= maxEntries && len(entry) >= 12; n, entry = n-1, entry[12:] {
		if order.Uint32(entry[4:]) != 1 {
			continue
		}
		switch tag := order.Uint16(entry); order.Uint16(entry[2:]) {
		case typeShort:
			found[tag] = uint32(order.Uint16(entry[8:]))
		case typeLong:
			found[tag] = order.Uint32(entry[8:])
		}
	}
	return found
}
