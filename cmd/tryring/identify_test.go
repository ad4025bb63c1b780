package main

import (
	"encoding/json"
	"testing"
)

// Whatever is written behind the flags, the answer is an answer or a fault of the input.
func FuzzIdentify(f *testing.F) {
	f.Add("47.5mm±0.1", "15", "1in", "14", "1.5mm", "60")
	f.Add("1 7/8", "8", "12,7 mm", "11 1/2", "1/14in", "55")
	f.Add("", "", "", "", "", "")
	f.Fuzz(func(t *testing.T, outside, count, over, tpi, pitch, angle string) {
		code, stdout, stderr := tryring(t, "identify", "--json", "--outside="+outside, "--count="+count, "--over="+over, "--tpi="+tpi, "--pitch="+pitch, "--angle="+angle)
		switch {
		case code == exitDone && json.Valid([]byte(stdout)):
		case code == exitBadInput && stdout == "" && json.Valid([]byte(stderr)):
		default:
			t.Errorf("identify of %q %q %q %q %q %q: code %d, stdout %q, stderr %q", outside, count, over, tpi, pitch, angle, code, stdout, stderr)
		}
	})
}
