package bench

// This file packs a job document into one field of the page, so that its whole text travels in the page's address.

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"errors"
	"io"

	"tryring/internal/job"
)

// maxPacked bounds a packed document, in bytes: some thousands of readings, as the largest file holds them.
const maxPacked = 160 << 10

// pack returns text compressed (RFC 1951) and spelled with letters that an address takes (RFC 4648, section 5).
func pack(text []byte) string {
	if len(text) == 0 {
		return ""
	}
	var out bytes.Buffer
	w, err := flate.NewWriter(&out, flate.BestCompression)
	if err != nil {
		panic(err) // the level is one of the package's own
	}
	_, _ = w.Write(text) // a buffer takes all
	_ = w.Close()
	return base64.RawURLEncoding.EncodeToString(out.Bytes())
}

// unpack is the way back. It stops where no document could be as long.
func unpack(packed string) ([]byte, error) {
	if packed == "" {
		return nil, nil
	}
	data, err := base64.RawURLEncoding.Strict().DecodeString(packed)
	if err != nil {
		return nil, errors.New("the address does not hold a whole job; open its file again")
	}
	text, err := io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(data)), job.MaxBytes+1))
	switch {
	case err != nil:
		return nil, errors.New("the address does not hold a whole job; open its file again")
	case len(text) > job.MaxBytes:
		return nil, errors.New("the job holds more than is read of one")
	}
	return text, nil
}
