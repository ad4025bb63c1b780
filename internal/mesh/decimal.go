package mesh

// Reading numbers in place, each up to the quote behind it: strconv would want a string for each.

import (
	"bytes"
	"math"
	"strconv"
)

// powersOfTen are exact as float64.
var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// mostDigits fit a float64 without rounding.
const mostDigits = 15

// quote ends a number.
const quote = '"'

// quotedFloat32 reads text up to its first quote as strconv.ParseFloat(number, 32) does, and tells the number's size. Without
// a quote all of text is the number.
func quotedFloat32(text []byte) (x float32, size int, err error) {
	at := 0
	if len(text) > 0 && text[0] == '-' {
		at = 1
	}
	n, start, point := uint64(0), at, -1
	for ; at < len(text) && text[at] != quote; at++ {
		if c := text[at] - '0'; c <= 9 {
			n = 10*n + uint64(c)
		} else if text[at] == '.' && point < 0 {
			point = at
		} else {
			return anyFloat32(text)
		}
	}
	digits, places := at-start, 0
	if point >= 0 {
		digits, places = digits-1, at-point-1
	}
	if digits == 0 || digits > mostDigits {
		return anyFloat32(text)
	}
	exact := float64(n) / powersOfTen[places] // both are exact: this is the float64 nearest to the decimal
	const below = 1<<29 - 1                   // the bits that float32 has no room for
	if math.Float64bits(exact)&below == (below+1)/2 {
		return anyFloat32(text) // half way between two float32, where the decimal itself has to decide
	}
	if start == 1 {
		exact = -exact
	}
	return float32(exact), at, nil
}

// anyFloat32 is quotedFloat32 for every number.
func anyFloat32(text []byte) (float32, int, error) {
	number := unquoted(text)
	x, err := strconv.ParseFloat(string(number), 32)
	return float32(x), len(number), err
}

// quotedUint32 reads text up to its first quote as strconv.ParseUint(number, 10, 32) does, and tells the number's size.
// Without a quote all of text is the number.
func quotedUint32(text []byte) (x uint32, size int, err error) {
	const mostDigits = 9
	for size < len(text) && text[size]-'0' <= 9 {
		x = 10*x + uint32(text[size]-'0')
		size++
	}
	if size == 0 || size > mostDigits || size < len(text) && text[size] != quote {
		number := unquoted(text)
		long, err := strconv.ParseUint(string(number), 10, 32)
		return uint32(long), len(number), err
	}
	return x, size, nil
}

// unquoted is text up to its first quote.
func unquoted(text []byte) []byte {
	number, _, _ := bytes.Cut(text, []byte{quote})
	return number
}
