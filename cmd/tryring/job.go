package main

// This file holds `tryring job`: where a job stands, and the one next step.

import (
	"cmp"
	"context"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/datafile"
	"tryring/internal/gauge"
	"tryring/internal/job"
	"tryring/internal/parts"
	"tryring/internal/reading"
	"tryring/internal/standing"
	"tryring/internal/trial"
)

// jobAsked is what the flags ask for.
type jobAsked struct {
	drop   []int
	drawer string
}

func newJob(opt *shared) *cobra.Command {
	var a jobAsked
	cmd := &cobra.Command{
		Use:   "job JOB.toml",
		Short: "Say where a job stands, what contradicts, the next step, and at the end what to order",
		Long: `Say for each side of a job what its thread is and how sure that is, what contradicts, what was tried, which part of the list
joins both, and the one next step, the cheapest first. tryring JOB.toml does the same.

Every reading, decision, list and try of a job has a number, which the file and --json show; --drop takes one back.

` + check.Caution,
		Example: `  tryring job tub.toml
  tryring tub.toml
  tryring job tub.toml --drop 3`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error { return a.run(cmd, opt, args[0]) },
	}
	f := cmd.Flags()
	f.IntSliceVar(&a.drop, "drop", nil, "take back the entry with this `NUMBER`")
	f.StringVar(&a.drawer, "drawer", "", "folder `DIR` of a drawer of gauges (default: all where the job's files go)")
	return cmd
}

func (a jobAsked) run(cmd *cobra.Command, opt *shared, file string) error {
	if len(a.drop) > 0 {
		if err := dropEntries(cmd.Context(), file, a.drop); err != nil {
			return badInput(err)
		}
	}
	d, err := job.Load(cmd.Context(), file)
	if err != nil {
		return badInput(err)
	}
	s, err := stand(cmd.Context(), opt, d, a.drawer)
	if err != nil {
		return badInput(atPlaces(cmd, file, d, err))
	}
	return opt.show(cmd, tellJob(s, d, file), func(to *screen) string {
		showJob(to, s)
		if s.Next.Action == standing.OrderPart && !opt.details { // there is no other command: what it rests on
			return command("job", file, "--details")
		}
		return commandFor(s.Next, file)
	})
}

// dropEntries takes entries of the job file back, all or none.
func dropEntries(ctx context.Context, file string, numbers []int) error {
	if _, err := job.Load(ctx, file); err != nil { // a file that is not there is no empty job
		return err
	}
	return job.Change(ctx, file, func(d *job.Document) error {
		for _, n := range numbers {
			if err := d.Drop(n); err != nil {
				return err
			}
		}
		return nil
	})
}

// stand says where d stands, with what lies around it.
func stand(ctx context.Context, opt *shared, d *job.Document, drawer string) (standing.Standing, error) {
	p, err := opt.printer(d.Printer)
	if err != nil {
		return standing.Standing{}, err
	}
	return standing.Of(d, standing.Around{
		Tables: opt.tables(), Printer: p, Drawers: drawersOf(d, drawer),
		Read: func(name string) ([]byte, error) { return datafile.List(ctx, name, nil, parts.MaxBytes) },
	})
}

// drawersOf are the folders of gauges to look into: the one that is named, or all that lie where the job's files go.
func drawersOf(d *job.Document, named string) []string {
	if named != "" {
		return []string{named}
	}
	out := cmp.Or(d.Out, build.DefaultOut)
	var folders []string
	for _, at := range []string{out, filepath.Join(out, "*")} {
		found, _ := filepath.Glob(filepath.Join(at, gauge.DrawerRecord)) // a folder whose name is a pattern is named by --drawer
		for _, record := range found {
			folders = append(folders, filepath.Dir(record))
		}
	}
	return folders
}

// nextOf is the command of the next step of the job in file; otherwise where the job cannot be told, which its own command says.
func (opt *shared) nextOf(ctx context.Context, file, otherwise string) string {
	d := opt.changing
	if d == nil {
		var err error
		if d, err = job.Load(ctx, file); err != nil {
			return otherwise
		}
	}
	s, err := stand(ctx, opt, d, "")
	if err != nil {
		return otherwise
	}
	return commandFor(s.Next, file)
}

// tellJob is the answer as scripts read it; see standing.
func tellJob(s standing.Standing, d *job.Document, file string) map[string]any {
	sides, tries, contradictions := map[string]any{}, []map[string]any{}, []string{}
	for _, side := range s.Sides {
		of := map[string]any{"readings": append([]reading.Record{}, side.Records...), "candidates": []reading.Candidate{}, "decided": nil, "doubt": side.Doubt(), "among": d.Among, "use": d.Use}
		if side.Answer != nil {
			of["candidates"] = side.Answer.Candidates
		}
		if side.Thread != nil {
			decided := map[string]any{"designation": side.Thread.Designation, "weight": nil, "second": side.Decision.Second}
			if w := side.Decision.Weight; w > 0 { // else nothing had been read
				decided["weight"] = w
			}
			of["decided"] = decided
		}
		sides[side.Name] = of
	}
	for _, t := range d.Tries { // a ring that has no name goes by its thread
		tries = append(tries, map[string]any{"id": t.ID, "side": trial.JobSide(t.Side), "ring": cmp.Or(t.Ring, t.Thread), "thread": t.Thread, "result": t.Result, "when": t.When})
	}
	for _, c := range s.Contradictions {
		contradictions = append(contradictions, c.Text)
	}
	next := map[string]any{"action": s.Next.Action, "side": s.Next.Side, "text": s.Next.Text, "command": commandFor(s.Next, file)}
	return map[string]any{"sides": sides, "tries": tries, "contradictions": contradictions, "next": next, "order": s.Order, "caution": []string{check.Caution}}
}

// jobFirst puts the command job before a job file that stands in the place of a command.
func jobFirst(args, commands []string) []string {
	for _, arg := range args {
		switch {
		case slices.Contains(commands, arg):
			return args
		case !strings.HasPrefix(arg, "-") && strings.EqualFold(filepath.Ext(arg), ".toml"):
			return append([]string{"job"}, args...)
		}
	}
	return args
}
