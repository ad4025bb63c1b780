package main

// This file holds `tryring threads`.

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/datafile"
	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// threadInfo is one thread of the tables as scripts read it.
type threadInfo struct {
	Designation string `json:"designation"`
	Source      string `json:"source"`
	// Uses says what the thread is found on, common practice.
	Uses []string `json:"uses"`
	// Shared names the dangerous uses that it has too, NotMade says why no part is made by its name; "" where neither holds.
	Shared  string `json:"shared"`
	NotMade string `json:"not_made"`
	build.Figures
	// Basic are the basic diameters, of a taper thread those in its gauge plane.
	Basic thread.Diameters `json:"basic"`
	// External and Internal are limits of size, open where the standard leaves them so.
	External thread.Limits `json:"external"`
	Internal thread.Limits `json:"internal"`
}

func newThreads(opt *shared) *cobra.Command {
	var class string
	cmd := &cobra.Command{
		Use:   "threads [TEXT]",
		Short: "Look a thread up: its diameters and the limits of size the standard gives it",
		Long: `Look threads up. TEXT is a thread as people write it ("1 3/4-12 UN", "M45x1.5-6g", "G 1 1/2"), or words of what is
looked for ("UNEF", "bath", "ISO 228"); without it all tables are listed. A Unified or metric size outside the tables is
computed by the standard's formulas. The limits of size are those of the usual class (2A and 2B, 6g and 6H, A) unless
the thread or --class names another.`,
		Example: `  tryring threads "1 3/4-12 UN" --class 3A
  tryring threads bath
  tryring threads UNEF --json`,
		RunE: func(cmd *cobra.Command, args []string) error {
			infos, err := lookUp(opt.tables(), strings.Join(args, " "), class)
			if err != nil {
				return badInput(err)
			}
			return opt.show(cmd, map[string]any{"threads": infos, "caution": []string{check.Caution}}, func(s *screen) string {
				if len(infos) == 1 {
					return infos[0].tell(s)
				}
				return tellThreads(s, infos)
			})
		},
	}
	cmd.Flags().StringVar(&class, "class", "", "tolerance `CLASS` of the limits, such as 3A, 2B, 6h or B")
	return cmd
}

// readOwn reads the tables of the user's own folder, and settles which folder of printers is the user's, before any command.
func (opt *shared) readOwn(*cobra.Command, []string) error {
	opt.useOwnPrinters()
	if opt.tables = thread.BuiltIn; opt.threads == "" {
		return nil
	}
	if _, err := os.ReadDir(opt.threads); err != nil {
		return flagFault("threads", err)
	}
	own, err := thread.ReadFolder(datafile.Folder(opt.threads))
	opt.tables = sync.OnceValue(func() *thread.Tables { return thread.NewTables(own...) })
	return badInput(flagFault("threads", err))
}

// threadFor reads the thread that a flag names.
func threadFor(tables *thread.Tables, flag, text string) (thread.Thread, error) {
	if text == "" {
		return thread.Thread{}, fault.At(flag, "", `it is missing; write a thread like "1 3/4-12 UN", "G 1 1/2" or "M45x1.5"`)
	}
	t, err := tables.Parse(text)
	return t, flagFault(flag, err)
}

// profiles returns the printer profiles, with those of the user's folder when there is one.
func (opt *shared) profiles() (printer.Profiles, error) {
	if opt.printers != "" {
		if _, err := os.ReadDir(opt.printers); err != nil {
			return nil, flagFault("printers", err)
		}
	}
	list, err := printer.Load(opt.printers)
	return list, badInput(err)
}

// printer finds the profile that is named, "" for none.
func (opt *shared) printer(name string) (p printer.Profile, err error) {
	printers, err := opt.profiles()
	if err == nil {
		p, err = printers.Find(name)
	}
	return p, flagFault("printer", err)
}

// lookUp finds the threads that text asks for, and of several only those that have the class.
func lookUp(tables *thread.Tables, text, class string) ([]threadInfo, error) {
	found := tables.Search(text)
	if _, err := tables.Parse(text); len(found) == 0 || len(found) == 1 && errors.Is(err, thread.ErrWhich) {
		return nil, err // it knows what was perhaps meant, and what a word leaves open
	}
	var infos []threadInfo
	var without error
	for _, t := range found {
		info, err := tellThread(t, class)
		if err != nil {
			without = fault.Fault{Field: "class", Read: class, Want: err.Error(), Cause: err}
			continue
		}
		infos = append(infos, info)
	}
	if len(infos) == 0 {
		return nil, without
	}
	return infos, nil
}

