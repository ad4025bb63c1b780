package main

// This file holds `tryring identify`: its flags, and what it tells scripts.

import (
	"github.com/spf13/cobra"

	"tryring/internal/check"
	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/trial"
	"tryring/internal/unit"
)

// identifyAsked is what the flags ask for.
type identifyAsked struct {
	record    reading.Batch
	job       jobNotes
	among     string
	tellApart bool
	printer   string
	parts     bool
}

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
			report, err := identify(opt, asked)
			if err != nil {
				return err
			}
			if opt.json {
				err = printJSON(cmd.OutOrStdout(), report.info())
			} else {
				err = report.print(cmd.OutOrStdout())
			}
			if err != nil {
				return err
			}
			return asked.job.keep(opt, asked.record, report.answer, cmd.ErrOrStderr())
		},
	}
	flags, r := cmd.Flags(), &asked.record
	flags.StringArrayVar(&r.Outside, "outside", nil, "outside diameter `LENGTH` over the crests of an external thread")
	flags.StringArrayVar(&r.Bore, "bore", nil, "bore `LENGTH` from crest to crest of an internal thread")
	flags.StringArrayVar(&r.Throat, "throat", nil, "throat `LENGTH`: the smooth opening behind or through the thread")
	flags.StringArrayVar(&r.Length, "length", nil, "how much `LENGTH` is threaded")
	flags.StringArrayVar(&r.Count, "count", nil, "crests counted from the first to the last, both included: `N`")
	flags.StringArrayVar(&r.Over, "over", nil, "`LENGTH` from the first crest counted to the last")
	flags.StringVar(&r.Counted, "counted", string(reading.Crests), "what --count counted: `crests` or spaces")
	flags.StringArrayVar(&r.TPI, "tpi", nil, "threads to the inch, `N`, such as 14 or 11 1/2")
	flags.StringArrayVar(&r.Pitch, "pitch", nil, "pitch, `LENGTH` or threads to the inch (1.5mm, 14tpi)")
	flags.StringArrayVar(&r.Leaf, "leaf", nil, "pitch-gauge leaf that seats: its `PITCH`")
	flags.StringArrayVar(&r.NoLeaf, "no-leaf", nil, "pitch-gauge leaf that does not seat: its `PITCH`")
	flags.StringVar(&r.Angle, "angle", "", "angle between the flanks in `DEGREES`, 55 or 60, if it is known")
	flags.StringVar(&r.Tapers, "tapers", "", "`yes` or no: whether the diameter grows along the thread")
	flags.StringArrayVar(&r.OverWires, "over-wires", nil, "`LENGTH` over three wires")
	flags.StringVar(&r.Wire, "wire", "", "diameter `LENGTH` of those wires")
	flags.StringVar(&r.Instrument, "instrument", "", "what lengths were read with: `caliper`, dial, ruler or tape (caliper when left out)")
	flags.BoolVar(&r.Worn, "worn", false, "the thread is worn, or cut small for plating or paint: it may read under (external) or over (internal) its limits")
	flags.StringVar(&asked.among, "among", string(reading.Any), "what the thread belongs to: drain, supply, hose, machine or `any`")
	flags.BoolVar(&asked.tellApart, "tell-apart", false, "say for each leading pair whether a printed ring can tell them apart, and which")
	flags.StringVar(&asked.printer, "printer", "", "printer profile `NAME` for --tell-apart")
	flags.BoolVar(&asked.parts, "parts", false, "also list the parts of each uncertainty")
	asked.job.flags(cmd)
	return cmd
}

// identifyReport is everything that identify found.
type identifyReport struct {
	answer reading.Answer
	next   *reading.Next
	names  *reading.Names
	// otherwise is the best candidate had the counts been taken the other way; nil without counts.
	otherwise *reading.Candidate
	apart     []reading.Apart
	asked     identifyAsked
	// tries is how many rings that were tried, kept in the job, are weighed in.
	tries int
}

