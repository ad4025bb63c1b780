package main

// This file holds what `identify` is asked: readings from flags, a job that keeps them, and the decision for a thread.

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tryring/internal/fault"
	"tryring/internal/identity"
	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/thread"
)

// readingFlags are flags for readings: one for each kind, and one for the second half of those that have two.
type readingFlags struct {
	texts               map[string]*[]string
	instrument, counted string
}

func (r *readingFlags) add(cmd *cobra.Command) {
	r.texts = map[string]*[]string{}
	flags := cmd.Flags()
	add := func(key, ask, named string) {
		r.texts[key] = new([]string)
		name := strings.ReplaceAll(key, "_", "-")
		flags.StringArrayVar(r.texts[key], name, nil, ask)
		flags.Lookup(name).NoOptDefVal = named
	}
	for _, k := range reading.Kinds() {
		add(k.Key, k.Ask, k.Named)
		if k.Over != "" {
			add(k.Over, k.AskOver, "")
		}
	}
	flags.StringVar(&r.counted, "counted", "", "what --count counted: crests or spaces (crests when left out)")
	flags.StringVar(&r.instrument, "instrument", "", "what lengths were read with: `caliper`, dial, scan, ruler or tape (caliper when left out)")
}

// words are the flags as they were given.
func (r *readingFlags) words() (out []string) {
	add := func(key string, texts ...string) {
		for _, text := range texts {
			if text != "" {
				out = append(out, flagName(key), text)
			}
		}
	}
	for _, k := range reading.Kinds() {
		if k.Named != "" { // the flag may stand alone, so that its text needs an equals sign
			for _, text := range *r.texts[k.Key] {
				out = append(out, flagName(k.Key)+"="+text)
			}
			continue
		}
		add(k.Key, *r.texts[k.Key]...)
		if k.Over != "" {
			add(k.Over, *r.texts[k.Over]...)
		}
	}
	add("counted", r.counted)
	add("instrument", r.instrument)
	return out
}

// records are the readings that the flags say, each with its instrument and day.
func (r *readingFlags) records(when string) ([]reading.Record, error) {
	var out []reading.Record
	for _, k := range reading.Kinds() {
		texts, overs := *r.texts[k.Key], []string(nil)
		if k.Over != "" {
			overs = *r.texts[k.Over]
			if k.Key == "over_wires" && len(overs) == 1 { // one set of wires
				for len(overs) < len(texts) {
					overs = append(overs, overs[0])
				}
			}
		}
		if len(overs) != len(texts) && k.Over != "" {
			return nil, fault.At(k.Key, "", "%d given with %d of --%s; each goes with one", len(texts), len(overs), k.Over)
		}
		for i, text := range texts {
			if k.Key == "count" && r.counted != "" {
				text += " " + r.counted
			}
			if k.Over != "" {
				text = k.Text(text, overs[i])
			}
			with := r.instrument
			if with == "" && k.Length {
				with = reading.Instruments()[0].Name
			}
			out = append(out, reading.Record{What: k.Key, Text: text, Instrument: with, When: when})
		}
	}
	switch r.counted {
	case "", string(reading.Crests), string(reading.Spaces):
		return out, nil
	}
	return nil, fault.At("counted", r.counted, "it is %s or %s", reading.Crests, reading.Spaces)
}

// identifyAsked is what the flags ask for.
type identifyAsked struct {
	readings         readingFlags
	path, side, when string
	among, use, take string
	again, sure      bool
	tellApart        bool
	printer          string
}

func (a *identifyAsked) jobFlags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&a.among, "among", "", "what the thread belongs to: drain, supply, hose, machine or `any` (any when left out; a job keeps it)")
	f.StringVar(&a.path, "job", "", "job `FILE` that keeps the readings; what it holds already counts too")
	f.StringVar(&a.side, "side", "", "whose readings in the job they are: `goes` (the part that goes into the ring) or stays (the fitting)")
	f.StringVar(&a.use, "use", "", "what the ring is for, a `TEXT` that the job keeps")
	f.StringVar(&a.when, "date", "", "`WHEN` it was read (default with --job: today)")
	f.StringVar(&a.take, "take", "", "decide: write `THREAD`, or the candidate of that number (1 is the likeliest), into the job")
	f.BoolVar(&a.again, "again", false, "a reading that the job has already was really taken once more, and counts again")
	f.BoolVar(&a.sure, "sure", false, "take a thread that is not the likely one")
}

