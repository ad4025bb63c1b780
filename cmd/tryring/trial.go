package main

// This file holds `tryring trial`.

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/fault"
	"tryring/internal/ladder"
	"tryring/internal/printer"
	"tryring/internal/trial"
	"tryring/internal/whole"
)

// trialAsked is what the flags ask for.
type trialAsked struct {
	tried         trial.Tried
	printer, out  string
	drop          int
	list          bool
	anyway, force bool
	job, result   string
	ring, gauge   string
}

func newTrial(opt *shared) *cobra.Command {
	var a trialAsked
	cmd := &cobra.Command{
		Use:   "trial --printer NAME",
		Short: "Take what fitted and what did not, and learn the printer's error from it",
		Long: `Take what the rungs of a printed ladder did on their mating parts, or what a caliper reads of a print, and learn from it
how far the printer prints off size. Every trial is kept in a journal beside the profile, in the folder of --printers; the
profile itself is left as it is, and every command that is given --printer NAME takes the trials in. --list tells their
numbers, and --drop takes one back.

A first ladder of --from -0.36mm --to 0.36mm --step 0.18mm finds the error of any printer in ordinary trim; what the trial
proposes then narrows it. A rung "does not start", "stops after 4 turns", is "first turn tight, then free" (which tells of the
first layer alone), "snug", "goes", "rattles" or "drops in". Try them from the ends that were printed on top and say --from-top:
a first layer that closes the other ends looks like a printer that prints tighter, and no rung tells these apart.

How well rungs tell of the printer hangs on how well the mating part is known: --part-inner and --part-outer give the pitch
diameter that was read off it; without them it may lie anywhere in its limits of size. A first ladder of --pairs from -0.5mm to
0.5mm by 0.25mm needs no part: its rungs tell the sum of both sides, and --plug, the caliper over a plug, tells which is which.
Rungs tell what a mate feels, layers included; a caliper over crests tells plain size alone; a ladder at another --layer tells
them apart as well.

With --job beside rungs or readings, what could be tried next is weighed by what it tells of the threads of the job's ring: these
may be of another size, which a caliper or a ladder there tells, and pairs never do.

With --job, --side and --result it takes what happened when the printed ring met the real thread, weighs anew which threads
that could be, and names the next step. The try is kept in the job file.

What contradicts what is kept already, was tried on another printer's ladder, or with a ring that is not the job's, is kept
only with --anyway, and stays marked as doubtful.

` + check.Caution,
		Example: `  tryring trial --printer filament-0.4 --ladder out/LADDER.json --rung inner:0.20=goes --rung inner:0.10=snug --rung inner:0.00="does not start"
  tryring trial --printer filament-0.4 --caliper-outside 47.32mm=47.45mm+-0.03
  tryring trial --printer filament-0.4 --ladder out/PAIRS.json --rung 0.20=goes --rung 0.10=snug --plug 0.20=19.85mm+-0.03
  tryring trial --printer filament-0.4 --drop 3
  tryring trial --job bath.toml --side inner --result "stops after 4 turns"`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			err := a.run(cmd, opt)
			if errors.Is(err, trial.ErrDoubted) {
				return badInput(fmt.Errorf("%w. Nothing was kept; where it is right as it stands, say so with --anyway", err))
			}
			return err
		},
	}
	useFlag(cmd)
	f := cmd.Flags()
	f.StringVar(&a.printer, "printer", "", "`NAME` of the printer profile that the trial is of")
	f.StringVar(&a.tried.Ladder, "ladder", "", "the ladder that was printed: the `FILE`.json that tryring ladder wrote")
	f.StringArrayVar(&a.tried.Rungs, "rung", nil, "what one rung did: `[inner:|outer:]RUNG=OUTCOME`; may be repeated")
	f.StringVar(&a.tried.Side, "side", "", "`SIDE` of all rungs that name none: inner, outer or both; with --job: inner (it met what goes) or outer (what stays)")
	f.BoolVar(&a.tried.FromTop, "from-top", false, "the parts went into the rungs from the ends that were printed on top")
	f.StringVar(&a.tried.Part, "part", "", "`NAME` of the mating parts, to tell several of one thread apart")
	f.StringVar(&a.tried.PartInner, "part-inner", "", "pitch diameter read off the part that goes into the rings, a `READING` such as 40.21mm+-0.02")
	f.StringVar(&a.tried.PartOuter, "part-outer", "", "pitch diameter read off the part that the rings go into, a `READING`")
	f.StringArrayVar(&a.tried.CaliperInside, "caliper-inside", nil, "inside diameter of a print, `MODELLED=MEASURED`; may be repeated")
	f.StringArrayVar(&a.tried.CaliperOutside, "caliper-outside", nil, "outside diameter of a print, `MODELLED=MEASURED`; may be repeated")
	f.StringArrayVar(&a.tried.Plugs, "plug", nil, "caliper reading over the crests of a pair's plug, `RUNG=READING`; may be repeated")
	f.StringVar(&a.job, "job", "", "job `FILE` whose ring was tried on the real thread, or is to be printed")
	f.StringVar(&a.ring, "ring", "", "the ring that was tried: the `FILE`.json that tryring ring wrote (default: that of the job)")
	f.StringVar(&a.gauge, "gauge", "", "the gauge of a drawer that was tried instead: its folder and its name, `DIR/NAME`")
	f.StringVar(&a.result, "result", "", "what happened: goes, snug, rattles, \"drops in\", \"does not start\", \"stops after 4 turns\" or \"first turn tight, then free\"")
	f.StringVar(&a.tried.Date, "date", "", "`WHEN` it was tried (default: today)")
	f.StringVar(&a.tried.Note, "note", "", "`TEXT` kept with the trial, such as the material")
	f.StringVar(&a.out, "out", build.DefaultOut, "`DIR` for the picture of before and after")
	f.BoolVar(&a.anyway, "anyway", false, "keep it although it cannot all be right")
	f.IntVar(&a.drop, "drop", 0, "take the trial of this `NUMBER` back")
	f.BoolVar(&a.list, "list", false, "list the trials that are kept")
	f.BoolVar(&a.force, "force", false, "replace a picture that exists")
	return cmd
}

