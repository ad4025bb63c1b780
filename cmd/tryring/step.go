package main

// This file makes the next step of a job into a command to paste.

import (
	"cmp"
	"fmt"
	"strconv"

	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/standing"
)

// commandFor is the command line that takes a step of the job in file. Where the step is done elsewhere, it is the one that shows
// what to do it by. A word in capitals stands for what the person reads.
func commandFor(s standing.Step, file string) string {
	var words []string
	add := func(more ...string) { words = append(words, more...) }
	switch s.Action {
	case standing.TakeBack:
		add("job", file, "--drop", strconv.Itoa(s.Entry))
	case standing.Read:
		add("identify", "--job", file, "--side", s.Side)
		for _, f := range s.Fields {
			add(flagName(f.Key), orShown(f))
		}
	case standing.MakeLeaf:
		add("leaf", "--job", file, "--side", s.Side)
	case standing.MakeSheet:
		add("sheet", "--job", file, "--side", s.Side)
	case standing.TryGauge:
		add("trial", "--job", file, "--gauge", s.Gauge, "--result", "goes")
	case standing.Decide:
		add("identify", "--job", file, "--side", s.Side, "--take", strconv.Itoa(s.Take))
		if s.Sure {
			add("--sure")
		}
	case standing.Together:
		add("fit", "--job", file)
	case standing.OrderPart:
		add("job", file)
	case standing.Shortlist, standing.Ask:
		add("shortlist", cmp.Or(s.List, "PARTS.csv"), "--job", file)
	case standing.Print:
		add("ring", file)
		for _, of := range []struct{ flag, text string }{{"--inner", s.Inner}, {"--outer", s.Outer}} {
			if of.text != "" {
				add(of.flag, of.text)
			}
		}
		if s.Clearance > 0 {
			add("--clearance", fmt.Sprintf("%.2fmm", s.Clearance.MM()), "--name", "tell-apart")
		}
	case standing.Try:
		add("trial", "--job", file, "--side", job.RingSide[s.Side], "--result", "goes")
	case standing.Measure:
		flag := map[string]string{job.Stays: "--caliper-outside", job.Goes: "--caliper-inside"}[s.Side]
		add("trial", "--printer", cmp.Or(s.Printer, "PRINTER"), flag, "MODELLED=READING")
	}
	return command(words...)
}

// orShown is what is known of a field, or a word in capitals for what the reading shows.
func orShown(f reading.Field) string {
	word := "LENGTH"
	switch f.Key {
	case "count":
		word = "N"
	case "angle":
		word = "DEGREES"
	case "tapers":
		word = "YES-OR-NO"
	case "leaf", "no_leaf", "tpi", "pitch":
		word = "PITCH"
	}
	return cmp.Or(f.Text, word)
}
