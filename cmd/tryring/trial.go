package main

// This file holds `tryring trial`.

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/job"
	"tryring/internal/ladder"
	"tryring/internal/printer"
	"tryring/internal/trial"
)

// trialAsked is what the flags ask for.
type trialAsked struct {
	tried             trial.Tried
	printer, out      string
	undo, list, force bool
	// job is a job whose ring was tried, ring the ring's JSON file, result what happened.
	job, ring, result string
}

func newTrial(opt *shared) *cobra.Command {
	var a trialAsked
	cmd := &cobra.Command{
		Use:   "trial --printer NAME",
		Short: "Take what fitted and what did not, and learn the printer's error from it",
		Long: `Take what the rungs of a printed ladder did on their mating parts, or what a caliper reads of a print, and learn from it
how far the printer prints off size. Every trial is kept beside the profile, in the folder of --printers; the profile itself
is left as it is, and every command that is given --printer NAME takes the trials in.

A first ladder of --from -0.36mm --to 0.36mm --step 0.18mm finds the error of any printer in ordinary trim; what the trial
proposes then narrows it. A rung "goes", is "snug", "does not start" or "rattles". How well rungs tell of the printer hangs
on how well the mating part is known: --part-inner and --part-outer give the pitch diameter that was read off it; without
them it may lie anywhere in its limits of size. A first ladder of --pairs from -0.5mm to 0.5mm by 0.25mm needs no part: its
rungs tell the sum of what is taken inside and added outside, and --plug, the caliper over a plug, tells which is which.

With --job, --side and --result it takes what happened when the printed ring met the real thread, weighs anew which threads
that could be, and names the next step. The try is kept in the job file.

` + check.Caution,
		Example: `  tryring trial --printer filament-0.4 --ladder out/LADDER.json --rung inner:0.20=goes --rung inner:0.10=snug --rung inner:0.00="does not start"
  tryring trial --printer filament-0.4 --caliper-outside 47.32mm=47.45mm+-0.03
  tryring trial --printer filament-0.4 --ladder out/PAIRS.json --rung 0.20=goes --rung 0.10=snug --plug 0.20=19.85mm+-0.03
  tryring trial --printer filament-0.4 --undo
  tryring trial --job bath.toml --side inner --result "stops after 4 turns"`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := a.one(cmd); err != nil {
				return badInput(err)
			}
			if a.job != "" {
				return a.tryRing(cmd, opt)
			}
			dir, err := opt.ownPrinters()
			if err != nil {
				return err
			}
			base, history, err := a.open(dir)
			if err != nil {
				return badInput(err)
			}
			switch {
			case a.list:
				return listTrials(cmd.OutOrStdout(), opt.json, base, history)
			case a.undo:
				return undoTrial(cmd.OutOrStdout(), opt.json, base, history)
			}
			return a.keep(cmd.OutOrStdout(), opt, base, history)
		},
	}
	f := cmd.Flags()
	f.StringVar(&a.printer, "printer", "", "`NAME` of the printer profile that the trial is of")
	f.StringVar(&a.tried.Ladder, "ladder", "", "the ladder that was printed: the `FILE`.json that tryring ladder wrote")
	f.StringArrayVar(&a.tried.Rungs, "rung", nil, "what one rung did: `[inner:|outer:]RUNG=OUTCOME`; may be repeated")
	f.StringVar(&a.tried.Side, "side", "", "`SIDE` of all rungs that name none: inner, outer or both")
	f.StringVar(&a.tried.Part, "part", "", "`NAME` of the mating parts, to tell several of one thread apart")
	f.StringVar(&a.tried.PartInner, "part-inner", "", "pitch diameter read off the part that goes into the rings, a `READING` such as 40.21mm+-0.02")
	f.StringVar(&a.tried.PartOuter, "part-outer", "", "pitch diameter read off the part that the rings go into, a `READING`")
	f.StringArrayVar(&a.tried.CaliperInside, "caliper-inside", nil, "inside diameter of a print, `MODELLED=MEASURED`; may be repeated")
	f.StringArrayVar(&a.tried.CaliperOutside, "caliper-outside", nil, "outside diameter of a print, `MODELLED=MEASURED`; may be repeated")
	f.StringArrayVar(&a.tried.Plugs, "plug", nil, "caliper reading over the crests of a pair's plug, `RUNG=READING`; may be repeated")
	f.StringVar(&a.job, "job", "", "job `FILE` whose ring was tried on the real thread")
	f.StringVar(&a.ring, "ring", "", "the ring that was tried: the `FILE`.json that tryring ring wrote (default: that of the job)")
	f.StringVar(&a.result, "result", "", "what happened: goes, snug, rattles, \"does not start\" or \"stops after 4 turns\"")
	f.StringVar(&a.tried.Date, "date", "", "`TEXT` kept as the date; no clock is asked")
	f.StringVar(&a.tried.Note, "note", "", "`TEXT` kept with the trial, such as the material")
	f.StringVar(&a.out, "out", build.DefaultOut, "`DIR` for the picture of before and after")
	f.BoolVar(&a.undo, "undo", false, "take the last trial back")
	f.BoolVar(&a.list, "list", false, "list the trials that are kept")
	f.BoolVar(&a.force, "force", false, "replace a picture that exists")
	return cmd
}

