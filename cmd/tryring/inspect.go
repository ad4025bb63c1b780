package main

// This file holds `tryring inspect`.

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// inspection is what was found of a file, as scripts read it.
type inspection struct {
	Sound            bool            `json:"sound"`
	OpenEdges        int             `json:"open_edges"`
	NonmanifoldEdges int             `json:"nonmanifold_edges"`
	MisorientedEdges int             `json:"misoriented_edges"`
	Degenerate       int             `json:"degenerate"`
	Shells           int             `json:"shells"`
	Triangles        int             `json:"triangles"`
	VolumeMM3        float64         `json:"volume_mm3"`
	BoundsMM         [2][3]float64   `json:"bounds_mm"`
	WallMM           float64         `json:"wall_mm"`
	Inner            *caliper.Thread `json:"inner"`
	Outer            *caliper.Thread `json:"outer"`
	Checks           []check.Finding `json:"checks"`
	Caution          []string        `json:"caution"`
	// innerWhy and outerWhy say why a thread was not found.
	innerWhy, outerWhy string
}

// inspectFlags are what inspect is told beside the file.
type inspectFlags struct{ inner, outer, printer string }

func newInspect(opt *shared) *cobra.Command {
	var flags inspectFlags
	cmd := &cobra.Command{
		Use:   "inspect FILE.stl",
		Short: "Measure the threads in an STL file, and tell whether it will slice and print",
		Long: `Read any STL file in millimetres, text or binary: whether its faces bound a solid, and what the threads inside and
outside measure (lead, starts, hand, three diameters, flank angles, taper), from the faces alone. With --inner or --outer the
threads are compared with the thread named: the lead, angle and taper closely, the diameters with room for the clearance that
a printed thread is modelled with. The exit code is 3 when the file is not sound or not as wanted.

` + check.Caution,
		Example: `  tryring inspect part.stl
  tryring inspect part.stl --inner "1 5/8-16 UN" --printer filament-0.4`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			subject, err := flags.subject(opt)
			if err != nil {
				return badInput(err)
			}
			found, err := inspect(args[0], subject)
			if err != nil {
				return badInput(err)
			}
			if opt.json {
				err = printJSON(cmd.OutOrStdout(), found)
			} else {
				err = found.print(cmd.OutOrStdout(), args[0], paint(cmd.OutOrStdout()))
			}
			if err == nil && check.Worst(found.Checks) == check.Stop {
				err = answerNo("%s is not sound, or not as wanted; the checks say where", args[0])
			}
			return err
		},
	}
	cmd.Flags().StringVar(&flags.inner, "inner", "", "`THREAD` wanted inside")
	cmd.Flags().StringVar(&flags.outer, "outer", "", "`THREAD` wanted outside")
	cmd.Flags().StringVar(&flags.printer, "printer", "", "`NAME` of the printer profile to judge for (default: none)")
	return cmd
}

// inspectTolMM is how far a diameter in a file may lie from the basic size, in mm: the clearance and the compensation that
// printed threads are modelled with, up to 0.4 mm and 0.2 mm (common practice, no published source).
const inspectTolMM = 0.6

// subject settles what the file is to be compared with.
func (f inspectFlags) subject(opt *shared) (s check.Subject, err error) {
	printers, err := printer.Load(opt.printers)
	if err != nil {
		return s, err
	}
	if s.Printer, err = printers.Find(f.printer); err != nil {
		return s, fmt.Errorf("--printer: %w", err)
	}
	tables, err := opt.tables()
	if err != nil {
		return s, err
	}
	var faults []error
	want := func(flag, text string) *check.Wanted {
		if text == "" {
			return nil
		}
		t, err := tables.Parse(text)
		if err != nil {
			faults = append(faults, fmt.Errorf("%s: %w", flag, err))
			return nil
		}
		return wanted(t)
	}
	s.Inner, s.Outer = want("--inner", f.inner), want("--outer", f.outer)
	return s, errors.Join(faults...)
}

func wanted(t thread.Thread) *check.Wanted {
	w := check.WantedThread(t, t.Basic)
	w.TolMM, w.AnyPlane = inspectTolMM, true
	return w
}

// inspect reads and measures the file at path.
func inspect(path string, s check.Subject) (inspection, error) {
	m, err := mesh.LoadSTL(path)
	if err != nil {
		return inspection{}, err
	}
	sound := mesh.Audit(m)
	report, err := caliper.Measure(m, caliper.DefaultOptions())
	if err != nil {
		return inspection{}, fmt.Errorf("%s: %w", path, err)
	}
	s.Soundness, s.Measured = &sound, &report
	return inspection{
		Sound: sound.Sound(), OpenEdges: sound.OpenEdges, NonmanifoldEdges: sound.NonmanifoldEdges,
		MisorientedEdges: sound.MisorientedEdges, Degenerate: sound.Degenerate, Shells: sound.Shells,
		Triangles: len(m.Faces), VolumeMM3: told(sound.VolumeMM3), BoundsMM: sound.BoundsMM, WallMM: told(report.WallMM),
		Inner: report.Inner, Outer: report.Outer, Checks: check.All(s), Caution: []string{check.Caution},
		innerWhy: report.InnerWhy, outerWhy: report.OuterWhy,
	}, nil
}

// print tells the findings to a person.
func (f inspection) print(w io.Writer, path string, paint build.Paint) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %d triangles, %.2f cm3\n", path, f.Triangles, f.VolumeMM3/1000)
	for _, side := range []struct {
		name string
		t    *caliper.Thread
		why  string
	}{{"Inside", f.Inner, f.innerWhy}, {"Outside", f.Outer, f.outerWhy}} {
		if side.t == nil {
			fmt.Fprintf(&b, "\n%s: no thread found (%s)\n", side.name, side.why)
			continue
		}
		t := side.t
		fmt.Fprintf(&b, "\n%s: %s, %s hand, %.1f degrees between the flanks, %s to the inch\n", side.name, starts(t.Starts), t.Hand, t.AngleDeg, strconv.FormatFloat(math.Round(unit.MMPerInch/t.PitchMM*1000)/1000, 'f', -1, 64))
		tab := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
		for _, row := range []struct {
			name string
			mm   float64
		}{{"major diameter", t.MajorMM}, {"pitch diameter", t.PitchDMM}, {"minor diameter", t.MinorMM}, {"lead", t.LeadMM}, {"pitch", t.PitchMM}} {
			fmt.Fprintf(tab, "  %s\t%s\n", row.name, unit.MM(row.mm))
		}
		if t.Taper > check.TaperTol {
			fmt.Fprintf(tab, "  taper\t1:%.1f on the diameter; diameters at z = %.2f mm\n", 1/t.Taper, t.RefZMM)
		}
		fmt.Fprintf(tab, "  full form\tz from %.2f to %.2f mm\n", t.ZMM[0], t.ZMM[1])
		_ = tab.Flush() // into a strings.Builder, which cannot fail
	}
	b.WriteString("\nChecks\n")
	build.WriteChecks(&b, f.Checks, paint)
	_, err := io.WriteString(w, b.String())
	return err
}

// starts says a number of starts.
func starts(n int) string {
	if n == 1 {
		return "1 start"
	}
	return fmt.Sprintf("%d starts", n)
}
