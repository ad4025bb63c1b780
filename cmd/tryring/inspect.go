package main

// This file holds `tryring inspect`.

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/fault"
	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// inspection is what was found of a file, as scripts read it.
type inspection struct {
	Sound bool `json:"sound"`
	mesh.Soundness
	fileInfo
	Triangles int             `json:"triangles"`
	WallMM    float64         `json:"wall_mm"`
	Inner     *caliper.Thread `json:"inner"`
	Outer     *caliper.Thread `json:"outer"`
	// Threads are all threads in the file; NotMeasured says what of them was not, and why.
	Threads     []caliper.Found `json:"threads"`
	NotMeasured []string        `json:"not_measured"`
	// Kept are the readings that a job was given.
	Kept    []reading.Record `json:"kept,omitempty"`
	Checks  []check.Finding  `json:"checks"`
	Caution []string         `json:"caution"`
	// innerWhy and outerWhy say why a thread was not found.
	innerWhy, outerWhy string
}

// inspectFlags are what inspect is told beside the file.
type inspectFlags struct {
	inner, outer, printer, ring, unit string
	keep                              inspectKeep
}

func newInspect(opt *shared) *cobra.Command {
	var flags inspectFlags
	cmd := &cobra.Command{
		Use:   "inspect FILE",
		Short: "Measure the threads in a part file, and tell whether it will slice and print",
		Long: `Read any part file, STL, 3MF, OBJ or PLY, packed by gzip or zip or not: whether its faces bound a solid, and what the threads in it
measure (lead, starts, hand, three diameters, flank angles, taper), from the faces alone. Only 3MF states its unit; others are taken
in mm, and a file whose figures name a thread in inches is asked about: --unit in. With --inner or --outer the
threads are compared with the thread named: the lead, angle and taper closely, the diameters with room for the clearance that
a printed thread is modelled with. The exit code is 3 when the file is not sound or not as wanted.

Of G-code, a slicer's tool path, the beads are rebuilt and the ideal mates laid over them: whether each thread will go, by how
much, and which layer meets its mate first. With --ring also whether it was sliced at the layer and the size that the ring was
made for. The exit code is 3 when a thread will not go.

` + check.Caution,
		Example: `  tryring inspect part.stl
  tryring inspect part.stl --inner "1 5/8-16 UN" --printer filament-0.4
  tryring inspect part.gcode --ring part.json`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			defer debug.SetGCPercent(debug.SetGCPercent(unhurriedGC))
			if isPath(args[0]) {
				if flags.unit != "" {
					return badInput(fault.At("unit", flags.unit, "G-code states its own"))
				}
				return inspectPath(cmd, opt, args[0], flags)
			}
			if flags.ring != "" {
				return badInput(fault.At("ring", args[0], "it goes with G-code, whose name ends in .gcode"))
			}
			scale, err := flags.keep.check(cmd)
			if err != nil {
				return badInput(err)
			}
			subject, err := flags.subject(opt)
			if err != nil {
				return badInput(err)
			}
			tables := opt.tables()
			found, err := inspect(cmd.Context(), args[0], flags.unit, subject, tables)
			if err != nil {
				return badInput(err)
			}
			if flags.keep.asked.path != "" {
				if found.Kept, err = flags.keep.keep(cmd, found, scale, tables, opt.note); err != nil {
					return badInput(err)
				}
			}
			return orNo(opt.show(cmd, found, func(s *screen) string { return found.tell(s, args[0], flags) }),
				check.Worst(found.Checks) == check.Stop && found.Kept == nil) // a scan is open
		},
	}
	cmd.Flags().StringVar(&flags.inner, "inner", "", "`THREAD` wanted inside")
	cmd.Flags().StringVar(&flags.outer, "outer", "", "`THREAD` wanted outside")
	cmd.Flags().StringVar(&flags.ring, "ring", "", "`NAME.json` of the ring that G-code was sliced from")
	cmd.Flags().StringVar(&flags.unit, "unit", "", "`UNIT` of the file: mm or in (default: what it states, else mm)")
	cmd.Flags().StringVar(&flags.printer, "printer", "", "`NAME` of the printer profile to judge for (default: none)")
	flags.keep.add(cmd)
	return cmd
}

// inspectTolMM is how far a diameter in a file may lie from the basic size, in mm, beside what layers do to the thread: the clearance
// and the compensation that printed threads are modelled with, up to 0.4 mm and 0.2 mm (common practice, no published source).
const inspectTolMM = 0.6

// subject settles what the file is to be compared with.
func (f inspectFlags) subject(opt *shared) (s check.Subject, err error) {
	p, named, err := f.named(opt)
	s.Printer = p
	for k, to := range []**check.Wanted{&s.Inner, &s.Outer} {
		if named[k] != nil {
			*to = wanted(*named[k])
		}
	}
	return s, err
}

// named settles the printer and the threads inside and outside, nil for none. What is wrong with a thread is laid to the ring whose it is.
func (f inspectFlags) named(opt *shared) (p printer.Profile, named [2]*thread.Thread, err error) {
	if p, err = opt.printer(f.printer); err != nil {
		return p, named, err
	}
	var faults []error
	for k, side := range [2][2]string{{"inner", f.inner}, {"outer", f.outer}} {
		flag, text := side[0], side[1]
		if text == "" {
			continue
		}
		if f.ring != "" {
			flag = "ring"
		}
		t, err := opt.tables().Parse(text)
		named[k], faults = &t, append(faults, flagFault(flag, err))
	}
	return p, named, errors.Join(faults...)
}

