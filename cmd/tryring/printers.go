package main

// This file holds `tryring printers`.

import (
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"tryring/internal/check"
	"tryring/internal/printer"
	"tryring/internal/thread"
)

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
			for i, p := range list {
				list[i].Doubts = append([]string{}, p.Doubts...) // a list also where it is empty
			}
			return opt.show(cmd, map[string]any{"printers": list, "caution": []string{check.Caution}}, func(s *screen) string {
				return tellPrinters(s, list)
			})
		},
	}
}

// tellPrinters lists profiles, mm.
func tellPrinters(s *screen, list printer.Profiles) string {
	s.say("%s for --printer; without it nothing is compensated.", number(len(list), "profile", "profiles"))
	for _, p := range list {
		for _, d := range p.Doubts {
			s.doubtful([]string{"printer " + p.Name + ": " + d})
		}
	}
	s.gap()
	example, _ := thread.BuiltIn().Parse("M20x2") // is in the tables
	var rows [][]string
	bySource := map[string][]string{}
	var sources []string
	for _, p := range list {
		rows = append(rows, []string{
			p.Name, decimal(p.Nozzle.MM()), decimal(p.Layer.MM()), decimal(p.OutsideAdds.MM()) + " ± " + decimal(p.OutsideU.MM()),
			decimal(p.InsideTakes.MM()) + " ± " + decimal(p.InsideU.MM()), p.Makes(example, printer.Outside).Layer.String(),
			decimal(p.MinWall.MM()), decimal(p.MinPitch.MM()),
		})
		if bySource[p.Source] == nil {
			sources = append(sources, p.Source)
		}
		bySource[p.Source] = append(bySource[p.Source], p.Name)
	}
	s.table([]string{"printer", "line", "layer", "outside", "bore", "layers", "wall", "pitch"}, rows...)
	s.gap()
	s.add("Lengths in mm; errors on the diameter, ± one standard deviation; wall and pitch the least that print well. Outside is what an outside diameter gains and bore what a bore loses, plain size, as a caliper over crests finds it; layers are what a mate feels of the flanks beside that, here of %s, more outside and less inside.", example.Designation)
	for _, source := range sources {
		s.add("%s: %s.", strings.Join(bySource[source], ", "), source)
	}
	return command("ladder", "--pairs", "M20x2", "--from", "-0.5mm", "--to", "0.5mm", "--step", "0.25mm", "--printer", list[0].Name)
}

// decimal prints x with the decimals it needs.
func decimal(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
