package main

// This file holds what `shortlist` takes from a job and leaves in it: what both threads could be, and the list.

import (
	"context"
	"fmt"
	"reflect"
	"time"

	"tryring/internal/job"
	"tryring/internal/parts"
	"tryring/internal/standing"
	"tryring/internal/thread"
)

// mates are the two threads that parts are ranked by: those that were named, and else all that the job says they could be.
func (f shortlistFlags) mates(ctx context.Context, tables *thread.Tables, named [2]thread.Thread, flagged [2]bool) (out [2][]parts.Mate, err error) {
	out = [2][]parts.Mate{parts.Sure(named[0]), parts.Sure(named[1])}
	if f.job == "" {
		return out, nil
	}
	d, err := job.Load(ctx, f.job)
	if err != nil {
		return out, err
	}
	for k, side := range []string{job.Goes, job.Stays} {
		if flagged[k] {
			continue
		}
		could, err := standing.Mates(d, side, tables)
		if err != nil {
			return out, err
		}
		if len(could) > 0 {
			out[k] = could
		}
	}
	return out, nil
}

// keptParts bounds how many parts a job keeps of a list.
const keptParts = 3

// keepList notes in the job that the list at path was looked at, how it is read, and what its best parts were taken for.
func (f shortlistFlags) keepList(ctx context.Context, path string, ranked []parts.Ranked) error {
	if f.job == "" {
		return nil
	}
	list := job.PartsList{File: path, Columns: f.columns, Unit: f.unit, When: time.Now().Format(time.DateOnly)}
	for _, r := range ranked[:min(keptParts, len(ranked))] {
		if r.Chance > parts.OpenFrom {
			list.Gave = append(list.Gave, fmt.Sprintf("%s: inner %s; outer %s", r.Name, r.Inner.Taken, r.Outer.Taken))
		}
	}
	return job.Change(ctx, f.job, func(d *job.Document) error {
		last := len(d.Parts) - 1
		if last < 0 || d.Parts[last].File != path {
			d.Parts = append(d.Parts, list)
			return nil
		}
		was := d.Parts[last]
		if list.ID, list.When = was.ID, was.When; !reflect.DeepEqual(list, was) {
			list.When = time.Now().Format(time.DateOnly)
			d.Parts[last] = list
		}
		return nil
	})
}
