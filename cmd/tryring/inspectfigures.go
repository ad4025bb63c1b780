package main

// This file tells the figures of measured threads, each with its 95 % interval.

import (
	"fmt"
	"math"

	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/unit"
)

// figures are the rows of a table of measured threads.
func figures(threads []*caliper.Thread) (rows [][]string) {
	length := func(mm, u float64) string {
		return fmt.Sprintf("%.3f ± %.3f mm (%s in)", mm, u, unit.Short(math.Round(1e4*mm/unit.MMPerInch)/1e4))
	}
	for _, figure := range []struct {
		name string
		of   func(*caliper.Thread) string
	}{
		{"major diameter", func(t *caliper.Thread) string { return length(t.MajorMM, t.UMajorMM) }},
		{"pitch diameter", func(t *caliper.Thread) string { return length(t.PitchDMM, t.UPitchDMM) }},
		{"minor diameter", func(t *caliper.Thread) string { return length(t.MinorMM, t.UMinorMM) }},
		{"lead", func(t *caliper.Thread) string {
			return fmt.Sprintf("%.4f ± %.4f mm", t.LeadMM, t.ULeadMM)
		}},
		{"to the inch", func(t *caliper.Thread) string { return decimal(math.Round(unit.MMPerInch/t.PitchMM*1000) / 1000) }},
		{"starts, hand", func(t *caliper.Thread) string { return fmt.Sprintf("%d, %s", t.Starts, t.Hand) }},
		{"flank to flank", func(t *caliper.Thread) string {
			text := fmt.Sprintf("%.1f ± %.1f degrees", t.AngleDeg, math.Hypot(t.UFlankDeg[0], t.UFlankDeg[1]))
			if math.Abs(t.FlankDeg[0]-t.FlankDeg[1]) > check.AngleTolDeg+math.Hypot(t.UFlankDeg[0], t.UFlankDeg[1]) {
				text += fmt.Sprintf(", %.1f facing down", t.FlankDeg[0])
			}
			return text
		}},
		{"taper", func(t *caliper.Thread) string {
			switch {
			case t.Taper > check.TaperTol && t.Taper > t.UTaper:
				return fmt.Sprintf("1:%.1f, at z %.2f mm", 1/t.Taper, t.RefZMM)
			case t.UTaper > check.TaperTol:
				return fmt.Sprintf("none steeper than 1:%.0f", 1/(t.Taper+t.UTaper))
			}
			return "none"
		}},
		{"full form", func(t *caliper.Thread) string {
			return fmt.Sprintf("z %.2f to %.2f mm", t.ZMM[0], t.ZMM[1])
		}},
		{"turns of it", func(t *caliper.Thread) string { return fmt.Sprintf("%.1f", t.Turns) }},
	} {
		row := []string{figure.name}
		for _, t := range threads {
			row = append(row, figure.of(t))
		}
		rows = append(rows, row)
	}
	return rows
}
