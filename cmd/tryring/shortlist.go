package main

// This file holds `tryring shortlist`.

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"tryring/internal/check"
	"tryring/internal/datafile"
	"tryring/internal/fault"
	"tryring/internal/parts"
	"tryring/internal/thread"
)

// shortlistInfo is the whole answer.
type shortlistInfo struct {
	// Inner goes into the part, the part goes into Outer.
	Inner   string             `json:"inner"`
	Outer   string             `json:"outer"`
	Parts   []parts.Ranked     `json:"-"`
	Skipped []parts.Fault      `json:"skipped"`
	Notes   []string           `json:"notes"`
	Habit   map[string]float64 `json:"habit"`
	Caution []string           `json:"caution"`
}

// writeJSON writes a part a line, after all else.
func (i shortlistInfo) writeJSON(w io.Writer) error {
	head, err := json.Marshal(i)
	if err != nil {
		return err
	}
	out := bufio.NewWriterSize(w, 1<<16)
	out.Write(head[:len(head)-1])
	between := ",\"parts\":[\n"
	var row bytes.Buffer
	rows := json.NewEncoder(&row)
	rows.SetEscapeHTML(false)
	for _, r := range i.Parts {
		// Sides are JSON already, and an encoder would prove them anew for each part; no name holds a quote that is not escaped.
		inner, _ := r.Inner.MarshalJSON()
		outer, _ := r.Outer.MarshalJSON()
		r.Inner, r.Outer = nil, nil
		row.Reset()
		if err := rows.Encode(r); err != nil {
			return err
		}
		before, after, _ := bytes.Cut(row.Bytes(), []byte(`"inner":null,"outer":null`))
		for _, text := range [][]byte{[]byte(between), before, []byte(`"inner":`), inner, []byte(`,"outer":`), outer, after} {
			out.Write(text)
		}
		between = ","
	}
	out.WriteString("]}\n")
	return out.Flush() // which tells the first error
}

type shortlistFlags struct {
	inner, outer, job, columns, unit string
	top                              int
}

func newShortlist(opt *shared) *cobra.Command {
	var f shortlistFlags
	cmd := &cobra.Command{
		Use:   "shortlist PARTS.csv|- --inner THREAD --outer THREAD",
		Short: "Rank the adapters of a parts list by the chance that they join two threads, and say what to ask the shop",
		Long: `Rank the parts of a list by the chance that they join two threads. --inner is the thread that goes into the part (the
part's inner thread takes it), --outer the thread of the fitting that the part goes into, as for tryring ring.

PARTS.csv has a header in plain words: part, inner thread, inner tpi, outer thread, outer tpi; also size, bore, outside
diameter, pitch, with (mm) or (in). Cells may hold whole threads (1 5/8-16), fractions, decimals, inch marks and comma
decimals (then with semicolons between the cells). Bare sizes up to 6 are inches, above that millimetres, unless the header
or --unit says otherwise. Lines copied from a page are a list too, with tabs, pipes or several blanks between the cells; - reads
what is piped in. Numbers on a page are rounded or cut off, and go by the outside or by the bore: 1.6 may be 1.600, 1.625 or
1.6875, 1.5 may be 1 7/8 by its bore; the other numbers of the list tell which habits it has. Rows that cannot be read are
reported by line and left out.`,
		Example: `  tryring shortlist testdata/adapters.csv --inner "1 5/8-16 UN" --outer "1 7/8-14 UNS"
  tryring shortlist list.csv --columns "part,inner thread,outer thread,-" --inner "G 1 1/4" --outer "G 1 1/2" --json`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			tables := opt.tables()
			if args[0] == datafile.Stdin && f.job != "" {
				return badInput(errors.New("a job keeps the name of a list: save what is piped in as a file, and name that"))
			}
			flagged := [2]bool{f.inner != "", f.outer != ""}
			d, err := fromJob(cmd.Context(), f.job)
			if err != nil {
				return badInput(err)
			}
			f.inner, f.outer = cmp.Or(f.inner, d.Inner), cmp.Or(f.outer, d.Outer)
			mates, list, err := f.read(cmd.Context(), tables, args[0], cmd.InOrStdin())
			if err != nil {
				return badInput(err)
			}
			for _, skipped := range list.Skipped {
				opt.note(cmd, "%s: %s; left out", args[0], skipped)
			}
			for _, note := range list.Notes {
				opt.note(cmd, "%s: %s", args[0], note)
			}
			could, err := f.mates(cmd.Context(), tables, mates, flagged)
			if err != nil {
				return badInput(err)
			}
			ranked, err := list.Shortlist(could[0], could[1])
			if err != nil {
				return badInput(err)
			}
			if err := f.keepList(cmd.Context(), args[0], ranked); err != nil {
				return err
			}
			return orNo(opt.show(cmd, tellShortlist(list, ranked, mates), func(s *screen) string { return f.tell(s, list, ranked, mates) }), ranked[0].Chance < parts.OpenFrom)
		},
	}
	useFlag(cmd)
	jobFlag(cmd, &f.job)
	flags := cmd.Flags()
	flags.StringVar(&f.inner, "inner", "", "`THREAD` that goes into the part")
	flags.StringVar(&f.outer, "outer", "", "`THREAD` that the part goes into")
	flags.StringVar(&f.columns, "columns", "", "`NAMES` of the columns in order, with commas between them, for a file without a header; - for one not used")
	flags.StringVar(&f.unit, "unit", "", "`UNIT` of bare sizes, mm or in (default: by the header, or else by the size)")
	flags.IntVar(&f.top, "top", 8, "how many parts the text shows; 0 for all")
	return cmd
}

