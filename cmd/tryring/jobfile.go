package main

// This file holds --job for the commands that are not `ring`: the file that keeps readings and decisions of one job.

import (
	"fmt"
	"io"
	"reflect"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/reading"
)

// jobFlag adds --job to a command that takes its two threads from there.
func jobFlag(cmd *cobra.Command, path *string) {
	cmd.Flags().StringVar(path, "job", "", "job `FILE` to take the threads from, where flags do not name them")
}

// fromJob fills inner and outer from the job file at path where they are empty.
func fromJob(path string, inner, outer *string) error {
	if path == "" {
		return nil
	}
	r, err := build.LoadRing(path)
	if err != nil {
		return err
	}
	if *inner == "" {
		*inner = r.Inner
	}
	if *outer == "" {
		*outer = r.Outer
	}
	return nil
}

// jobNotes are the flags of identify that keep readings in a job file.
type jobNotes struct{ path, side, date, take string }

func (n *jobNotes) flags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&n.path, "job", "", "job `FILE` that keeps the readings; what it holds already counts too")
	f.StringVar(&n.side, "side", "", "whose readings in the job they are: `goes` (the part that goes into the ring) or stays (the fitting)")
	f.StringVar(&n.date, "date", "", "`WHEN` it was read (default with --job: today)")
	f.StringVar(&n.take, "take", "", "decide: write `THREAD`, or the candidate of that number (1 is the likeliest), into the job")
}

// records returns what the job holds of the side, followed by what the flags say.
func (n *jobNotes) records(flags reading.Batch) ([]reading.Batch, error) {
	if n.path == "" {
		for flag, value := range map[string]string{"--side": n.side, "--take": n.take} {
			if value != "" {
				return nil, fmt.Errorf("%s is for a job: name its file with --job", flag)
			}
		}
		return []reading.Batch{flags}, nil
	}
	held, err := build.ReadingsIn(n.path, n.side)
	if err != nil {
		return nil, err
	}
	if !empty(flags) {
		held = append(held, n.dated(flags))
	}
	return held, nil
}

// dated puts the date onto what was read now.
func (n *jobNotes) dated(r reading.Batch) reading.Batch {
	if r.Date = n.date; r.Date == "" {
		r.Date = time.Now().Format(time.DateOnly)
	}
	return r
}

// keep writes what was read now, and what was decided, into the job file, and says so on w.
func (n *jobNotes) keep(opt *shared, flags reading.Batch, answer reading.Answer, w io.Writer) error {
	if n.path == "" {
		return nil
	}
	if !empty(flags) {
		if err := build.Note(n.path, n.side, n.dated(flags)); err != nil {
			return err
		}
		fmt.Fprintf(w, "Kept in %s, among the readings of what %s.\n", n.path, n.side)
	}
	if n.take == "" {
		return nil
	}
	chosen, err := n.chosen(opt, answer)
	if err != nil {
		return badInput(fmt.Errorf("--take: %w", err))
	}
	if err := build.Take(n.path, n.side, chosen); err != nil {
		return err
	}
	fmt.Fprintf(w, "Decided in %s: %s.\n", n.path, chosen)
	return nil
}

// chosen is the designation that --take stands for.
func (n *jobNotes) chosen(opt *shared, answer reading.Answer) (string, error) {
	threads := answer.Candidates[:len(answer.Candidates)-1] // the last is none of these
	if i, err := strconv.Atoi(n.take); err == nil {
		if i < 1 || i > len(threads) {
			return "", fmt.Errorf("there is no candidate %d; there are %d", i, len(threads))
		}
		return threads[i-1].Designation, nil
	}
	tables, err := opt.tables()
	if err != nil {
		return "", err
	}
	t, err := tables.Parse(n.take)
	return t.Designation, err
}

// empty says that nothing was read: what --counted defaults to is no reading.
func empty(r reading.Batch) bool {
	r.Counted, r.Instrument = "", ""
	return reflect.ValueOf(r).IsZero()
}

// printCaution ends what a command that judges threads tells people.
func printCaution(w io.Writer) error {
	_, err := fmt.Fprintf(w, "\n%s\n", check.Caution)
	return err
}
