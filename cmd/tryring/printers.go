package main

// This file holds `tryring printers`.

import (
	"fmt"
	"strconv"
	"text/tabwriter"

	"github.com/spf13/cobra"

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
			list, err := printer.Load(opt.printers)
			if err != nil {
				return badInput(err)
			}
			if opt.json {
				infos := make([]printerInfo, len(list))
				for i, p := range list {
					infos[i] = tellPrinter(p)
				}
				return printJSON(cmd.OutOrStdout(), map[string]any{"printers": infos})
			}
			tab := tabwriter.NewWriter(cmd.OutOrStdout(), 0, 0, 2, ' ', 0)
			fmt.Fprintln(tab, "printer\tprocess\tline\tlayer\toutside adds\tbore loses\tleast wall\tleast pitch\tsource")
			for _, p := range list {
				fmt.Fprintf(tab, "%s\t%s\t%s\t%s\t%s ± %s\t%s ± %s\t%s\t%s\t%s\n", p.Name, p.Process, decimal(p.Nozzle.MM()), decimal(p.Layer.MM()),
					decimal(p.OutsideAdds.MM()), decimal(p.OutsideU.MM()), decimal(p.InsideTakes.MM()), decimal(p.InsideU.MM()),
					decimal(p.MinWall.MM()), decimal(p.MinPitch.MM()), p.Source)
			}
			if err := tab.Flush(); err != nil {
				return err
			}
			_, err = fmt.Fprintln(cmd.OutOrStdout(), "\nLengths in mm; errors on the diameter, ± one standard deviation. Without --printer nothing is compensated.")
			return err
		},
	}
}

func tellPrinter(p printer.Profile) printerInfo {
	return printerInfo{
		Name: p.Name, Process: p.Process, Source: p.Source,
		NozzleMM: p.Nozzle.MM(), LayerMM: p.Layer.MM(),
		BedXMM: p.BedX.MM(), BedYMM: p.BedY.MM(), BedZMM: p.BedZ.MM(),
		OutsideAddsMM: p.OutsideAdds.MM(), OutsideUMM: p.OutsideU.MM(),
		InsideTakesMM: p.InsideTakes.MM(), InsideUMM: p.InsideU.MM(),
		FirstLayerSpreadMM: p.FirstLayerSpread.MM(), MinWallMM: p.MinWall.MM(), MinPitchMM: p.MinPitch.MM(),
		MaxOverhangDeg: p.MaxOverhangDeg,
	}
}

// decimal prints x with the decimals it needs.
func decimal(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