// one reports --undo and --list beside each other, or beside something tried.
func (a trialAsked) one(cmd *cobra.Command) error {
	if a.job == "" && (a.result != "" || a.ring != "") {
		return errors.New("--job: missing; name the job file that the ring was made from")
	}
	var asked []string
	for _, name := range []string{"undo", "list", "rung", "plug", "caliper-inside", "caliper-outside", "job"} {
		if cmd.Flags().Changed(name) {
			asked = append(asked, "--"+name)
		}
	}
	if (a.undo || a.list || a.job != "") && len(asked) > 1 {
		return fmt.Errorf("%s: one of these at a time; --undo, --list and --job stand alone", strings.Join(asked, ", "))
	}
	return nil
}

// ownPrinters is the user's own printers folder: the one named with --printers, or printers/ under the user's settings.
func (s *shared) ownPrinters() (string, error) {
	if s.printers != "" {
		return s.printers, nil
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("no folder for settings is known (%w); name one with --printers", err)
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

// open finds the profile as it stands without trials, and its history.
func (a trialAsked) open(dir string) (base printer.Profile, h *printer.History, err error) {
	if a.printer == "" {
		return base, nil, errors.New("--printer: missing; name the profile that the trial is of (tryring printers lists them)")
	}
	from := dir
	if _, err := os.Stat(dir); errors.Is(err, os.ErrNotExist) {
		from = "" // made with the first trial
	}
	list, err := printer.LoadUntried(from)
	if err != nil {
		return base, nil, err
	}
	if base, err = list.Find(a.printer); err != nil {
		return base, nil, flagFault("printer", err)
	}
	if base.Name == printer.Unnamed().Name {
		return base, nil, errors.New("--printer none: it stands for no printer at all; name a profile")
	}
	h, err = printer.OpenHistory(dir, base.Name)
	return base, h, err
}

// keep takes one more trial in.
func (a trialAsked) keep(w io.Writer, opt *shared, base printer.Profile, h *printer.History) error {
	tables, err := opt.tables()
	if err != nil {
		return badInput(err)
	}
	t, err := a.tried.Trial(tables)
	if err != nil {
		return badInput(err)
	}
	var printed *ladder.Result
	if a.tried.Ladder != "" {
		l, err := ladder.Load(a.tried.Ladder)
		if err != nil {
			return badInput(err)
		}
		printed = &l
	}
	before := h.Trials
	after := append(append([]printer.Trial{}, before...), t)
	result := trial.NewResult(base, h.Path(), before, after, printed)
	if err := os.MkdirAll(a.out, 0o777); err != nil {
		return fmt.Errorf("output folder: %w", err)
	}
	path := filepath.Join(a.out, fmt.Sprintf("%s-trial-%d.html", base.Name, len(after)))
	page, err := result.Page(path, a.force)
	if err != nil {
		return err
	}
	defer func() { _ = page.Discard() }() // does nothing once the page has its name
	if err := h.Append(t); err != nil {
		return err
	}
	if err := page.Commit(); err != nil {
		return fmt.Errorf("the trial is kept, but its picture is not: %w", err)
	}
	result.Files = append(result.Files, path)
	if opt.json {
		return printJSON(w, result)
	}
	return result.WriteText(w)
}

// tryRing takes in what a job's ring did on the real thread, and tells it before it is kept.
func (a trialAsked) tryRing(cmd *cobra.Command, opt *shared) error {
	tables, err := opt.tables()
	if err != nil {
		return badInput(err)
	}
	printers, err := printer.Load(opt.printers)
	if err != nil {
		return badInput(err)
	}
	return job.Change(cmd.Context(), a.job, func(d *job.Document) error {
		path := a.ring
		if path == "" {
			path = trial.RingFile(d.Ring, tables)
		}
		made, err := trial.LoadResult(path)
		if err != nil {
			return badInput(fmt.Errorf("--ring: %w", err))
		}
		name := a.printer
		if name == "" {
			name = made.Printer
		}
		p, err := printers.Find(name)
		if err != nil {
			return badInput(flagFault("printer", err))
		}
		try, err := trial.NewTry(made, a.tried.Side, p, a.result)
		if err != nil {
			return badInput(err)
		}
		try.When = a.tried.Date
		told, err := trial.Learn(d, a.job, try, tables, p)
		if err != nil {
			return badInput(atPlaces(cmd, a.job, d, err))
		}
		d.Tries = append(d.Tries, try)
		if opt.json {
			return printJSON(cmd.OutOrStdout(), told)
		}
		return told.WriteText(cmd.OutOrStdout())
	})
}

// undoTrial takes the last trial back.
func undoTrial(w io.Writer, asJSON bool, base printer.Profile, h *printer.History) error {
	before := h.Trials
	last, err := h.Undo()
	if errors.Is(err, printer.ErrNoTrials) {
		return badInput(err)
	}
	if err != nil {
		return err
	}
	result := trial.NewResult(base, h.Path(), before, h.Trials, nil)
	if asJSON {
		return printJSON(w, result)
	}
	fmt.Fprintf(w, "Taken back: %s.\n\n", trial.Words(last))
	return result.WriteText(w)
}

// listTrials lists what is kept.
func listTrials(w io.Writer, asJSON bool, base printer.Profile, h *printer.History) error {
	list := trial.ListOf(base, h.Path(), h.Trials)
	if asJSON {
		return printJSON(w, list)
	}
	return list.WriteText(w)
}