// identify reads the record and weighs the threads.
func identify(opt *shared, asked identifyAsked) (identifyReport, error) {
	among, err := reading.ParseAmong(asked.among)
	if err != nil {
		return identifyReport{}, badInput(flagFault("among", err))
	}
	records, err := asked.job.records(asked.record)
	if err != nil {
		return identifyReport{}, badInput(err)
	}
	set, err := reading.Read(reading.Flag, records...)
	if err != nil {
		return identifyReport{}, badInput(err)
	}
	tables, err := opt.tables()
	if err != nil {
		return identifyReport{}, err
	}
	r := identifyReport{answer: reading.Identify(tables, set, among), asked: asked}
	if asked.job.path != "" {
		if r.answer, r.tries, err = trial.WithTries(asked.job.path, asked.job.side, r.answer, tables); err != nil {
			return identifyReport{}, badInput(err)
		}
	}
	r.next, r.names = r.answer.Next(), r.answer.Names()
	if other, ok := set.CountedOtherwise(); ok {
		best := reading.Identify(tables, other, among).Candidates[0]
		r.otherwise = &best
	}
	if asked.tellApart {
		profiles, err := printer.Load(opt.printers)
		if err != nil {
			return identifyReport{}, badInput(err)
		}
		p, err := profiles.Find(asked.printer)
		if err != nil {
			return identifyReport{}, badInput(flagFault("printer", err))
		}
		r.apart = r.answer.TellApart(reading.Printer{Name: p.Name, InsideU: p.InsideU, OutsideU: p.OutsideU, MinPitch: p.MinPitch})
	}
	return r, nil
}

// estimateInfo is what was read, in mm with standard uncertainties; null where nothing says it.
type estimateInfo struct {
	Side             string     `json:"side"`
	MajorMM          *float64   `json:"major_mm"`
	UMajorMM         *float64   `json:"u_major_mm"`
	MajorRangeMM     *[]float64 `json:"major_95_mm"`
	MinorMM          *float64   `json:"minor_mm"`
	UMinorMM         *float64   `json:"u_minor_mm"`
	MinorRangeMM     *[]float64 `json:"minor_95_mm"`
	PitchMM          *float64   `json:"pitch_mm"`
	UPitchMM         *float64   `json:"u_pitch_mm"`
	PitchRangeMM     *[]float64 `json:"pitch_95_mm"`
	TPI              *float64   `json:"tpi"`
	UTPI             *float64   `json:"u_tpi"`
	PitchDiameterMM  *float64   `json:"pitch_diameter_mm"`
	UPitchDiameterMM *float64   `json:"u_pitch_diameter_mm"`
	ThroatMM         *float64   `json:"throat_mm"`
	UThroatMM        *float64   `json:"u_throat_mm"`
	LengthMM         *float64   `json:"length_mm"`
	ULengthMM        *float64   `json:"u_length_mm"`
	AngleDeg         *float64   `json:"angle_deg"`
	Tapers           *bool      `json:"tapers"`
	Worn             bool       `json:"worn"`
}

type candidateInfo struct {
	Designation string  `json:"designation"`
	Standard    string  `json:"standard"`
	Weight      float64 `json:"weight"`
	Why         string  `json:"why"`
}

type furtherInfo struct {
	What     string  `json:"what"`
	Then     string  `json:"then"`
	GainBits float64 `json:"gain_bits"`
}

type nextInfo struct {
	Between  [2]string     `json:"between"`
	OpenBits float64       `json:"open_bits"`
	Best     *furtherInfo  `json:"best"`
	Others   []furtherInfo `json:"others"`
}

type namesInfo struct {
	ByBore    string `json:"by_bore"`
	ByOutside string `json:"by_outside"`
}

type apartInfo struct {
	Between      [2]string `json:"between"`
	Can          bool      `json:"can"`
	Ring         string    `json:"ring"`
	DifferenceMM float64   `json:"difference_mm"`
	ClearanceMM  float64   `json:"clearance_mm"`
	UMM          float64   `json:"u_mm"`
	ErrorChance  float64   `json:"error_chance"`
	Why          string    `json:"why"`
}

