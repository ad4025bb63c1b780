package main

// This file holds `tryring ladder`.

import (
	"io"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/ladder"
	"tryring/internal/whole"
)

func newLadder(opt *shared) *cobra.Command {
	var asked ladder.Ladder
	var force bool
	cmd := &cobra.Command{
		Use:   "ladder --inner THREAD --outer THREAD --from LENGTH --to LENGTH --step LENGTH",
		Short: "Make rings at stepped clearances, and the table that compares them",
		Long: `Make one ring at stepped clearances, each engraved with its own, as single files and on plates for the printer's bed, and
the table that compares them: what each would measure on this printer, and how it would go on its mates.

Clearances are on the diameter, to 0.01 mm; one below zero makes a thread that is too tight as modelled, which tells much of
a printer that prints on the small side. --rungs names them one by one, "0.05/0.20" for inside and outside. What the rungs
then did on a real part is told to tryring trial, which learns the printer's error from it.

With --pairs each rung is a plug and a ring of one thread, tried on each other: no real part is needed, and what they do
tells the sum of what the printer adds outside and takes inside.

` + check.Caution,
		Example: `  tryring ladder --inner "1 5/8-16 UN" --outer "1 7/8-14 UNS" --from 0.1mm --to 0.4mm --step 0.05mm --printer filament-0.4
  tryring ladder --inner M12x1.5 --outer M20x2 --rungs 0.05,0.12/0.2 --printer resin --compare filament-0.25
  tryring ladder --pairs M20x2 --from 0mm --to 0.4mm --step 0.1mm --printer filament-0.4`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			printers, err := opt.profiles()
			if err != nil {
				return err
			}
			plan, err := asked.Plan(opt.tables(), printers)
			if err != nil {
				return badInput(atPlaces(cmd, "", nil, err))
			}
			store := &whole.Folder{Dir: plan.Asked.Out, Force: force}
			result, err := plan.Make(cmd.Context(), store, progressOn(cmd.ErrOrStderr(), "rungs and plates"))
			if err != nil {
				return err
			}
			return opt.show(cmd, result, func(s *screen) string {
				defer s.shared(result.Caution)
				return tellLadder(s, result)
			})
		},
	}
	useFlag(cmd)
	ringFlags(cmd, &asked.Ring, &force)
	f := cmd.Flags()
	f.Lookup("label").Usage = "`TEXT` engraved before the clearance (default: both threads)"
	f.StringVar(&asked.Pairs, "pairs", "", "make plugs and rings of this `THREAD` to try on each other, in place of --inner and --outer")
	f.Var(lengthFlag{&asked.From}, "from", "clearance of the first rung, on the diameter")
	f.Var(lengthFlag{&asked.To}, "to", "clearance of the last rung")
	f.Var(lengthFlag{&asked.Step}, "step", "from one rung to the next")
	f.StringSliceVar(&asked.Rungs, "rungs", nil, "`CLEARANCES` one by one, with commas between, in place of --from, --to and --step")
	f.StringArrayVar(&asked.Compare, "compare", nil, "`NAME` of another printer profile to compare the same files on; may be repeated")
	return cmd
}

// progressOn shows progress on w where it is a terminal that may be lively, and nothing elsewhere.
func progressOn(w io.Writer, what string) build.Progress {
	if !lively(w) {
		return nil
	}
	var bar *progressbar.ProgressBar
	return func(done, all int) {
		if bar == nil {
			bar = progressbar.NewOptions(all, progressbar.OptionSetWriter(w), progressbar.OptionSetDescription(what),
				progressbar.OptionShowCount(), progressbar.OptionClearOnFinish())
		}
		_ = bar.Set(done) // a bar that cannot be drawn stops nothing
	}
}
