package main

// This file tells people and scripts what `tryring photo` read.

import (
	"fmt"

	"tryring/internal/check"
	"tryring/internal/photo"
	"tryring/internal/reading"
	"tryring/internal/unit"
)

// tellPhoto is what scripts read; lengths in mm, places in pixels of the upright picture. Figures that cannot be relied on are null.
func tellPhoto(r *photo.Result, overlay string) map[string]any {
	info := map[string]any{
		"answered": r.Answered, "refusals": append([]photo.Refusal{}, r.Refusals...), "crests": r.Crests(), "hand": r.Hand, "tapers": r.Tapers,
		"left_out": append([]string{}, r.LeftOut...), "notes": append([]string{}, r.Notes...), "outlines": append([]photo.Outline{}, r.Outlines...),
		"width_px": r.Width, "height_px": r.Height, "caution": []string{check.Caution}, "tpi": nil, "tpi_95": nil,
	}
	if overlay != "" {
		info["overlay"] = overlay
	}
	info["sheet_found"], info["move"], info["marks"], info["rise_deg"], info["correlation"] = r.Sheet != nil, r.Move(), 0, nil, nil
	if r.Sheet != nil {
		info["marks"], info["rise_deg"] = r.Sheet.Marks, unit.Round(r.Sheet.RiseDeg)
	}
	putEstimate(info, "diameter", "_mm", r.Diameter)
	if r.Diameter != nil {
		info["correlation"] = unit.Round(r.Common)
	}
	shares := []map[string]any{}
	var ratio, pitch, angle *reading.Estimate
	if r.Answered {
		ratio, pitch, angle = &r.Ratio, r.Pitch, r.AngleDeg
		if len(r.Outlines) < 2 { // one edge of a cast
			ratio = pitch
		}
		parts := ratio
		if pitch != nil {
			parts = pitch
		}
		for _, p := range parts.Parts {
			shares = append(shares, map[string]any{"what": p.What, "u_share": p.U / parts.Value})
		}
		if tpi, low, high, ok := r.TPI(); ok {
			info["tpi"], info["tpi_95"] = tpi, [2]float64{low, high}
		}
	}
	info["uncertainty"] = shares
	if len(r.Outlines) < 2 || r.Sheet != nil && r.Diameter == nil { // on one picture of the sheet the lower edge may be a shadow
		ratio = nil
	}
	putEstimate(info, "pitch_over_diameter", "", ratio)
	putEstimate(info, "pitch", "_mm", pitch)
	putEstimate(info, "angle", "_deg", angle)
	return info
}

// tell tells a person what the picture says.
func (a photoAsked) tell(s *screen, path string, r *photo.Result) string {
	if a.overlay != "" {
		defer s.add("Check the marks on %s by eye.", a.overlay)
	}
	if !r.Answered {
		s.say("%s says too little for an answer.", path)
		s.gap()
		for _, f := range r.Refusals {
			s.add("%s; to mend it, %s.", upper(f.Why), f.Mend)
		}
		if a.overlay == "" {
			return command("photo", path, "--overlay", "seen.png")
		}
		return command("photo", "--help")
	}
	s.say("%s shows %d full crests.", path, r.Crests())
	if tpi, low, high, ok := r.TPI(); ok {
		from, to := r.Pitch.Interval()
		s.say("The pitch is %.3f mm (%.3f to %.3f mm), %.2f threads to the inch (%.2f to %.2f), each range with a chance of 95 %%.", r.Pitch.Value, from, to, tpi, low, high)
	}
	if d := r.Diameter; d != nil {
		from, to := d.Interval()
		s.say("The outside diameter is %.2f mm (%.2f to %.2f mm).", d.Value, from, to)
	}
	s.gap()
	rows := [][]string{{"hand", r.Hand}, {"tapers", r.Tapers}}
	if len(r.Outlines) > 1 && (r.Sheet == nil || r.Diameter != nil) {
		low, high := r.Ratio.Interval()
		rows = append([][]string{{"pitch / diameter", fmt.Sprintf("%.4f, from %.4f to %.4f", r.Ratio.Value, low, high)}}, rows...)
	}
	if r.AngleDeg != nil {
		rows = append(rows, []string{"flank to flank", fmt.Sprintf("%.0f degrees, give or take %.0f", r.AngleDeg.Value, 2*r.AngleDeg.U)})
	}
	for _, o := range r.Outlines {
		rows = append(rows, []string{o.Side + " outline", fmt.Sprintf("%d full crests, %.2f pixels apart", len(o.Crests), o.PeriodPixels)})
	}
	s.table(nil, rows...)
	s.add("How near the camera stood is known from %s.", r.Known)
	if n := len(r.LeftOut); n > 0 && !s.details {
		s.add("%s left out; --details says which.", number(n, "stretch of the outlines is", "stretches of the outlines are"))
	} else {
		for _, l := range r.LeftOut {
			s.add("Left out: %s.", l)
		}
	}
	for _, n := range r.Notes {
		s.add("%s.", upper(n))
	}
	if a.keep.path != "" {
		return command("job", a.keep.path)
	}
	words := []string{"identify"}
	for _, o := range a.outside {
		words = append(words, "--outside", o)
	}
	switch {
	case a.cast != "" && r.Pitch != nil:
		return command("identify", "--pitch", r.PitchReading(), "--bore") + " READING"
	case r.Diameter != nil:
		return command("identify", "--outside", r.DiameterReading(), "--pitch", r.PitchReading())
	case r.Pitch == nil:
		s.add("With the diameter this becomes a pitch, and of a known pitch a diameter; a rough one by ruler will do, with --instrument ruler.")
		return command("identify", "--ratio", r.RatioReading(), "--outside") + " READING"
	case len(a.outside) == 0 || r.Sheet != nil:
		return command("identify", "--pitch", r.PitchReading())
	case a.instrument != "":
		words = append(words, "--instrument", a.instrument)
	}
	return command(append(words, "--ratio", r.RatioReading())...)
}
