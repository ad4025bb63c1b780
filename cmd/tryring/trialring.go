package main

// This file takes in what a job's ring, or a gauge, did on the real thread.

import (
	"context"

	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/fault"
	"tryring/internal/identity"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/trial"
)

// made is the ring or the gauge that was tried, with the digest of the ring's file, and the printer that made it. The side of a
// gauge is its own.
func (a *trialAsked) made(ctx context.Context, opt *shared, d *job.Document, tables *thread.Tables) (r build.Result, digest string, p printer.Profile, err error) {
	if a.gauge != "" {
		r, a.tried.Side, p, err = trial.LoadGauge(ctx, a.gauge)
		return r, "", p, flagFault("gauge", err)
	}
	path := a.ring
	if path == "" {
		path = trial.RingFile(d.Ring, tables)
	}
	if r, digest, err = trial.LoadResult(ctx, path); err != nil {
		return r, "", p, flagFault("ring", err)
	}
	if a.printer == "" {
		a.printer = r.Printer
	}
	p, err = opt.printer(a.printer)
	return r, digest, p, err
}

// tryRing takes in what a job's ring did on the real thread.
func (a trialAsked) tryRing(cmd *cobra.Command, opt *shared) error {
	ctx := cmd.Context()
	tables := opt.tables()
	d, err := openJob(ctx, a.job)
	if err != nil {
		return badInput(err)
	}
	made, digest, p, err := a.made(ctx, opt, d, tables)
	if err != nil {
		return badInput(err)
	}
	try, err := trial.NewTry(made, a.tried.Side, p, tables, a.result)
	if err != nil {
		return badInput(atPlaces(cmd, a.job, d, err))
	}
	try.Digest, try.When, try.Note = digest, a.tried.Date, a.tried.Note
	side := trial.JobSide(try.Side)
	if len(*d.Readings(side)) == 0 {
		return badInput(fault.At("job", a.job, "it holds no readings of what %s, so there is nothing to weigh; read that thread first: %s", side, command("identify", "--job", a.job, "--side", side)))
	}
	var before, after identity.Identity
	err = job.Change(ctx, a.job, func(now *job.Document) error {
		d = now
		if before, err = identity.Of(d, side, tables); err != nil {
			return err
		}
		if err := trial.AddTry(d, made, try, tables, a.anyway); err != nil {
			return err
		}
		after, err = identity.Of(d, side, tables)
		return err
	})
	if err != nil {
		return badInput(atPlaces(cmd, a.job, d, err))
	}
	r, err := trial.Tell(trial.Of(side, d.Tries), before.Answer, after.Answer, tables)
	if err != nil {
		return err
	}
	now, err := stand(ctx, opt, d, "")
	if err != nil {
		return err
	}
	r.Job, r.Next, r.Command = a.job, now.Next.Text, commandFor(now.Next, a.job)
	return opt.show(cmd, r, func(s *screen) string { return tellTry(s, r) })
}
