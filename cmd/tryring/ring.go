package main

// This file holds `tryring ring`.

import (
	"context"
	"fmt"
	"path/filepath"
	"runtime/debug"
	"time"

	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/job"
	"tryring/internal/ring"
	"tryring/internal/trial"
	"tryring/internal/whole"
)

// unhurriedGC lets the memory of one ring and of the thread tables, some 30 MB, come together before any of it is collected: that saves a tenth
// of the command's time.
const unhurriedGC = 800

func newRing(opt *shared) *cobra.Command {
	var asked job.Ring
	var force bool
	cmd := &cobra.Command{
		Use:   "ring [JOB.toml]",
		Short: "Make the ring that joins two threads, to print and try by hand",
		Long: `Make a threaded ring: --inner is the thread inside it (the part that goes into the ring), --outer the thread outside
it (the fitting that the ring goes into). The job may stand in a file, JOB.toml, with the flags' names as keys (hyphens
as underscores); flags go before what the file says.

The clearance is the gap on the diameter that a mate of basic size feels between the ring's thread and itself, once printed: what
the printer adds, and what its layers do to the flanks, is taken off. The ring is nested, one
thread within the other, where the wall allows it, or else stacked, the threads end to end. The file is read back and
measured before it is called done.

` + check.Caution,
		Example: `  tryring ring --inner "1 5/8-16 UN" --outer "1 7/8-14 UNS" --printer filament-0.4
  tryring ring JOB.toml --clearance 0.25mm --force`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			defer debug.SetGCPercent(debug.SetGCPercent(unhurriedGC))
			a, p, err := planRing(cmd, opt, args, asked)
			if err != nil {
				return badInput(err)
			}
			if a.Mesher == build.Octree {
				opt.note(cmd, "the octree mesher takes half a minute or more")
			}
			result, err := build.Make(cmd.Context(), &whole.Folder{Dir: a.Out, Force: force}, a, p)
			if err != nil {
				return err
			}
			if len(args) == 1 {
				if err := keepRing(cmd.Context(), args[0], asked, a.Path(".json")); err != nil {
					return fmt.Errorf("the ring is made, but %s does not say where: %w", args[0], err)
				}
			}
			return opt.show(cmd, result, func(s *screen) string {
				defer s.shared(result.Caution)
				if len(a.Read) == 0 { // a file without readings is no job that a try could tell of
					return tellRing(s, result, "")
				}
				return tellRing(s, result, args[0])
			})
		},
	}
	useFlag(cmd)
	f := cmd.Flags()
	ringFlags(cmd, &asked, &force)
	f.StringVar(&asked.Clearance, "clearance", "", "gap on the diameter, both threads, a `LENGTH` (default: what the printer's doubt needs, less on fine threads)")
	f.StringVar(&asked.InnerClearance, "inner-clearance", "", "gap on the diameter, thread inside, a `LENGTH`")
	f.StringVar(&asked.OuterClearance, "outer-clearance", "", "gap on the diameter, thread outside, a `LENGTH`")
	f.StringVar(&asked.Mesher, "mesher", "", "`MESHER`: helix or octree (default: helix)")
	return cmd
}

// ringFlags adds the flags that every kind of ring has.
func ringFlags(cmd *cobra.Command, r *job.Ring, force *bool) {
	f := cmd.Flags()
	f.StringVar(&r.Inner, "inner", "", "`THREAD` inside")
	f.StringVar(&r.Outer, "outer", "", "`THREAD` outside")
	f.StringVar(&r.Height, "height", "", "height of each ring, a `LENGTH` (default: what the threads' engagement needs)")
	f.StringVar(&r.Printer, "printer", "", "`NAME` of the printer profile to compensate for (see tryring printers; default: none, the middle of all)")
	f.StringVar(&r.Layer, "layer", "", "height of the layers that it will be printed in, a `LENGTH` (default: what the printer profile says)")
	f.StringVar(&r.Grip, "grip", "", "`SHAPE` of the flange: none, scallop or flats (default: scallop)")
	f.StringVar(&r.Layout, "layout", "", "`LAYOUT`: auto, nested or stacked (default: auto)")
	f.StringVar(&r.Label, "label", "", "`TEXT` engraved beside TEST FIT ONLY (default: both threads and the clearance)")
	f.StringVar(&r.Name, "name", "", "`NAME` of the files, without ending (default: made of both threads)")
	f.StringVar(&r.Out, "out", "", "`DIR` for the files (default: "+build.DefaultOut+")")
	f.StringVar(&r.Chord, "chord", "", "how far the mesh may lie from the ideal surface, a `LENGTH` (default: "+build.DefaultChord.TextMM()+")")
	f.StringVar(&r.Paper, "paper", "", paperHelp)
	f.BoolVar(force, "force", false, "replace files that exist")
}

// planRing settles the job that file and flags ask for, and plans the ring.
func planRing(cmd *cobra.Command, opt *shared, args []string, flags job.Ring) (a build.Asked, p ring.Plan, err error) {
	d, path := job.New(), ""
	if len(args) == 1 {
		path = args[0]
		if d, err = openJob(cmd.Context(), path); err != nil {
			return a, p, err
		}
	}
	printers, err := opt.profiles()
	if err != nil {
		return a, p, err
	}
	if a, err = build.Resolve(d.Ring.With(flags), opt.tables(), printers); err == nil {
		a.Read = d.Told()
		if p, err = check.Plan(a.Spec); err == nil {
			err = build.CheckChord(cmd.Context(), a, p)
		}
	}
	return a, p, atPlaces(cmd, path, d, err)
}

// keepRing notes in the job file at path that a ring was made, by its manifest, and the name, folder and printer that were asked for,
// so that whoever tries the ring finds its files. A job that keeps no readings is somebody's own file, and stays as it is.
func keepRing(ctx context.Context, path string, flags job.Ring, manifest string) error {
	_, digest, err := trial.LoadResult(ctx, manifest)
	if err != nil {
		return err
	}
	return job.Change(ctx, path, func(d *job.Document) error {
		if len(d.Goes)+len(d.Stays) > 0 {
			d.Ring = d.With(job.Ring{Name: flags.Name, Out: flags.Out, Printer: flags.Printer})
			d.Made(job.File{Name: filepath.Base(manifest), Digest: digest, When: time.Now().Format(time.DateOnly)})
		}
		return nil
	})
}
