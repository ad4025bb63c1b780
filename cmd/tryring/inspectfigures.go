package main

// This file tells the figures of measured threads, each with its 95 % interval.

import (
	"fmt"
	"math"

	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/unit"
)

// tellThreads tells all threads, what they could be, and what of them is not measured.
func (f inspection) tellThreads(s *screen) {
	for _, side := range [][2]string{{"inner", f.innerWhy}, {"outer", f.outerWhy}} {
		if why := side[1]; why != "" {
			s.add("No thread was found %s: %s.", sides[side[0]], why)
		}
	}
	if len(f.Threads) == 0 {
		f.tellNotMeasured(s)
		return
	}
	if len(f.Threads) > 2 {
		f.tellMany(s)
		return
	}
	head := []string{""}
	for _, t := range f.Threads {
		name := sides[t.Side]
		if len(f.Threads) == 2 && f.Threads[0].Side == f.Threads[1].Side {
			name = fmt.Sprintf("%s, z %.0f to %.0f", name, t.ZMM[0], t.ZMM[1])
		}
		head = append(head, name)
	}
	s.table(head, figures(f.Threads)...)
	for i, t := range f.Threads {
		if t.FlankWhy != "" {
			s.add("Of the thread %s %s.", head[i+1], t.FlankWhy)
		}
	}
	f.tellNotMeasured(s)
}

var sides = map[string]string{"inner": "inside", "outer": "outside"}

func (f inspection) tellNotMeasured(s *screen) {
	for _, why := range f.NotMeasured {
		s.add("%s.", why)
	}
}

// tellMany tells more threads than stand beside each other: a row each, all diameters with the same doubt.
func (f inspection) tellMany(s *screen) {
	var rows [][]string
	for _, t := range f.Threads {
		mm := func(x float64) string { return fmt.Sprintf("%.2f", x) }
		rows = append(rows, []string{
			fmt.Sprintf("%s, z %.0f to %.0f", sides[t.Side], t.ZMM[0], t.ZMM[1]), probably(t),
			mm(t.MajorMM), mm(t.PitchDMM), mm(t.MinorMM), mm(max(t.UMajorMM, t.UPitchDMM, t.UMinorMM)), fmt.Sprintf("%.3f", t.LeadMM),
		})
	}
	s.table([]string{"in mm", "probably", "major", "pitch", "minor", "±", "lead"}, rows...)
	f.tellNotMeasured(s)
}

// likeliest is the likeliest of the candidates, nil for none, and whether it is likelier than that it is none of them.
func likeliest(t caliper.Found) (c *caliper.Candidate, likely bool) {
	n := len(t.Candidates)
	const worthNaming = 0.1
	if n < 2 || t.Candidates[0].Weight < worthNaming {
		return nil, false
	}
	return &t.Candidates[0], t.Candidates[0].Weight >= t.Candidates[n-1].Weight
}

func probably(t caliper.Found) string {
	c, likely := likeliest(t)
	switch {
	case c == nil:
		return "none that is known"
	case likely:
		return fmt.Sprintf("%s, %.0f %%", c.Designation, 100*c.Weight)
	}
	return fmt.Sprintf("%s (%.0f %%) or none", c.Designation, 100*c.Weight)
}

// beside says how far the thread is from the basic size of that, on the pitch diameter.
func beside(t caliper.Found) string {
	c, _ := likeliest(t)
	if c == nil || c.ClearanceMM == nil {
		return "-"
	}
	off, more, less := *c.ClearanceMM, "larger", "smaller"
	if t.Side == "outer" {
		more, less = less, more
	}
	switch {
	case math.Abs(off) <= t.UPitchDMM:
		return "the same"
	case off > 0:
		return fmt.Sprintf("%.2f mm %s", off, more)
	}
	return fmt.Sprintf("%.2f mm %s", -off, less)
}

// figures are the rows of a table of measured threads.
func figures(threads []caliper.Found) (rows [][]string) {
	length := func(mm, u float64) string {
		return fmt.Sprintf("%.3f ± %.3f mm (%s in)", mm, u, unit.Short(math.Round(1e4*mm/unit.MMPerInch)/1e4))
	}
	for _, figure := range []struct {
		name string
		of   func(caliper.Found) string
	}{
		{"probably", probably},
		{"off basic size", beside},
		{"major diameter", func(t caliper.Found) string { return length(t.MajorMM, t.UMajorMM) }},
		{"pitch diameter", func(t caliper.Found) string { return length(t.PitchDMM, t.UPitchDMM) }},
		{"minor diameter", func(t caliper.Found) string { return length(t.MinorMM, t.UMinorMM) }},
		{"lead", func(t caliper.Found) string {
			return fmt.Sprintf("%.4f ± %.4f mm", t.LeadMM, t.ULeadMM)
		}},
		{"to the inch", func(t caliper.Found) string { return decimal(math.Round(unit.MMPerInch/t.PitchMM*1000) / 1000) }},
		{"starts, hand", func(t caliper.Found) string { return fmt.Sprintf("%d, %s", t.Starts, t.Hand) }},
		{"flank to flank", func(t caliper.Found) string {
			text := fmt.Sprintf("%.1f ± %.1f degrees", t.AngleDeg, max(0.1, math.Hypot(t.UFlankDeg[0], t.UFlankDeg[1])))
			if math.Abs(t.FlankDeg[0]-t.FlankDeg[1]) > check.AngleTolDeg+math.Hypot(t.UFlankDeg[0], t.UFlankDeg[1]) {
				text += fmt.Sprintf(", %.1f facing down", t.FlankDeg[0])
			}
			return text
		}},
		{"taper", func(t caliper.Found) string {
			switch {
			case t.Taper > check.TaperTol && t.Taper > t.UTaper:
				return fmt.Sprintf("1:%.1f, at z %.2f mm", 1/t.Taper, t.RefZMM)
			case t.UTaper > check.TaperTol:
				return fmt.Sprintf("none steeper than 1:%.0f", 1/(t.Taper+t.UTaper))
			}
			return "none"
		}},
		{"roundness", func(t caliper.Found) string {
			switch {
			case t.OvalMM > t.UPitchDMM:
				return fmt.Sprintf("oval by %.2f mm", t.OvalMM)
			case 2*t.UnevenMM > check.SizeTolMM:
				return fmt.Sprintf("uneven by %.2f mm", 2*t.UnevenMM)
			}
			return "round"
		}},
		{"full form", func(t caliper.Found) string {
			return fmt.Sprintf("z %.2f to %.2f mm", t.ZMM[0], t.ZMM[1])
		}},
		{"turns of it", func(t caliper.Found) string { return fmt.Sprintf("%.1f", t.Turns) }},
	} {
		row := []string{figure.name}
		for _, t := range threads {
			row = append(row, figure.of(t))
		}
		rows = append(rows, row)
	}
	return rows
}