// run does what was asked.
func (a trialAsked) run(cmd *cobra.Command, opt *shared) error {
	if err := a.one(cmd); err != nil {
		return badInput(err)
	}
	if a.tried.Date == "" {
		a.tried.Date = time.Now().Format(time.DateOnly)
	}
	if a.job != "" && !a.learns() {
		return a.tryRing(cmd, opt)
	}
	base, journal, err := a.open(opt)
	if err != nil {
		return badInput(err)
	}
	switch {
	case a.list:
		list := trial.ListOf(base, journal)
		return opt.show(cmd, list, func(s *screen) string { return tellTrials(s, list) })
	case cmd.Flags().Changed("drop"):
		return a.takeBack(cmd, opt, base, journal)
	}
	return a.keep(cmd, opt, base, journal)
}

// one reports what stands alone beside something else.
func (a trialAsked) one(cmd *cobra.Command) error {
	if a.job == "" && a.result+a.ring+a.gauge != "" {
		return fault.At("job", "", "missing; name the job file that the ring was made from")
	}
	var asked []string
	for _, name := range []string{"drop", "list", "rung", "plug", "caliper-inside", "caliper-outside", "job"} {
		if cmd.Flags().Changed(name) {
			asked = append(asked, "--"+name)
		}
	}
	if (a.list || a.result+a.ring+a.gauge != "" || cmd.Flags().Changed("drop")) && len(asked) > 1 {
		return fault.At("", strings.Join(asked, " "), "one of these at a time; --drop, --list and --job with --result stand alone")
	}
	if a.job != "" && a.result == "" && !a.learns() {
		return fault.At("result", "", "missing; say what the ring did, such as goes, or what rungs did or a caliper reads")
	}
	return nil
}

