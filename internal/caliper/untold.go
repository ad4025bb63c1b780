package caliper

// This file says which figures of a thread its surface does not carry, and why.

import (
	"encoding/json"
	"fmt"
)

// What a figure must be known to for it to be told: the angle of a flank in degrees, a diameter as a share of the thread's depth, the
// taper in diameter over length.
const (
	mostFlankU = 8.0
	mostSizeU  = 1.0
	mostTaperU = 1.0 / 24
)

// untold is a figure that is not told: its key in JSON, its place in a list there, and why.
type untold struct {
	key  string
	at   int
	text string
}

// leaveOut notes what is not sure enough to be told of a thread so deep; rough is the roughness of its flanks, sunk how far its facets sink, in mm.
func (t *Thread) leaveOut(depth, rough, sunk float64) {
	why := fmt.Sprintf("the surface is rough by %.2f mm, on %.1f turns", rough, t.Turns)
	if sunk > rough {
		why = fmt.Sprintf("its facets sink by %.2f mm", sunk)
	}
	for _, f := range []struct {
		what, key string
		at        int
		u, most   float64
		unit      string
	}{
		{"major diameter", "major_mm", 0, t.UMajorMM, mostSizeU * depth, " mm"},
		{"pitch diameter", "pitch_diameter_mm", 0, t.UPitchDMM, mostSizeU * depth, " mm"},
		{"minor diameter", "minor_mm", 0, t.UMinorMM, mostSizeU * depth, " mm"},
		{"angle of the lower flank", "flank_deg", 0, t.UFlankDeg[0], mostFlankU, " degrees"},
		{"angle of the upper flank", "flank_deg", 1, t.UFlankDeg[1], mostFlankU, " degrees"},
		{"taper", "taper", 0, t.UTaper, mostTaperU, " of diameter over length"},
	} {
		if !(f.u <= f.most) {
			text := fmt.Sprintf("the %s is not measured, because %s: it could be %.2g%s more or less", f.what, why, f.u, f.unit)
			t.untold = append(t.untold, untold{f.key, f.at, text})
		}
	}
}

// NotMeasured says of which figures the surface says too little, and why.
func (f Found) NotMeasured() []string {
	var out []string
	for _, u := range f.untold {
		out = append(out, fmt.Sprintf("%s thread at z %.1f to %.1f mm: %s", f.Side, f.ZMM[0], f.ZMM[1], u.text))
	}
	return out
}

// MarshalJSON writes null for what is not told.
func (f Found) MarshalJSON() ([]byte, error) {
	type plain Found
	raw, err := json.Marshal(plain(f))
	if err != nil || len(f.untold) == 0 {
		return raw, err
	}
	var figures map[string]any
	if err := json.Unmarshal(raw, &figures); err != nil {
		return nil, err
	}
	for _, u := range f.untold {
		for _, key := range []string{u.key, "u_" + u.key} {
			if list, is := figures[key].([]any); is {
				list[u.at] = nil
			} else {
				figures[key] = nil
			}
		}
	}
	return json.Marshal(figures)
}
