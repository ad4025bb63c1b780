package main

// This file holds what a shell offers for the values of flags.

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tryring/internal/build"
	"tryring/internal/draw"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/ring"
)

// choices are the words that a flag takes, for a shell to offer; "trial side" is the flag of one command.
var choices = map[string][]string{
	"among":         {string(reading.Drain), string(reading.Supply), string(reading.Hose), string(reading.Machine), string(reading.Any)},
	"at":            {"mid", "max-material", "min-material"},
	"counted":       {string(reading.Crests), string(reading.Spaces)},
	"grip":          {string(ring.NoGrip), string(ring.Scallop), string(ring.Flats)},
	"identify side": {job.Goes, job.Stays},
	"instrument":    {"caliper", "dial", "ruler", "tape"},
	"kind":          {string(ring.RingGauge), string(ring.PlugGauge)},
	"layout":        {string(ring.Auto), string(ring.Nested), string(ring.Stacked)},
	"limit":         {string(ring.Go), string(ring.NoGo), "both"},
	"mesher":        {build.Helix, build.Octree},
	"paper":         draw.PaperNames,
	"sheet side":    {job.Goes, job.Stays},
	"tapers":        {"yes", "no"},
	"trial side":    {"inner", "outer", "both"},
	"unit":          {"mm", "in"},
}

// paperHelp says what --paper takes, of every command that makes sheets.
const paperHelp = "`PAPER` that sheets are for: a4 or letter (default: a4)"

// offerChoices lets a shell complete the values of the flags of every command.
func offerChoices(opt *shared, root *cobra.Command) {
	printers := func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		list, _ := printer.Load(opt.printers) // nothing is offered where they cannot be read
		return list.Names(), cobra.ShellCompDirectiveNoFileComp
	}
	for _, cmd := range root.Commands() {
		cmd.Flags().VisitAll(func(f *pflag.Flag) {
			words := choices[f.Name]
			if words == nil {
				words = choices[cmd.Name()+" "+f.Name]
			}
			var err error
			switch {
			case words != nil:
				err = cmd.RegisterFlagCompletionFunc(f.Name, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp))
			case f.Name == "printer" || f.Name == "compare":
				err = cmd.RegisterFlagCompletionFunc(f.Name, printers)
			}
			if err != nil {
				panic(err) // a mistake of ours
			}
		})
	}
}