// learns reports whether something is told of the printer itself.
func (a trialAsked) learns() bool {
	return len(a.tried.Rungs)+len(a.tried.Plugs)+len(a.tried.CaliperInside)+len(a.tried.CaliperOutside) > 0
}

// open finds the profile as it stands without trials, and its journal.
func (a trialAsked) open(opt *shared) (base printer.Profile, j *printer.Journal, err error) {
	if a.printer == "" {
		return base, nil, fault.At("printer", "", "missing; name the profile that the trial is of (tryring printers lists them)")
	}
	dir, err := opt.ownPrinters()
	if err != nil {
		return base, nil, err
	}
	return printer.Untried(dir, a.printer)
}

// keep takes one more trial in.
func (a trialAsked) keep(cmd *cobra.Command, opt *shared, base printer.Profile, j *printer.Journal) error {
	ctx := cmd.Context()
	tables := opt.tables()
	if a.tried.Ladder != "" {
		l, err := ladder.Load(ctx, a.tried.Ladder)
		if err != nil {
			return badInput(atPlaces(cmd, "", nil, err))
		}
		a.tried.Printed = &l
	}
	t, err := a.tried.Trial(tables)
	if err != nil {
		return badInput(atPlaces(cmd, "", nil, err))
	}
	var uses trial.Uses
	if a.job != "" {
		d, err := openJob(ctx, a.job)
		if err != nil {
			return badInput(err)
		}
		if uses, err = trial.UsesOf(d, tables); err != nil {
			return badInput(atPlaces(cmd, a.job, d, err))
		}
	}
	if err := os.MkdirAll(a.out, 0o777); err != nil {
		return fmt.Errorf("output folder: %w", err)
	}
	var page *whole.Pending
	var path string
	r, err := trial.Keep(ctx, base, j, t, a.tried.Printed, a.anyway, func(r trial.Result) (err error) {
		path = filepath.Join(a.out, fmt.Sprintf("%s-trial-%d.html", base.Name, r.Trial))
		page, err = whole.Prepare(path, a.force, func(w io.Writer) error { return trialPage(w, r) })
		return err
	})
	if page != nil {
		defer func() { _ = page.Discard() }() // does nothing once the page has its name
	}
	if err != nil {
		return err
	}
	if err := page.Commit(); err != nil {
		return fmt.Errorf("the trial is kept, but its picture is not: %w", err)
	}
	r.Files, r.Command, r.Steps = append(r.Files, path), ladderCommand(r.Next), trial.Steps(base, printer.Counting(j.Entries), a.tried.Printed, uses)
	return opt.show(cmd, r, func(s *screen) string { return tellTrial(s, r) })
}

// takeBack takes a trial back.
func (a trialAsked) takeBack(cmd *cobra.Command, opt *shared, base printer.Profile, j *printer.Journal) error {
	r, dropped, err := trial.Drop(cmd.Context(), base, j, a.drop, a.tried.Date)
	if errors.Is(err, printer.ErrNoEntry) {
		return badInput(flagFault("drop", err))
	}
	if err != nil {
		return err
	}
	return opt.show(cmd, r, func(s *screen) string {
		s.say("Taken back: trial %d (%s).", dropped.ID, trial.Words(dropped.Trial))
		return tellTrial(s, r)
	})
}

// trialPage writes the picture of before and after.
func trialPage(w io.Writer, r trial.Result) error {
	d := draw.TrialData{Printer: r.Printer, Trials: r.Trials, Command: ladderCommand(r.Next)}
	for _, s := range r.Sides {
		d.Sides = append(d.Sides, draw.TrialSide{Title: upper(offsetWords[s.Side]), Before: s.Before.Felt, After: s.After.Felt, Words: sideWords(s)})
	}
	return draw.Trial(w, d)
}
