package main

// This file holds `tryring printers`.

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tryring/internal/check"
	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/thread"
)

func newPrinters(opt *shared) *cobra.Command {
	var name, from string
	figures := map[string]*string{}
	cmd := &cobra.Command{
		Use:   "printers",
		Short: "List the printer profiles, or make one of your own",
		Long: `List the printer profiles that --printer takes: by how much outside diameters come out large and bores come out
small (with the half of a 95 % interval), and the thinnest wall and finest pitch that print well.

The profiles that come with the program are starting points of common practice, no published source. --new makes one of your
own: a copy of --from with the few figures that you know, kept as NAME.toml in the folder of --printers, which is printers/ in
tryring/ under your settings when none is named. Make one for each printer, material and layer height that you use: they
stand side by side, and each learns from its own trials.

--bead is the end of a layer where you have measured it: how far past a drawn flank it reaches along the axis, in layer heights, by
the flank's angle from the plane across the axis, such as "15=0.38, 30=0.29" for round ends; 0.5 is that of square ones. Without it
the process tells, and the layers' share is less sure.`,
		Example: `  tryring printers
  tryring printers --new attic --from filament-0.4 --bed-x 220mm --bed-y 220mm
  tryring printers --new attic-fine --from attic --layer 0.12mm --inside-takes 0.08mm --inside-u 0.03mm`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if cmd.Flags().Changed("new") {
				return newPrinter(cmd, opt, name, from, figures)
			}
			var said []string
			cmd.LocalNonPersistentFlags().VisitAll(func(f *pflag.Flag) {
				if f.Changed {
					said = append(said, "--"+f.Name)
				}
			})
			if len(said) > 0 {
				return badInput(fault.At("new", "", "missing; %s is said of a printer of your own, so name it", strings.Join(said, ", ")))
			}
			list, err := opt.profiles()
			if err != nil {
				return badInput(err)
			}
			readable := list.Readable()
			for i, p := range readable {
				readable[i].Doubts = append([]string{}, p.Doubts...) // a list also where it is empty
			}
			err = opt.show(cmd, map[string]any{"printers": readable, "caution": []string{check.Caution}}, func(s *screen) string {
				return tellPrinters(s, readable)
			})
			var faults []error
			for _, p := range list {
				faults = append(faults, p.Fault)
			}
			return errors.Join(err, badInput(errors.Join(faults...)))
		},
	}
	f := cmd.Flags()
	f.StringVar(&name, "new", "", "`NAME` of a printer of your own to make")
	f.StringVar(&from, "from", "", "`NAME` of the profile that it is a copy of")
	for _, key := range printer.FigureKeys() {
		kind := "NUMBER"
		switch {
		case strings.HasSuffix(key, "_mm"):
			kind = "LENGTH"
		case key == "bead":
			kind = "SECTION"
		}
		figures[key] = f.String(figureFlag(key), "", fmt.Sprintf("its %s, a `%s`", strings.ReplaceAll(strings.TrimSuffix(key, "_mm"), "_", " "), kind))
	}
	return cmd
}

// figureFlag is the flag of a profile's figure.
func figureFlag(key string) string {
	return strings.ReplaceAll(strings.TrimSuffix(key, "_mm"), "_", "-")
}

// newPrinter makes a printer of one's own.
func newPrinter(cmd *cobra.Command, opt *shared, name, from string, figures map[string]*string) error {
	dir, err := opt.ownPrinters()
	if err != nil {
		return badInput(err)
	}
	if from == "" {
		return badInput(fault.At("from", "", "missing; name the profile that is most like it (tryring printers lists them)"))
	}
	given := map[string]string{}
	for key, text := range figures {
		if cmd.Flags().Changed(figureFlag(key)) {
			given[key] = *text
		}
	}
	p, path, err := printer.Own(dir, name, from, given)
	if err != nil {
		var all []error
		for _, f := range fault.Each(err) {
			f.Field = strings.TrimSuffix(f.Field, "_mm")
			all = append(all, f)
		}
		return badInput(errors.Join(all...))
	}
	p.Doubts = []string{}
	told := map[string]any{"printers": []printer.Profile{p}, "files": []string{path}, "caution": []string{check.Caution}}
	return opt.show(cmd, told, func(s *screen) string {
		s.say("Printer %s is kept in %s; what it prints off size is learned by trials.", p.Name, path)
		return command("ladder", "--pairs", "M20x2", "--from", "-0.5mm", "--to", "0.5mm", "--step", "0.25mm", "--printer", p.Name)
	})
}

// tellPrinters lists profiles, mm.
func tellPrinters(s *screen, list printer.Profiles) string {
	s.say("%s for --printer; without it the middle of what printers do is taken.", number(len(list), "profile", "profiles"))
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
			p.Name, decimal(p.Nozzle.MM()), decimal(p.Layer.MM()), printer.Shift{By: p.OutsideAdds, U: p.OutsideU}.String(),
			printer.Shift{By: p.InsideTakes, U: p.InsideU}.String(), p.Makes(example, printer.Outside).Layer.String(),
			decimal(p.MinWall.MM()), decimal(p.MinPitch.MM()),
		})
		if bySource[p.Source] == nil {
			sources = append(sources, p.Source)
		}
		bySource[p.Source] = append(bySource[p.Source], p.Name)
	}
	s.table([]string{"printer", "line", "layer", "outside", "bore", "layers", "wall", "pitch"}, rows...)
	s.gap()
	s.add("Lengths in mm; errors on the diameter, ± 95 %%; wall and pitch the least that print well. Outside is what an outside diameter gains and bore what a bore loses, plain size, as a caliper over crests finds it; layers are what a mate feels of the flanks beside that, here of %s, more outside and less inside.", example.Designation)
	for _, source := range sources {
		s.add("%s: %s.", strings.Join(bySource[source], ", "), source)
	}
	return command("ladder", "--pairs", "M20x2", "--from", "-0.5mm", "--to", "0.5mm", "--step", "0.25mm", "--printer", list[0].Name)
}

// decimal prints x with the decimals it needs.
func decimal(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// ownPrinters is the user's own printers folder: the one named with --printers, or printers/ under the user's settings.
func (s *shared) ownPrinters() (string, error) {
	if s.printers != "" {
		return s.printers, nil
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", flagFault("printers", fmt.Errorf("no folder for settings is known (%w); name one", err))
	}
	return filepath.Join(dir, "tryring", "printers"), nil
}

// useOwnPrinters makes the user's own printers folder the one that profiles are read from when it is there and no
// other is named.
func (s *shared) useOwnPrinters() {
	if s.printers != "" {
		return
	}
	if dir, err := s.ownPrinters(); err == nil {
		if info, err := os.Stat(dir); err == nil && info.IsDir() {
			s.printers = dir
		}
	}
}
