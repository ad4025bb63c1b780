package main

// This file holds `tryring printers`.

import (
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"tryring/internal/check"
	"tryring/internal/printer"
)

// printerInfo is one profile as scripts read it.
type printerInfo struct {
	Name               string  `json:"name"`
	Process            string  `json:"process"`
	Source             string  `json:"source"`
	NozzleMM           float64 `json:"nozzle_mm"`
	LayerMM            float64 `json:"layer_mm"`
	BedXMM             float64 `json:"bed_x_mm"`
	BedYMM             float64 `json:"bed_y_mm"`
	BedZMM             float64 `json:"bed_z_mm"`
	OutsideAddsMM      float64 `json:"outside_adds_mm"`
	OutsideUMM         float64 `json:"outside_u_mm"`
	InsideTakesMM      float64 `json:"inside_takes_mm"`
	InsideUMM          float64 `json:"inside_u_mm"`
	FirstLayerSpreadMM float64 `json:"first_layer_spread_mm"`
	MinWallMM          float64 `json:"min_wall_mm"`
	MinPitchMM         float64 `json:"min_pitch_mm"`
	MaxOverhangDeg     float64 `json:"max_overhang_deg"`
	// Doubts tells what cannot all be right in the trials that the figures were learned from.
	Doubts []string `json:"doubts"`
}

func newPrinters(opt *shared) *cobra.Command {
	return &cobra.Command{
		Use:   "printers",
		Short: "List the printer profiles: how far each prints off size, and what it can resolve",
		Long: `List the printer profiles that --printer takes: by how much outside diameters come out large and bores come out
small (with one standard deviation), and the thinnest wall and finest pitch that print well.

The profiles that come with the program are starting points of common practice, no published source. One of your own is a
file NAME.toml in a folder named with --printers.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			list, err := opt.profiles()
			if err != nil {
				return badInput(atPlaces(cmd, "", nil, err))
			}
			infos := make([]printerInfo, len(list))
			for i, p := range list {
				infos[i] = tellPrinter(p)
			}
			return opt.show(cmd, map[string]any{"printers": infos, "caution": []string{check.Caution}}, func(s *screen) string {
				return tellPrinters(s, infos)
			})
		},
	}
}

// tellPrinters lists profiles, mm.
func tellPrinters(s *screen, list []printerInfo) string {
	s.say("%s for --printer; without it nothing is compensated.", number(len(list), "profile", "profiles"))
	for _, p := range list {
		for _, d := range p.Doubts {
			s.doubtful([]string{"printer " + p.Name + ": " + d})
		}
	}
	s.gap()
	var rows [][]string
	bySource := map[string][]string{}
	var sources []string
	for _, p := range list {
		rows = append(rows, []string{
			p.Name, decimal(p.NozzleMM), decimal(p.LayerMM), decimal(p.OutsideAddsMM) + " ± " + decimal(p.OutsideUMM),
			decimal(p.InsideTakesMM) + " ± " + decimal(p.InsideUMM), decimal(p.MinWallMM), decimal(p.MinPitchMM),
		})
		if bySource[p.Source] == nil {
			sources = append(sources, p.Source)
		}
		bySource[p.Source] = append(bySource[p.Source], p.Name)
	}
	s.table([]string{"printer", "line", "layer", "outside adds", "bore loses", "least wall", "least pitch"}, rows...)
	s.gap()
	s.add("Lengths in mm; errors on the diameter, ± one standard deviation.")
	for _, source := range sources {
		s.add("%s: %s.", strings.Join(bySource[source], ", "), source)
	}
	return command("ladder", "--pairs", "M20x2", "--from", "-0.5mm", "--to", "0.5mm", "--step", "0.25mm", "--printer", list[0].Name)
}

func tellPrinter(p printer.Profile) printerInfo {
	return printerInfo{
		Name: p.Name, Process: p.Process, Source: p.Source,
		NozzleMM: p.Nozzle.MM(), LayerMM: p.Layer.MM(),
		BedXMM: p.BedX.MM(), BedYMM: p.BedY.MM(), BedZMM: p.BedZ.MM(),
		OutsideAddsMM: p.OutsideAdds.MM(), OutsideUMM: p.OutsideU.MM(),
		InsideTakesMM: p.InsideTakes.MM(), InsideUMM: p.InsideU.MM(),
		FirstLayerSpreadMM: p.FirstLayerSpread.MM(), MinWallMM: p.MinWall.MM(), MinPitchMM: p.MinPitch.MM(),
		MaxOverhangDeg: p.MaxOverhangDeg, Doubts: append([]string{}, p.Doubts...),
	}
}

// decimal prints x with the decimals it needs.
func decimal(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