func wanted(t thread.Thread) *check.Wanted {
	w := check.WantedThread(t, t.Basic)
	w.TolMM, w.AnyPlane = inspectTolMM+printer.Unnamed().Layers(t, printer.Outside).Pitch.MM(), true
	return w
}

// manyFaces is how many faces a file may have for its memory not to be collected before it is measured, and hurriedGC what else holds.
const manyFaces, hurriedGC = 300_000, 100

// inspect reads and measures the file at path.
func inspect(ctx context.Context, path, unitAsked string, s check.Subject, tables *thread.Tables) (inspection, error) {
	part, file, err := readPart(ctx, path, unitAsked)
	if err != nil {
		return inspection{}, err
	}
	if len(part.Faces) > manyFaces {
		debug.SetGCPercent(hurriedGC)
	}
	var sound mesh.Soundness
	var judged sync.WaitGroup
	judged.Go(func() { sound = mesh.Audit(part.Mesh) })
	report, err := caliper.Measure(part.Mesh, caliper.DefaultOptions())
	judged.Wait()
	if err == nil && sound.MisorientedEdges > 0 { // what is in and what is out is told by the faces
		report, err = caliper.Measure(mesh.Oriented(part.Mesh), caliper.DefaultOptions())
	}
	if err != nil {
		return inspection{}, fmt.Errorf("%s: %w", path, err)
	}
	s.Soundness, s.Measured, s.Part = &sound, &report, part
	sound.VolumeMM3 = unit.Round(sound.VolumeMM3)
	notMeasured := append([]string{}, report.Partial...)
	if len(report.Threads) > 0 {
		believed := reading.Believe(tables, reading.Any)
		for i := range report.Threads {
			t := &report.Threads[i]
			notMeasured = append(notMeasured, t.NotMeasured()...)
			t.Candidates = t.Identify(believed)
		}
	}
	checks := append(check.All(s), file.askUnit(tables, report.Threads, unitAsked)...)
	return inspection{
		fileInfo: file,
		Threads:  append([]caliper.Found{}, report.Threads...), NotMeasured: notMeasured,
		Sound: sound.Sound(), Soundness: sound, Triangles: len(part.Faces), WallMM: unit.Round(report.WallMM),
		Inner: report.Inner, Outer: report.Outer, Checks: checks, Caution: []string{check.Caution},
		innerWhy: report.InnerWhy, outerWhy: report.OuterWhy,
	}, nil
}

// tell tells the findings to a person. The next step names a thread that nobody named, or shows all that was found.
func (f inspection) tell(s *screen, path string, asked inspectFlags) string {
	verdict := "bounds a solid"
	named := asked.inner != "" || asked.outer != ""
	switch {
	case !f.Sound && len(f.Threads) > 0 && f.OpenEdges > 0 && len(f.Faults()) == 1:
		verdict = "is an open skin, good for measuring and not for printing"
	case !f.Sound:
		verdict = "is not sound"
	case check.Worst(f.Checks) == check.Stop:
		verdict = "is not as wanted"
	case named:
		verdict = "is sound, and as wanted"
	}
	s.say("%s %s: %s, %.2f cm3.", path, verdict, number(f.Triangles, "triangle", "triangles"), f.VolumeMM3/1000)
	s.gap()
	f.tellThreads(s)
	s.gap()
	s.checks(f.Checks)
	mm := func(x float64) string { return fmt.Sprintf("%.3fmm", x) }
	switch {
	case f.Kept != nil:
		s.add("Kept: %s.", strings.Join(reading.Told(f.Kept), "; "))
		return command("job", asked.keep.asked.path)
	case f.UnitQuestion != nil:
		asked.unit = f.UnitQuestion.Unit
		return command(asked.words(path)...)
	case named && !s.details:
		return command(append(asked.words(path), "--details")...)
	case !named && asked.likely(f.Threads):
		return command(asked.words(path)...)
	case !named && f.Outer != nil:
		return command("identify", "--outside", mm(f.Outer.MajorMM), "--pitch", mm(f.Outer.PitchMM))
	case !named && f.Inner != nil:
		return command("identify", "--bore", mm(f.Inner.MinorMM), "--pitch", mm(f.Inner.PitchMM))
	}
	return ""
}

// likely asks for the likeliest threads inside and outside, and says whether there is any.
func (f *inspectFlags) likely(threads []caliper.Found) bool {
	for _, t := range threads {
		to := &f.inner
		if t.Side == "outer" {
			to = &f.outer
		}
		if c, likely := likeliest(t); likely && *to == "" {
			*to = c.Designation
		}
	}
	return f.inner != "" || f.outer != ""
}

// words are the command that asked.
func (f inspectFlags) words(path string) []string {
	words := []string{"inspect", path}
	for _, flag := range [][2]string{{"--inner", f.inner}, {"--outer", f.outer}, {"--printer", f.printer}, {"--ring", f.ring}, {"--unit", f.unit}} {
		if flag[1] != "" {
			words = append(words, flag[:]...)
		}
	}
	return words
}
