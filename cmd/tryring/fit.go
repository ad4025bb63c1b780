package main

// This file holds `tryring fit`.

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/fault"
	"tryring/internal/fit"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// fitAnswer is what the command answers.
type fitAnswer struct {
	fit.Result
	Caution []string `json:"caution"`
}

// fitFlags are what the command line says of the two threads.
type fitFlags struct {
	external, internal string
	job                string
	at                 string
	outside, bore      string
	instrument         string
	engaged            *unit.Length
	u                  [4]*unit.Length
	drawing, paper     string
	force              bool
}

func newFit(opt *shared) *cobra.Command {
	var f fitFlags
	cmd := &cobra.Command{
		Use:   "fit --external THREAD --internal THREAD",
		Short: "Say whether two threads go together, how loosely, and how far",
		Long: `Compare an external and an internal thread from their true sections: pitch, starts, hand, taper and flank angle, in the
middle of their limits of size or where --at says, or with diameters that were measured.

The verdict is one of: ` + verdictLine() + `
"will not start" and "binds" end with exit code 3, and so does "loose" when the threads do not reach each other.`,
		Example: `  tryring fit --external "1 1/2-11.5 NPSM" --internal "G 1 1/2"
  tryring fit --external "1 7/8-14 UNS" --outside 1.872in+-0.002 --internal "1 7/8-14 UNS"
  tryring fit --external "1/2-14 NPT" --internal "1/2-14 NPT" --at max-material --json`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			d, err := fromJob(cmd.Context(), f.job)
			if err != nil {
				return badInput(err)
			}
			f.external, f.internal = cmp.Or(f.external, d.Inner), cmp.Or(f.internal, d.Outer)
			paper, err := draw.PaperNamed(cmp.Or(f.paper, d.Paper))
			if err != nil {
				return badInput(err)
			}
			external, internal, options, err := f.read(opt.tables())
			if err != nil {
				return badInput(err)
			}
			r, err := fit.Judge(external, internal, options)
			if err != nil {
				return badInput(err)
			}
			if f.drawing != "" {
				d := draw.FitData{External: external, Internal: internal, Options: options, Result: r}
				if err := whole.Write(f.drawing, f.force, func(w io.Writer) error { return draw.FitSection(w, d, paper) }); err != nil {
					return err
				}
			}
			return orNo(opt.show(cmd, fitAnswer{r, []string{check.Caution}}, func(s *screen) string {
				return f.tell(s, external, internal, r)
			}), r.Verdict == fit.Binds || r.Verdict == fit.WillNotStart || !(r.EngagementPercent > 0))
		},
	}
	useFlag(cmd)
	jobFlag(cmd, &f.job)
	flags := cmd.Flags()
	flags.StringVar(&f.external, "external", "", "external `THREAD`, as people write it")
	flags.StringVar(&f.internal, "internal", "", "internal `THREAD`")
	flags.StringVar(&f.at, "at", "mid", "where in their limits of size both are judged: mid, max-material or min-material")
	flags.StringVar(&f.outside, "outside", "", "measured outside diameter of the external thread, a `READING` such as 47.5mm+-0.05; the flanks stay within their limits")
	flags.StringVar(&f.bore, "bore", "", "measured bore of the internal thread, crest to crest, a `READING`; the flanks stay within their limits")
	flags.StringVar(&f.instrument, "instrument", "", "what --outside and --bore were read with: `caliper`, dial, ruler or tape (caliper when left out)")
	flags.StringVar(&f.drawing, "drawing", "", "draw both threads over one another, enlarged, into this .svg `FILE`")
	flags.StringVar(&f.paper, "paper", "", paperHelp)
	flags.BoolVar(&f.force, "force", false, "replace a drawing that exists")
	flags.Var(lengthFlag{&f.engaged}, "engaged", "length of engagement (the shorter of what the two threads need)")
	for k, name := range []string{"u-external", "u-internal", "u-external-pitch", "u-internal-pitch"} {
		what := "diameters"
		if k >= 2 {
			what = "pitch"
		}
		flags.Var(lengthFlag{&f.u[k]}, name, "standard uncertainty of the "+strings.Split(name, "-")[1]+" thread's "+what)
	}
	return cmd
}