func tellThread(t thread.Thread, class string) (threadInfo, error) {
	info := threadInfo{
		Designation: t.Designation, Source: t.Source(), Uses: []string{}, Figures: build.FiguresOf(t), Basic: t.Basic,
	}
	for _, use := range thread.UsesOf(t.Designation) {
		info.Uses = append(info.Uses, use.What)
	}
	if len(info.Uses) == 0 && t.Use() != "" {
		info.Uses = append(info.Uses, t.Use())
	}
	info.Shared = t.SharedWith()
	err := t.Makeable()
	if err != nil {
		info.NotMade = err.Error()
	}
	if info.External, err = tellLimits(t, class, true); err != nil {
		return info, err
	}
	info.Internal, err = tellLimits(t, class, false)
	return info, err
}

// tellLimits leaves all limits open for a thread that no standard limits.
func tellLimits(t thread.Thread, class string, external bool) (thread.Limits, error) {
	l, err := t.Limits(class, external)
	if errors.Is(err, thread.ErrNoLimits) && class == "" {
		return thread.Limits{}, nil
	}
	return l, err
}

// tell tells one thread in full.
func (t threadInfo) tell(s *screen) string {
	taper := ""
	if t.Taper > 0 {
		taper = fmt.Sprintf(", taper 1:%s; diameters in the gauge plane", decimal(unit.Round(1/t.Taper)))
	}
	angle := decimal(t.AngleDeg)
	if f := t.FlanksDeg; math.Abs(f[0]-f[1]) > 1e-6 {
		angle = decimal(f[0]) + "/" + decimal(f[1])
	}
	s.say("%s: %s over the crests, pitch %s, %s to the inch, %s degrees, %s, %s hand%s.", t.Designation, t.Basic.Major, unit.MM(t.PitchMM).TextMM(),
		decimal(math.Round(unit.MMPerInch/t.PitchMM*1000)/1000), angle, number(t.Starts, "start", "starts"), t.Hand, taper)
	s.gap()
	for _, use := range t.Uses {
		s.add("Found on: %s (common practice).", use)
	}
	if t.Shared != "" {
		s.add("Shared with dangerous joints: %s.", t.Shared)
	}
	if t.NotMade != "" {
		s.say("%s.", t.NotMade)
	}
	by := cmp.Or(t.Standard, "the figures in its name")
	if s.details && t.Standard != "" {
		by = t.Source
	}
	s.add("By %s.", by)
	limited := t.External != thread.Limits{} || t.Internal != thread.Limits{}
	if !limited {
		s.add("No standard gives it limits of size.")
	}
	for _, in := range []struct {
		name string
		text func(unit.Length) string
	}{
		{"mm", func(l unit.Length) string { return fmt.Sprintf("%.3f", l.MM()) }},
		{"inch", func(l unit.Length) string { return fmt.Sprintf("%.4f", l.Inches()) }},
	} {
		row := func(name string, basic unit.Length, limits ...*unit.Length) []string {
			cells := []string{name, in.text(basic)}
			if limited {
				cells = append(cells, limitWords(limits[0], limits[1], in.text), limitWords(limits[2], limits[3], in.text))
			}
			return cells
		}
		e, i := t.External, t.Internal
		head := []string{in.name, "basic"}
		if limited {
			head = append(head, "external", "internal")
		}
		s.gap()
		s.table(head,
			row("major diameter", t.Basic.Major, e.MajorMin, e.MajorMax, i.MajorMin, i.MajorMax),
			row("pitch diameter", t.Basic.Pitch, e.PitchMin, e.PitchMax, i.PitchMin, i.PitchMax),
			row("minor diameter", t.Basic.Minor, e.MinorMin, e.MinorMax, i.MinorMin, i.MinorMax))
	}
	return command("gauge", t.Designation)
}

// limitWords tells what limits a diameter, a side of it being nil where the standard leaves it open.
func limitWords(least, most *unit.Length, text func(unit.Length) string) string {
	switch {
	case least != nil && most != nil:
		return text(*least) + " to " + text(*most)
	case least != nil:
		return "at least " + text(*least)
	case most != nil:
		return "at most " + text(*most)
	}
	return "open"
}

// tellThreads lists threads.
func tellThreads(s *screen, list []threadInfo) string {
	s.say("%d threads; basic diameters, of taper threads those in the gauge plane.", len(list))
	s.gap()
	var rows [][]string
	mm := func(x float64) string { return fmt.Sprintf("%.3f", x) }
	for _, t := range list {
		rows = append(rows, []string{t.Designation, mm(t.PitchMM), mm(t.Basic.Major.MM()), mm(t.Basic.Pitch.MM()), mm(t.Basic.Minor.MM()), fmt.Sprintf("%.4f in", t.Basic.Major.Inches())})
		if len(t.Uses) > 0 {
			rows = append(rows, []string{strings.Join(t.Uses, "; ")})
		}
		if s.details {
			rows = append(rows, []string{t.Source})
		}
	}
	s.table([]string{"thread, mm", "pitch", "major", "pitch diameter", "minor", "major"}, rows...)
	return command("threads", list[0].Designation)
}
