package main

// This file holds `tryring leaf`.

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/leaf"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// leafFlags are the flags of `tryring leaf`.
type leafFlags struct {
	openThreads
	printer, name, out string
	length             *unit.Length
	force              bool
}

func newLeaf(opt *shared) *cobra.Command {
	var flags leafFlags
	cmd := &cobra.Command{
		Use:   "leaf THREAD... | --job JOB.toml --side SIDE",
		Short: "Make a flat pitch gauge that tells threads apart by one look, printed in minutes",
		Long: `Make a leaf: a flat gauge on whose edges stand the teeth of the named threads, or of those that a side of a job could be, each edge
engraved with its pitch and the angle between its flanks. Threads of one pitch and form share an edge. The teeth bear on the flanks
alone, inside or outside; the arms go into the bores where the threads leave room. It is printed flat, so that layers do not touch
the profile, and is long enough for half a pitch to show; it says what one look decides, on the thread that the part has, and what not.
A pitch that the printer's line cannot cut is refused. An eye is taken to see an eighth of a pitch: common practice, no published source.

` + check.Caution,
		Example: `  tryring leaf "G 1 1/2" "1 1/2-11.5 NPSM" --length 18mm
  tryring leaf --job tub.toml --side stays --printer filament-0.4`,
		RunE: func(cmd *cobra.Command, args []string) error {
			d := job.New()
			p, err := flags.plan(cmd, opt, args, d)
			if err != nil {
				return badInput(atPlaces(cmd, flags.path, d, err))
			}
			result, err := p.Make(cmd.Context(), &whole.Folder{Dir: cmp.Or(flags.out, d.Out, build.DefaultOut), Force: flags.force})
			if err != nil {
				return err
			}
			return opt.show(cmd, result, func(s *screen) string {
				defer s.shared(result.Caution)
				return tellLeaf(s, result, flags.path)
			})
		},
	}
	useFlag(cmd)
	f := cmd.Flags()
	flags.flags(cmd)
	f.Var(lengthFlag{&flags.length}, "length", "how much of the part is threaded (default: what the job says)")
	f.StringVar(&flags.printer, "printer", "", "`NAME` of the printer profile (see tryring printers; default: the job's, or none)")
	f.StringVar(&flags.name, "name", "", "`NAME` of the files, without ending (default: the job's, or made of the edges)")
	f.StringVar(&flags.out, "out", "", "`DIR` for the files (default: the job's, or "+build.DefaultOut+")")
	f.BoolVar(&flags.force, "force", false, "replace files that exist")
	return cmd
}

// plan settles what is asked, and reads the job into d.
func (l leafFlags) plan(cmd *cobra.Command, opt *shared, args []string, d *job.Document) (leaf.Plan, error) {
	open, err := l.read(cmd, opt, args, l.printer, d)
	if err != nil {
		return leaf.Plan{}, err
	}
	if open.Name = cmp.Or(l.name, open.Name); l.length != nil {
		if open.Length = *l.length; !(open.Length > 0) {
			return leaf.Plan{}, fault.At("length", l.length.TextMM(), "it must be above 0")
		}
	}
	return leaf.New(open)
}

// openThreads are threads that a part may have: those that are named, or of a side of a job.
type openThreads struct{ path, side string }

func (o *openThreads) flags(cmd *cobra.Command) {
	cmd.Args = cobra.ArbitraryArgs
	jobFlag(cmd, &o.path)
	cmd.Flags().StringVar(&o.side, "side", "", "which side of the job: `stays` or goes")
}

// read looks the threads up, for the printer that is named or else the job's; the job is read into d.
func (o openThreads) read(cmd *cobra.Command, opt *shared, args []string, printer string, d *job.Document) (open leaf.Open, err error) {
	switch {
	case o.path == "" && (len(args) == 0 || o.side != ""):
		return open, fmt.Errorf(`name the threads that the part may have, such as tryring %s "G 1 1/2" "1 1/2-11.5 NPSM", or a side of a job with --job JOB.toml --side stays`, cmd.Name())
	case o.path != "" && len(args) > 0:
		return open, fault.At("job", o.path, "it says the threads, and others are named; give one of them")
	case o.path != "":
		read, err := openJob(cmd.Context(), o.path)
		if err = errors.Join(flagFault("side", job.CheckSide(o.side)), err); err != nil {
			return open, err
		}
		*d = *read
	}
	tables, printers, err := opt.known()
	if err != nil {
		return open, err
	}
	p, err := printers.Find(cmp.Or(printer, d.Printer))
	if err != nil {
		return open, fault.In("printer", err)
	}
	if o.path == "" {
		return leaf.Named(args, tables, p)
	}
	return leaf.OfJob(d, o.side, tables, p)
}

// tellLeaf tells the leaves that were made, for the job in file or for none.
func tellLeaf(s *screen, r leaf.Result, file string) string {
	s.say("%s, %s with %s, %s.", upper(made(r.Leaves)), r.Name, number(len(r.Edges), "edge", "edges"), r.Cost.Words())
	decides := r.Decides
	if n := len(decides); n > 1 && !s.details {
		s.say("One look tells %d pairs of edges apart. The nearest of them:", n)
		decides = decides[:1]
	}
	for _, text := range slices.Concat(decides, r.Undecided) {
		s.say("%s.", upper(text))
	}
	for _, text := range r.LeftOut {
		s.say("Left out: %s.", text)
	}
	s.gap()
	for _, e := range r.Edges {
		if len(r.Leaves) > 1 {
			e.Place += " of " + e.Leaf
		}
		s.add("%s, %s: %s", e.Label, e.Place, strings.Join(e.Threads, ", "))
	}
	for _, text := range r.Advice {
		s.add("%s", text)
	}
	tellFiles(s, r.Paths)
	s.gap()
	s.checks(r.Checks)

	if file != "" {
		s.next = command("identify", "--job", file, "--side", r.Side, "--leaf", r.Edges[0].Reads)
	}
	return command("identify", "--leaf", r.Edges[0].Reads)
}

// made counts leaves.
func made(leaves []leaf.LeafResult) string {
	if len(leaves) == 1 {
		return "a leaf is made"
	}
	return fmt.Sprintf("%d leaves are made", len(leaves))
}
