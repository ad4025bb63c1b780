package main

// This file holds `tryring gauge`.

import (
	"errors"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/gauge"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// gaugeFlags are the flags of `tryring gauge`.
type gaugeFlags struct {
	asked     gauge.Gauge
	printer   string
	name, out string
	drawer    string
	chord     *unit.Length
	force     bool
}

func newGauge(opt *shared) *cobra.Command {
	var flags gaugeFlags
	cmd := &cobra.Command{
		Use:   "gauge THREAD | --drawer LIST.csv",
		Short: "Make go and no-go gauges for a thread, or a drawer full of them",
		Long: `Make the gauges that judge parts with THREAD: ring gauges for external threads, plug gauges for internal ones. The go
gauge has the full form at the maximum-material limit over the length of engagement and must go all the way; the no-go
gauge has the minimum-material pitch diameter with cleared crests and roots and must not go on past the turns that its
standard allows. The limits are those of the thread's standard and class; a thread that no standard limits takes the range
of its readings, "44.4mm+-0.1 x 12tpi" or --tolerance. A taper thread (NPT, R, Rc) has one gauge with two steps, and the
part's end must stop between them when it is hand tight.

A printed gauge is not a calibrated one. With the printer's uncertainty the card says which parts the pair surely passes,
surely refuses, and leaves undecided, and whether the printer can resolve the tolerance at all. Before anything is made it is
told which gauges would decide nothing, and with which layer or printer they would.

With --drawer a list makes a whole drawer: every gauge, plates that fill the printer's bed, a tray with a labelled well for
each gauge, and an index card. The list is CSV with a heading (thread, kind, limit, class, tolerance) or TOML with a
[[gauge]] for each line. A second run makes only what is missing or changed.

` + check.Caution,
		Example: `  tryring gauge "1/4-20 UNC-2A" --printer filament-0.25
  tryring gauge M20 --kind plug --limit no-go --class 6H
  tryring gauge "44.4mm+-0.1 x 12tpi"
  tryring gauge "1/2-14 NPT" --kind plug
  tryring gauge --drawer LIST.csv --printer resin --out drawer`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			j, err := flags.job(opt)
			if err != nil {
				return badInput(err)
			}
			if len(args) == 1 {
				flags.asked.Thread = args[0]
			}
			if flags.drawer != "" {
				return flags.makeDrawer(cmd, opt, j)
			}
			return flags.makeGauges(cmd, opt, j)
		},
	}
	useFlag(cmd)
	f := cmd.Flags()
	f.StringVar(&flags.asked.Kind, "kind", "", "`KIND` of gauge: ring or plug (default: the one that judges the class, or else ring)")
	f.StringVar(&flags.asked.Limit, "limit", "", "`LIMIT`: go, no-go or both (default: both)")
	f.StringVar(&flags.asked.Class, "class", "", "tolerance `CLASS` of the parts (default: that of the thread's name, or else the usual one)")
	f.Var(lengthFlag{&flags.asked.Tolerance}, "tolerance", "how far the parts' diameters may lie from basic size either way, in place of a standard's limits")
	f.StringVar(&flags.printer, "printer", "", "`NAME` of the printer profile to compensate for (see tryring printers; default: none)")
	f.StringVar(&flags.name, "name", "", "`NAME` of the card and the JSON, without ending (default: made of the thread)")
	f.StringVar(&flags.out, "out", build.DefaultOut, "`DIR` for the files")
	f.StringVar(&flags.drawer, "drawer", "", "`LIST` of gauges (.csv or .toml) to make as a drawer with plates, tray and card")
	f.Var(lengthFlag{&flags.chord}, "chord", "how far the mesh may lie from the ideal surface (default: "+build.DefaultChord.TextMM()+")")
	f.BoolVar(&flags.force, "force", false, "replace files that exist")
	return cmd
}

// job settles how and where gauges are made.
func (g gaugeFlags) job(opt *shared) (gauge.Job, error) {
	p, err := opt.printer(g.printer)
	if err != nil {
		return gauge.Job{}, err
	}
	return gauge.NewJob(p, g.chord)
}

// makeGauges makes the gauges of one thread.
func (g gaugeFlags) makeGauges(cmd *cobra.Command, opt *shared, j gauge.Job) error {
	if g.asked.Thread == "" {
		return badInput(errors.New(`name the thread that the parts have, such as tryring gauge "1/4-20 UNC-2A", or a list with --drawer LIST.csv`))
	}
	asked, err := g.asked.Resolve(opt.tables(), j)
	if err != nil {
		return badInput(atPlaces(cmd, "", nil, err))
	}
	name, err := gauge.SetName(g.name, asked)
	if err != nil {
		return badInput(err)
	}
	if j.Foreseen, err = foresee(cmd, opt, j, asked); err != nil {
		return badInput(err)
	}
	result, err := gauge.Make(cmd.Context(), &whole.Folder{Dir: g.out, Force: g.force}, name, asked, j)
	if err != nil {
		return err
	}
	return opt.show(cmd, result, func(s *screen) string {
		defer s.shared(result.Caution)
		return tellGauges(s, result)
	})
}

// foresee says what the gauges will decide before they are made: on stderr, as nothing is made yet.
func foresee(cmd *cobra.Command, opt *shared, j gauge.Job, asked []gauge.Asked) (gauge.Foresight, error) {
	printers, err := opt.profiles()
	if err != nil {
		return gauge.Foresight{}, err
	}
	f := j.Foresee(asked, printers, opt.tables())
	if !opt.json {
		s := opt.screenOn(cmd.ErrOrStderr())
		for _, text := range f.Words() {
			s.say("%s.", upper(text))
		}
		_, _ = io.WriteString(cmd.ErrOrStderr(), s.text.String()) // a warning that cannot be shown stops nothing
	}
	return f, nil
}

// makeDrawer makes the drawer that a list asks for.
func (g gaugeFlags) makeDrawer(cmd *cobra.Command, opt *shared, j gauge.Job) error {
	if g.asked != (gauge.Gauge{}) {
		return badInput(errors.New("--drawer takes thread, kind, limit, class and tolerance from the list; write them there"))
	}
	title := g.name
	if title == "" {
		title = strings.TrimSuffix(filepath.Base(g.drawer), filepath.Ext(g.drawer))
	}
	out := g.out
	if !cmd.Flags().Changed("out") {
		out = filepath.Join(out, title)
	}
	list, unused, err := gauge.LoadDrawer(cmd.Context(), g.drawer)
	if err != nil {
		return badInput(err)
	}
	gauges, err := gauge.ResolveDrawer(list, opt.tables(), j)
	if err != nil {
		return badInput(err)
	}
	if j.Foreseen, err = foresee(cmd, opt, j, gauges); err != nil {
		return badInput(err)
	}
	d, err := gauge.Drawer{Title: title, Gauges: gauges, Job: j, Progress: progressOn(cmd.ErrOrStderr(), "gauges, trays and plates")}.Plan()
	if err != nil {
		return badInput(err)
	}
	run, err := d.Make(cmd.Context(), &whole.Folder{Dir: out, Force: g.force, Update: true})
	if errors.Is(err, gauge.ErrOtherDrawer) { // the list or the folder was meant otherwise
		return inputError{err}
	}
	if err != nil {
		return err
	}
	run.Unused = append([]string{}, unused...)
	return opt.show(cmd, run, func(s *screen) string { return tellDrawer(s, run) })
}