type contradictionInfo struct {
	Text  string `json:"text"`
	Again string `json:"again"`
}

// identifyInfo is the whole answer for scripts.
type identifyInfo struct {
	Estimate       estimateInfo        `json:"estimate"`
	Candidates     []candidateInfo     `json:"candidates"`
	Among          string              `json:"among"`
	Prior          string              `json:"prior"`
	Notes          []string            `json:"notes"`
	Contradictions []contradictionInfo `json:"contradictions"`
	Names          *namesInfo          `json:"names"`
	Next           *nextInfo           `json:"next"`
	TellApart      []apartInfo         `json:"tell_apart,omitempty"`
	Caution        []string            `json:"caution"`
}

func (r identifyReport) info() identifyInfo {
	info := identifyInfo{
		Estimate: tellEstimate(r.answer), Among: string(r.answer.Among), Prior: r.answer.Among.Prior(), Notes: r.notes(),
		Contradictions: []contradictionInfo{}, Caution: []string{check.Caution},
	}
	for _, c := range r.answer.Candidates {
		info.Candidates = append(info.Candidates, candidateInfo{c.Designation, c.Standard, c.Weight, c.Why})
	}
	for _, c := range r.answer.Found.Contradictions {
		info.Contradictions = append(info.Contradictions, contradictionInfo(c))
	}
	if r.names != nil {
		info.Names = &namesInfo{r.names.ByBore, r.names.ByOutside}
	}
	if n := r.next; n != nil {
		info.Next = &nextInfo{Between: n.Between, OpenBits: told(n.OpenBits), Others: []furtherInfo{}}
		if n.Best != nil {
			info.Next.Best = &furtherInfo{n.Best.What, thenGive(*n.Best), told(n.Best.GainBits)}
		}
		for _, f := range n.Others {
			info.Next.Others = append(info.Next.Others, furtherInfo{f.What, thenGive(f), told(f.GainBits)})
		}
	}
	for _, a := range r.apart {
		info.TellApart = append(info.TellApart, apartInfo{a.Between, a.Can, a.Print, told(a.DifferenceMM), told(a.ClearanceMM), told(a.U), told(a.ErrorChance), a.Why})
	}
	return info
}

func tellEstimate(a reading.Answer) estimateInfo {
	info := estimateInfo{Side: "external", Worn: a.Set.Worn, Tapers: a.Set.Tapers}
	f := a.Found
	if !a.Set.External() {
		info.Side = "internal"
		info.MinorMM, info.UMinorMM, info.MinorRangeMM = tellValue(f.Diameter)
	}
	info.MajorMM, info.UMajorMM, info.MajorRangeMM = tellValue(f.Major)
	info.PitchMM, info.UPitchMM, info.PitchRangeMM = tellValue(f.Pitch)
	if f.Pitch != nil {
		info.TPI = new(told(unit.MMPerInch / f.Pitch.Value))
		info.UTPI = new(told(unit.MMPerInch / f.Pitch.Value * f.Pitch.U / f.Pitch.Value))
	}
	info.PitchDiameterMM, info.UPitchDiameterMM, _ = tellValue(f.PitchDiameter)
	info.ThroatMM, info.UThroatMM, _ = tellValue(f.Throat)
	info.LengthMM, info.ULengthMM, _ = tellValue(f.Length)
	if a.Set.AngleDeg > 0 {
		info.AngleDeg = new(a.Set.AngleDeg)
	}
	return info
}

// tellValue returns value, standard uncertainty and 95 % interval, all nil for nil.
func tellValue(e *reading.Estimate) (value, u *float64, interval *[]float64) {
	if e == nil {
		return nil, nil, nil
	}
	low, high := e.Interval()
	return new(told(e.Value)), new(told(e.U)), &[]float64{told(low), told(high)}
}
