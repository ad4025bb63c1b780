package main

// This file holds the root command: what every command shares, and the list of commands.

import (
	"io"

	"github.com/spf13/cobra"

	"tryring/internal/check"
	"tryring/internal/job"
	"tryring/internal/thread"
)

// shared are the flags that every command understands.
type shared struct {
	// json asks for one JSON object on stdout and nothing else there.
	json bool
	// details asks for every figure and every check.
	details bool
	// changing is the job as a command that is not done will leave it; nil for the job in its file.
	changing *job.Document
	// printers and threads are folders of the user's with more profiles; "" for none.
	printers, threads string
	// tables are the thread tables, with those of the user's folder where there is one.
	tables func() *thread.Tables
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
			return unknownCommand(cmd, args[0])
		},
		RunE:              func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
		PersistentPreRunE: opt.readOwn,
		SilenceUsage:      true,
		SilenceErrors:     true,
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
		newLeaf(opt),
		newPhoto(opt),
		newPrinters(opt),
		newRing(opt),
		newSheet(opt),
		newShortlist(opt),
		newThreads(opt),
		newTrial(opt),
		newVersion(opt),
	)
	root.InitDefaultCompletionCmd() // takes hold of stdout as it stands
	root.SetHelpCommand(newHelp())
	offerChoices(opt, root)
	argumentsAreInput(root)
	onlyOnce(root)
	return root
}

// newHelp is cobra's own help command, but for a word that is no command: that is a fault.
func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "Say what a command takes and does",
		RunE: func(cmd *cobra.Command, args []string) error {
			of, rest, err := cmd.Root().Find(args)
			if err != nil || of == nil || len(rest) > 0 {
				return badInput(unknownCommand(cmd.Root(), args[0]))
			}
			of.InitDefaultHelpFlag()
			return of.Help()
		},
	}
}
