package main

// This file holds `tryring identify`: its flags, and what it tells scripts.

import (
	"github.com/spf13/cobra"

	"tryring/internal/check"
	"tryring/internal/identity"
	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/unit"
)

func newIdentify(opt *shared) *cobra.Command {
	var asked identifyAsked
	cmd := &cobra.Command{
		Use:   "identify",
		Short: "Say which threads a thread could be, from what a caliper, a ruler and a pitch gauge read",
		Long: `Say which threads readings could stand for, with a chance for each, and which further reading would tell most.

Lengths are written as people write them (47.5mm, 1.872in, 1 7/8). A flag that is repeated gives repeated readings. "±" or
"+-" behind a reading ("47.5mm+-0.1") is its uncertainty; without it the instrument's own figures hold.

Count crests from the first to the last, both included, and measure from the first to the last: 15 crests span 14 pitches.
Whoever counted spaces, or full turns, says --counted spaces.`,
		Example: `  tryring identify --outside 1.872in --count 15 --over 1in
  tryring identify --outside 47.6mm --outside 47.55mm --tpi 14 --throat 1.5in --among drain
  tryring identify --bore 18.9mm --count 12 --over 20mm --angle 55 --instrument ruler
  tryring identify --outside 20.9mm --tpi 14 --tell-apart --printer filament-0.4
  tryring identify --job tub.toml --side stays --bore 45.6mm --tpi 14 --take 1`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return asked.settle(cmd, opt.tables(), opt.note, func(d *job.Document, found identity.Identity) error {
				opt.changing = d
				report := identifyReport{Identity: found, asked: asked}
				if err := report.tellApart(opt); err != nil {
					return err
				}
				return opt.show(cmd, report.info(), report.tell)
			})
		},
	}
	asked.readings.add(cmd)
	asked.jobFlags(cmd)
	flags := cmd.Flags()
	flags.BoolVar(&asked.tellApart, "tell-apart", false, "say for each leading pair whether a printed ring can tell them apart, and which")
	flags.StringVar(&asked.printer, "printer", "", "printer profile `NAME` for --tell-apart")
	return cmd
}

// identifyReport is everything that identify found.
type identifyReport struct {
	identity.Identity
	apart []reading.Apart
	asked identifyAsked
}

// tellApart says which leading threads a printed ring could tell apart, where that is asked.
func (r *identifyReport) tellApart(opt *shared) error {
	if !r.asked.tellApart {
		return nil
	}
	p, err := opt.printer(r.asked.printer)
	if err != nil {
		return badInput(err)
	}
	r.apart = r.TellApart(p)
	return nil
}

// identifyInfo is the whole answer for scripts.
type identifyInfo struct {
	Estimate       map[string]any          `json:"estimate"`
	Candidates     []reading.Candidate     `json:"candidates"`
	Among          string                  `json:"among"`
	Prior          string                  `json:"prior"`
	Notes          []string                `json:"notes"`
	Contradictions []reading.Contradiction `json:"contradictions"`
	Questions      []reading.Question      `json:"questions"`
	Names          *reading.Names          `json:"names"`
	Next           *reading.Next           `json:"next"`
	TellApart      []reading.Apart         `json:"tell_apart,omitempty"`
	Caution        []string                `json:"caution"`
}

func (r identifyReport) info() identifyInfo {
	return identifyInfo{
		Estimate: tellEstimate(r.Answer), Candidates: r.Candidates, Among: string(r.Among), Prior: r.Among.Prior(), Notes: r.notes(),
		Contradictions: append([]reading.Contradiction{}, r.Found.Contradictions...), Questions: append([]reading.Question{}, r.Questions...), Names: r.Names, Next: r.Next,
		TellApart: r.apart, Caution: []string{check.Caution},
	}
}

// tellEstimate is what was read: each size in mm, its standard uncertainty (u_…) and where it lies with a chance of 95 %;
// null where nothing says it.
func tellEstimate(a reading.Answer) map[string]any {
	f := a.Found
	info := map[string]any{"side": "external", "worn": a.Set.Worn, "tapers": a.Set.Tapers, "angle_deg": nil, "tpi": nil, "u_tpi": nil}
	bore := f.Diameter
	if a.Set.External() {
		bore = nil
	} else {
		info["side"] = "internal"
	}
	for key, e := range map[string]*reading.Estimate{
		"major": f.Major, "minor": bore, "pitch": f.Pitch, "pitch_diameter": f.PitchDiameter, "throat": f.Throat, "depth": f.Depth, "length": f.Length,
	} {
		putEstimate(info, key, "_mm", e)
	}
	if p := f.Pitch; p != nil {
		perInch := unit.MMPerInch / p.Value
		info["tpi"], info["u_tpi"] = unit.Round(perInch), unit.Round(perInch*p.U/p.Value)
	}
	if a.Set.AngleDeg > 0 {
		info["angle_deg"] = a.Set.AngleDeg
	}
	return info
}

// putEstimate tells an estimate, its standard uncertainty (u_…) and where it lies with a chance of 95 % (…_95); null where e is nil.
func putEstimate(info map[string]any, name, unitWord string, e *reading.Estimate) {
	value, u, range95 := name+unitWord, "u_"+name+unitWord, name+"_95"+unitWord
	info[value], info[u], info[range95] = nil, nil, nil
	if e != nil {
		low, high := e.Interval()
		info[value], info[u], info[range95] = unit.Round(e.Value), unit.Round(e.U), [2]float64{unit.Round(low), unit.Round(high)}
	}
}
