package main

// This file holds the root command: what every command shares, and the list of commands.

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/agnivade/levenshtein"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tryring/internal/check"
)

// shared are the flags that every command understands.
type shared struct {
	// json asks for one JSON object on stdout and nothing else there.
	json bool
	// details asks for every figure and every check.
	details bool
	// printers and threads are folders of the user's with more profiles; "" for none.
	printers, threads string
}

// newRoot returns the whole command tree, printing to stdout and stderr.
func newRoot(stdout, stderr io.Writer) *cobra.Command {
	opt := &shared{}
	root := &cobra.Command{
		Use:   "tryring",
		Short: "Make threaded rings to try two threads against each other before buying the adapter",
		Long: `A threaded part stays (a bath shoe, a basin, a boat, a machine) and the new part's thread does not go into it.
tryring makes a ring with the one thread inside and the other outside, to print and try by hand.

` + check.Caution,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return fmt.Errorf("there is no command %q%s; tryring --help lists the commands", args[0], didYouMean(args[0], commandNames(cmd)))
		},
		RunE:             func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
		PersistentPreRun: func(*cobra.Command, []string) { opt.useOwnPrinters() },
		SilenceUsage:     true,
		SilenceErrors:    true,
	}
	root.PersistentFlags().BoolVar(&opt.json, "json", false, "print one JSON object on stdout and nothing else there")
	root.PersistentFlags().BoolVar(&opt.details, "details", false, "tell every figure and every check, not the answer and what is amiss alone")
	root.PersistentFlags().StringVar(&opt.printers, "printers", "", "folder `DIR` with printer profiles of your own (*.toml); a name that exists is replaced")
	root.PersistentFlags().StringVar(&opt.threads, "threads", "", "folder `DIR` with thread tables of your own (*.toml)")
	root.SetOut(stdout)
	root.SetErr(stderr)
	root.SetFlagErrorFunc(flagError)
	root.AddCommand(
		newBench(opt),
		newInspect(opt),
		newFit(opt),
		newGauge(opt),
		newIdentify(opt),
		newJob(opt),
		newLadder(opt),
		newPhoto(opt),
		newPrinters(opt),
		newRing(opt),
		newShortlist(opt),
		newThreads(opt),
		newTrial(opt),
		newVersion(opt),
	)
	root.InitDefaultCompletionCmd() // takes hold of stdout as it stands
	argumentsAreInput(root)
	return root
}

// flagError names a mistaken flag and the flag that was perhaps meant.
func flagError(cmd *cobra.Command, err error) error {
	var missing *pflag.NotExistError
	if errors.As(err, &missing) {
		var names []string
		cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, "--"+f.Name) })
		written := "--" + missing.GetSpecifiedName()
		err = fmt.Errorf("%s has no flag %s%s; %s --help lists them", cmd.CommandPath(), written, didYouMean(written, names), cmd.CommandPath())
	}
	return badInput(err)
}

// commandNames lists the commands that a person can call.
func commandNames(cmd *cobra.Command) []string {
	var names []string
	for _, c := range cmd.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	return names
}

// maxTypos is how many letters may differ for a name to be offered instead: two typing mistakes.
const maxTypos = 2

// didYouMean returns " (did you mean x?)" for the known names nearest to what was written, or nothing.
func didYouMean(written string, known []string) string {
	nearest := maxTypos
	var meant []string
	for _, name := range known {
		switch d := levenshtein.ComputeDistance(strings.ToLower(written), name); {
		case d < nearest:
			nearest, meant = d, []string{name}
		case d == nearest:
			meant = append(meant, name)
		}
	}
	if len(meant) == 0 {
		return ""
	}
	slices.Sort(meant)
	return fmt.Sprintf(" (did you mean %s?)", strings.Join(meant, " or "))
}

// argumentsAreInput makes a wrong number of arguments, to any command, a fault of the input.
func argumentsAreInput(cmd *cobra.Command) {
	if check := cmd.Args; check != nil {
		cmd.Args = func(cmd *cobra.Command, given []string) error { return badInput(check(cmd, given)) }
	}
	for _, c := range cmd.Commands() {
		argumentsAreInput(c)
	}
}
