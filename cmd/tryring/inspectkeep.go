package main

// This file keeps a thread of a scan among the readings of a job.

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"tryring/internal/fault"
	"tryring/internal/identity"
	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// inspectKeep is what inspect is told of a job that keeps what it measures.
type inspectKeep struct {
	asked  identifyAsked
	scale  string
	thread int
}

func (k *inspectKeep) add(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&k.asked.path, "job", "", "job `FILE` that keeps the thread of a scan as readings")
	f.StringVar(&k.asked.side, "side", "", "whose thread in the job it is: `goes` or stays")
	f.StringVar(&k.scale, "scale", "", "how far off the scan's scale may be, in `PERCENT`; 0 where a length on it was checked")
	f.IntVar(&k.thread, "thread", 0, "`NUMBER` of the thread to keep, in the order in which they are told (needed where there are several)")
	f.StringVar(&k.asked.when, "date", "", "`WHEN` it was scanned (default: today)")
	f.BoolVar(&k.asked.again, "again", false, "the part was really scanned once more, and counts again")
}

// mostScale is the largest error of a scale that anybody would call a scan, as a share.
const mostScale = 0.1

// check settles the scale, as a share, before anything is read.
func (k inspectKeep) check(cmd *cobra.Command) (scale float64, err error) {
	if k.asked.path == "" {
		return 0, withoutJob(cmd, "side", "scale", "thread", "date", "again")
	}
	if err := job.CheckSide(k.asked.side); err != nil {
		return 0, err
	}
	text := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(k.scale), "%"))
	if text == "" {
		return 0, fault.At("scale", "", "a diameter from a scan is as good as its scale: by how many per cent may that be off? 0.5 for most hand-held scanners (common practice), 0 where a length on the scan was checked with a caliper")
	}
	if text == "0" {
		return 0, nil
	}
	percent, err := unit.ParseNumber(text)
	if err != nil || !(percent <= 100*mostScale) {
		return 0, fault.At("scale", k.scale, "it is a number of per cent, 0 to %g", 100*mostScale)
	}
	return percent / 100, nil
}

// keep adds the thread to the side of the job, and returns the readings that were added.
func (k inspectKeep) keep(cmd *cobra.Command, f inspection, scale float64, tables *thread.Tables, note func(*cobra.Command, string, ...any)) ([]reading.Record, error) {
	n := k.thread
	if n == 0 && len(f.Threads) == 1 {
		n = 1
	}
	switch {
	case f.UnitQuestion != nil:
		return nil, fault.At("unit", "", "the figures are taken in %s, and %s; say mm or in", f.Unit, f.UnitQuestion.Text)
	case len(f.Threads) == 0:
		return nil, fault.At("job", k.asked.path, "no thread was found, so that there is nothing to keep")
	case n == 0:
		return nil, fault.At("thread", "", "there are %d threads in the file; say which is kept, by its number in the order in which they are told", len(f.Threads))
	case n < 1 || n > len(f.Threads):
		return nil, fault.At("thread", fmt.Sprint(n), "there are %d in the file", len(f.Threads))
	}
	k.asked.today()
	records := f.Threads[n-1].Records(scale)
	for i := range records {
		records[i].When = k.asked.when
	}
	err := k.asked.keep(cmd, records, tables, note, func(*job.Document, identity.Identity) error { return nil })
	return records, err
}