// read reads both threads and the list.
func (f shortlistFlags) read(ctx context.Context, tables *thread.Tables, path string, in io.Reader) (mates [2]thread.Thread, list *parts.List, err error) {
	for k, side := range []struct{ flag, text string }{{"inner", f.inner}, {"outer", f.outer}} {
		if mates[k], err = threadFor(tables, side.flag, side.text); err == nil {
			err = flagFault(side.flag, mates[k].HandsOff())
		}
		if err != nil {
			return mates, nil, err
		}
	}
	o, err := parts.ReadOptions(f.columns, f.unit)
	if err != nil {
		return mates, nil, err
	}
	o.Tables = tables
	text, err := datafile.List(ctx, path, in, parts.MaxBytes)
	if err != nil {
		return mates, nil, fmt.Errorf("parts list: %w", err)
	}
	if list, err = parts.Read(string(text), o); err != nil {
		var known fault.Fault
		if errors.As(err, &known) {
			known.Want = path + ": " + known.Want
			return mates, nil, known
		}
		return mates, nil, fmt.Errorf("%s: %w", path, err)
	}
	return mates, list, nil
}

func tellShortlist(list *parts.List, ranked []parts.Ranked, mates [2]thread.Thread) shortlistInfo {
	info := shortlistInfo{
		Inner: mates[0].Designation, Outer: mates[1].Designation,
		Caution: []string{check.Caution},
		Parts:   ranked, Skipped: list.Skipped, Notes: list.Notes, Habit: map[string]float64{},
	}
	for h, chance := range list.Habit {
		info.Habit[parts.Habit(h).String()] = chance
	}
	info.Habit["inner by the bore"], info.Habit["outer by the bore"] = list.Bore[0], list.Bore[1]
	return info
}

// shownBore is the share by the bore from which it is told.
const shownBore = 0.5

// tell tells a person which part joins the two threads, what to ask of those that might, and how all rank.
func (f shortlistFlags) tell(s *screen, list *parts.List, ranked []parts.Ranked, mates [2]thread.Thread) string {
	best := ranked[0]
	joins := fmt.Sprintf("%s inside and %s outside", mates[0].Designation, mates[1].Designation)
	if best.Chance < parts.OpenFrom {
		s.say("No part of this list joins %s.", joins)
	} else {
		s.say("%s joins %s, at a chance of %.0f %%.", upper(best.Name), joins, 100*best.Chance)
	}
	s.gap()
	shown := ranked
	if f.top > 0 && len(shown) > f.top && !s.details {
		shown = shown[:f.top]
	}
	var rows [][]string
	for _, r := range shown {
		rows = append(rows, []string{
			fmt.Sprintf("%3.0f %%", 100*r.Chance), r.Name, r.Inner.Thread + ", " + string(r.Inner.Verdict), r.Outer.Thread + ", " + string(r.Outer.Verdict),
		})
	}
	s.table([]string{"chance", "part", "inner thread", "outer thread"}, rows...)
	if rest := len(ranked) - len(shown); rest > 0 {
		s.add("and %d more (--top 0 shows all)", rest)
	}
	s.gap()
	asked, told := map[string][]string{}, map[string]bool{}
	for _, r := range shown {
		if r.Chance < parts.OpenFrom {
			continue
		}
		if s.details {
			s.say("%s", upper(r.Name))
			s.add("inner: %s; %s", r.Inner.Taken, r.Inner.Why)
			s.add("outer: %s; %s", r.Outer.Taken, r.Outer.Why)
		}
		if r.Ask != "" {
			asked[r.Ask] = append(asked[r.Ask], r.Name)
		}
		if len(r.Alike) > 0 && !told[r.Alike[0]] { // the first of those that are alike names the others
			told[r.Name] = true
			s.add("The list does not tell %s from %s.", r.Name, strings.Join(r.Alike, ", "))
		}
	}
	for _, r := range shown {
		if names := asked[r.Ask]; len(names) > 0 && names[0] == r.Name {
			s.add("Of %s, %s.", strings.Join(names, ", "), r.Ask)
		}
	}
	if list.ShowsHabit() {
		s.add("The list's numbers: rounded %.0f %%, cut off %.0f %%, exact %.0f %%.",
			100*list.Habit[parts.Rounds], 100*list.Habit[parts.CutsOff], 100*list.Habit[parts.Exact])
	}
	if list.Bore[0] > shownBore || list.Bore[1] > shownBore {
		s.add("Sizes that go by the bore, without the word: inner %.0f %%, outer %.0f %%.", 100*list.Bore[0], 100*list.Bore[1])
	}
	return command("ring", "--inner", mates[0].Designation, "--outer", mates[1].Designation)
}