// verdictLine lists the verdicts with the figures that divide them.
func verdictLine() string {
	return fmt.Sprintf(`"will not start" (unlike hand or starts, or less than %g of a turn meets), "binds" (overlap of more than
%s), "snug" (less than %s to spare), "goes", "loose" (more than %g of a pitch and %s of clearance, or less than %d %% of
the flanks). On tapers: goes up to %g turn short of the standard's hand-tight turns, snug up to twice that. Nobody says from which
share of the flanks on a thread holds: the chance that a loose pair holds falls evenly to none at %d %%, and at a clearance as large as
the thread is deep. Unlike pitches are weighed over any length from half of what the threads need on, unless --engaged says one.`,
		fit.StartTurns, fit.Touch.TextMM(), fit.SnugBelow.TextMM(), fit.LooseAbovePitches, fit.LooseAbove.TextMM(), fit.LooseBelowPercent, fit.TaperShort,
		fit.NoHoldBelowPercent)
}

// read takes threads and options from the flags.
func (f fitFlags) read(tables *thread.Tables) (external, internal thread.Thread, o fit.Options, err error) {
	if external, err = threadFor(tables, "external", f.external); err != nil {
		return external, internal, o, err
	}
	if internal, err = threadFor(tables, "internal", f.internal); err != nil {
		return external, internal, o, err
	}
	point, known := map[string]fit.Point{"mid": fit.MidLimits, "max-material": fit.MaxMaterial, "min-material": fit.MinMaterial}[f.at]
	if !known {
		return external, internal, o, fault.At("at", f.at, "it is mid, max-material or min-material")
	}
	o.External.At, o.Internal.At = point, point
	for _, read := range []struct {
		flag, text string
		to         *fit.Side
	}{{"outside", f.outside, &o.External}, {"bore", f.bore, &o.Internal}} {
		if read.text == "" {
			continue
		}
		if *read.to, err = crestRead(read.flag, read.text, f.instrument); err != nil {
			return external, internal, o, err
		}
		read.to.At = point
	}
	for k, to := range []*unit.Length{&o.External.U, &o.Internal.U, &o.External.UPitch, &o.Internal.UPitch} {
		if f.u[k] != nil {
			*to = *f.u[k]
		}
	}
	if f.engaged != nil {
		if !(*f.engaged > 0) {
			return external, internal, o, fault.At("engaged", f.engaged.TextMM(), "it must be above 0")
		}
		o.Engaged = *f.engaged
	}
	return external, internal, o, nil
}

// crestRead reads the diameter over the crests of one thread.
func crestRead(flag, text, instrument string) (fit.Side, error) {
	with, err := reading.FindInstrument(instrument)
	if err != nil {
		return fit.Side{}, flagFault("instrument", err)
	}
	r, err := reading.ParseReading(text, with)
	if err != nil {
		return fit.Side{}, flagFault(flag, err)
	}
	return fit.Side{Crest: &r.Value, CrestU: unit.MM(r.Across().U)}, nil
}

// tell tells a person how the threads go together. Where they do, the next step is to look at them; where they do not, the
// ring that joins them.
func (f fitFlags) tell(s *screen, external, internal thread.Thread, r fit.Result) string {
	s.say("%s in %s: %s. The chance that it goes and holds is %.0f %%.", external.Designation, internal.Designation, r.Verdict, 100*r.Chance)
	s.gap()
	s.add("%s.", upper(r.Why))
	var rows [][]string
	row := func(name, format string, args ...any) {
		rows = append(rows, []string{name, fmt.Sprintf(format, args...)})
	}
	if r.EngagedTurns > 0 { // threads of unlike hand or starts never meet
		row("clearance at the pitch line", "%s", r.PitchClearance)
		if r.Pitch95[1] > r.Pitch95[0] {
			row("", "%.3f to %.3f mm (95 %%)", r.Pitch95[0].MM(), r.Pitch95[1].MM())
		}
		row("clearance at the crests", "%s outside", r.CrestClearance)
		row("", "%s inside", r.RootClearance)
		if r.AxialPlay != nil {
			row("axial play", "%s", *r.AxialPlay)
		}
		row("flank engagement", "%.0f %% of full depth", r.EngagementPercent)
		row("judged over", "%.1f turns", r.EngagedTurns)
		if r.Turns != nil {
			row("turns until it is tight", "%.1f", *r.Turns)
		}
	}
	for k, v := range fit.Verdicts {
		if r.Chances[k] > 0 && r.Chances[k] < 1 {
			row("chance of "+string(v), "%.0f %%", 100*r.Chances[k])
		}
	}
	s.gap()
	s.table(nil, rows...)
	pair := []string{"--external", external.Designation, "--internal", internal.Designation}
	switch {
	case !r.Verdict.Usable():
		return command("ring", "--inner", external.Designation, "--outer", internal.Designation)
	case f.drawing == "":
		return command(append(append([]string{"fit"}, pair...), "--drawing", "fit.svg")...)
	}
	return command("gauge", internal.Designation, "--kind", "plug")
}
