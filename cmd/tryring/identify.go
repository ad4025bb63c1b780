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
			tables, err := opt.tables()
			if err != nil {
				return err
			}
			return asked.settle(cmd, tables, opt.note, func(d *job.Document, found identity.Identity) error {
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
	flags.BoolVar(&asked.showsParts, "parts", false, "list the parts of each uncertainty")
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
	profiles, err := opt.profiles()
	if err != nil {
		return err
	}
	p, err := profiles.Find(r.asked.printer)
	if err != nil {
		return badInput(flagFault("printer", err))
	}
	r.apart = r.TellApart(reading.Printer{Name: p.Name, InsideU: p.InsideU, OutsideU: p.OutsideU, MinPitch: p.MinPitch})
	return nil
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
	DepthMM          *float64   `json:"depth_mm"`
	UDepthMM         *float64   `json:"u_depth_mm"`
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

// questionInfo asks what a person may have done otherwise than said.
type questionInfo struct {
	Text        string  `json:"text"`
	If          string  `json:"if"`
	Designation string  `json:"designation"`
	Weight      float64 `json:"weight"`
}

// identifyInfo is the whole answer for scripts.
type identifyInfo struct {
	Estimate       estimateInfo        `json:"estimate"`
	Candidates     []candidateInfo     `json:"candidates"`
	Among          string              `json:"among"`
	Prior          string              `json:"prior"`
	Notes          []string            `json:"notes"`
	Contradictions []contradictionInfo `json:"contradictions"`
	Questions      []questionInfo      `json:"questions"`
	Names          *namesInfo          `json:"names"`
	Next           *nextInfo           `json:"next"`
	TellApart      []apartInfo         `json:"tell_apart,omitempty"`
	Caution        []string            `json:"caution"`
}

func (r identifyReport) info() identifyInfo {
	info := identifyInfo{
		Estimate: tellEstimate(r.Answer), Among: string(r.Among), Prior: r.Among.Prior(), Notes: r.notes(),
		Contradictions: []contradictionInfo{}, Questions: []questionInfo{}, Caution: []string{check.Caution},
	}
	for _, c := range r.Candidates {
		info.Candidates = append(info.Candidates, candidateInfo{c.Designation, c.Standard, c.Weight, c.Why})
	}
	for _, c := range r.Found.Contradictions {
		info.Contradictions = append(info.Contradictions, contradictionInfo(c))
	}
	for _, q := range r.Questions {
		info.Questions = append(info.Questions, questionInfo{q.Text, q.If, q.Designation, told(q.Weight)})
	}
	if r.Names != nil {
		info.Names = &namesInfo{r.Names.ByBore, r.Names.ByOutside}
	}
	if n := r.Next; n != nil {
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
	info.DepthMM, info.UDepthMM, _ = tellValue(f.Depth)
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
