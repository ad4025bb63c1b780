package main

// This file holds --job: how commands read the document of a job, or the threads that they are given instead, and tell what is wrong in it.

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/leaf"
	"tryring/internal/thread"
)

// jobFlag adds --job to a command that takes its two threads from there.
func jobFlag(cmd *cobra.Command, path *string) {
	cmd.Flags().StringVar(path, "job", "", "job `FILE` to take the threads from, where flags do not name them")
}

// useFlag adds --use to a command that makes or judges parts, and refuses what no part is made for before anything is done.
func useFlag(cmd *cobra.Command) {
	use := cmd.Flags().String("use", "", "what the part is for, in your own `TEXT`, beside what a job says")
	cmd.PreRunE = func(*cobra.Command, []string) error { return flagFault("use", thread.RefusedUse(*use)) }
}

// openJob reads the job file at path, for a command that makes or judges parts: one whose use is refused is a fault.
func openJob(ctx context.Context, path string) (*job.Document, error) {
	d, err := job.Load(ctx, path)
	if err == nil {
		if err = fault.In("use", thread.RefusedUse(d.Use)); err != nil {
			err = said{err, d.Place}
		}
	}
	return d, err
}

// fromJob reads the job file at path; none is an empty job.
func fromJob(ctx context.Context, path string) (*job.Document, error) {
	if path == "" {
		return &job.Document{}, nil
	}
	return openJob(ctx, path)
}

// said is an error whose faults are told with the flags and the lines that they lie in.
type said struct {
	err   error
	place func(field string) string
}

func (s said) Error() string { return fault.Words(s.err, s.place) }
func (s said) Unwrap() error { return s.err }

// flagName is the flag that stands for a field.
func flagName(field string) string { return "--" + strings.ReplaceAll(field, "_", "-") }

// atPlaces lays the faults of err to the flags of cmd that were given, and else to the lines of the document d, which came from
// path; an entry of it can be taken back. d may be nil.
func atPlaces(cmd *cobra.Command, path string, d *job.Document, err error) error {
	if err == nil {
		return nil
	}
	return said{err, func(field string) string {
		place := ""
		if d != nil {
			place = d.Place(field)
		}
		number, key, numbered := strings.Cut(field, ".")
		if !numbered {
			key = field
		}
		flag := flagName(key)
		switch {
		case numbered && place != "":
			return fmt.Sprintf("%s (entry %s; tryring job %s --drop %s takes it back)", place, number, path, number)
		case place != "" && !cmd.Flags().Changed(flag[2:]):
			return place
		case cmd.Flags().Lookup(flag[2:]) == nil:
			return key
		}
		return flag
	}}
}

// offer adds to the faults of err that have the given cause the words for what a person can do.
func offer(err, cause error, words string) error {
	var faults []error
	for _, f := range fault.Each(err) {
		if errors.Is(f, cause) {
			f.Want += "; " + words
		}
		faults = append(faults, f)
	}
	return errors.Join(faults...)
}

// openThreads are threads that a part may have: those that are named, or of a side of a job; and where goes what tells them apart.
type openThreads struct {
	path, side, out string
	force           bool
}

func (o *openThreads) flags(cmd *cobra.Command) {
	cmd.Args = cobra.ArbitraryArgs
	jobFlag(cmd, &o.path)
	cmd.Flags().StringVar(&o.side, "side", "", "which side of the job: `stays` or goes")
	cmd.Flags().StringVar(&o.out, "out", "", "`DIR` for the files (default: the job's, or "+build.DefaultOut+")")
	cmd.Flags().BoolVar(&o.force, "force", false, "replace files that exist")
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
	p, err := opt.printer(cmp.Or(printer, d.Printer))
	if err != nil {
		return open, err
	}
	if o.path == "" {
		return leaf.Named(args, opt.tables(), p)
	}
	return leaf.OfJob(d, o.side, opt.tables(), p)
}