// settle reads the job, adds what was read and decided, and hands the identity of the side to tell; whatever fails, tell included,
// leaves the job as it was. What was kept is noted.
func (a identifyAsked) settle(cmd *cobra.Command, tables *thread.Tables, note func(cmd *cobra.Command, format string, args ...any), tell func(*job.Document, identity.Identity) error) error {
	a.today()
	records, err := a.readings.records(a.when)
	if err != nil {
		return badInput(atPlaces(cmd, a.path, nil, err))
	}
	if a.path == "" {
		if err := withoutJob(cmd, "side", "take", "again", "sure", "use"); err != nil {
			return badInput(err)
		}
		return a.identify(cmd, job.New(), job.Goes, records, tables, tell, nil)
	}
	if len(records) == 0 && a.among+a.use+a.take == "" { // a look
		d, err := job.Load(cmd.Context(), a.path)
		if err != nil {
			return badInput(err)
		}
		return a.identify(cmd, d, a.side, nil, tables, tell, nil)
	}
	return a.keep(cmd, records, tables, note, tell)
}

// withoutJob refuses those of the flags that were given, where no job is named.
func withoutJob(cmd *cobra.Command, flags ...string) error {
	var faults []error
	for _, flag := range flags {
		if cmd.Flags().Changed(flag) {
			faults = append(faults, fault.At(flag, "", "it is for a job: name its file with --job"))
		}
	}
	return errors.Join(faults...)
}

// today settles when it was read, where a job keeps it.
func (a *identifyAsked) today() {
	if a.when == "" && a.path != "" {
		a.when = time.Now().Format(time.DateOnly)
	}
}

// keep is settle for readings that a job keeps.
func (a identifyAsked) keep(cmd *cobra.Command, records []reading.Record, tables *thread.Tables, note func(cmd *cobra.Command, format string, args ...any), tell func(*job.Document, identity.Identity) error) error {
	var kept []string
	err := job.Change(cmd.Context(), a.path, func(d *job.Document) error {
		return a.identify(cmd, d, a.side, records, tables, tell, &kept)
	})
	if err != nil {
		return badInput(err)
	}
	for _, line := range kept {
		note(cmd, "%s", line)
	}
	return nil
}

// identify adds records to a side of d, takes the decision that is asked for, and hands the identity of the side to tell.
func (a identifyAsked) identify(cmd *cobra.Command, d *job.Document, side string, records []reading.Record, tables *thread.Tables, tell func(*job.Document, identity.Identity) error, kept *[]string) error {
	fail := func(err error) error { return badInput(atPlaces(cmd, a.path, d, err)) }
	if err := d.AddReadings(side, a.again, records...); err != nil {
		return fail(offer(err, job.ErrAgain, "--again counts it once more"))
	}
	if a.among != "" {
		d.Among = a.among
	}
	if a.use != "" {
		d.Use = a.use
	}
	found, err := identity.Of(d, side, tables)
	if err != nil {
		return fail(offer(err, reading.ErrNothing, "as --outside or --bore, and --count 15 with --over 1in"))
	}
	if len(records) > 0 && kept != nil {
		*kept = append(*kept, fmt.Sprintf("Kept in %s, among the readings of what %s.", a.path, side))
	}
	if a.take != "" {
		one, err := found.Decide(a.take, a.sure, a.when, tables)
		if err != nil {
			return fail(offer(err, identity.ErrUnsure, "--sure takes it all the same"))
		}
		if err := d.Decide(one); err != nil {
			return fail(err)
		}
		*kept = append(*kept, fmt.Sprintf("Decided in %s: %s.", a.path, one.Designation))
		if why := identity.Unlikely(one); why != "" {
			*kept = append(*kept, "It is not the likely one: "+why+".")
		}
	}
	return tell(d, found)
}
