package main

// This file holds `tryring leaf`.

import (
	"cmp"
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
	printer, name string
	length        *unit.Length
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
