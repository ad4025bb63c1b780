package main

// This file holds `tryring photo`.

import (
	"context"
	"errors"
	"fmt"
	"image/png"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"tryring/internal/datafile"
	"tryring/internal/fault"
	"tryring/internal/identity"
	"tryring/internal/job"
	"tryring/internal/photo"
	"tryring/internal/pose"
	"tryring/internal/reading"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// photoAsked is what the flags ask for.
type photoAsked struct {
	outside    []string
	instrument string
	marks      []string
	apart      *unit.Length
	behind     *unit.Length
	cast       string
	shrunk     string
	distance   *unit.Length
	line       string
	overlay    string
	force      bool
	keep       identifyAsked
}

func newPhoto(opt *shared) *cobra.Command {
	var asked photoAsked
	cmd := &cobra.Command{
		Use:   "photo IMAGE [OTHER]",
		Short: "Read the pitch off a picture of an external thread, and the diameter too where it lies on the sheet",
		Long: `Count the crests of an external thread on a picture (JPEG, PNG, WebP) and read the pitch off it. Nothing leaves this machine.

With the sheet of tryring sheet under the part nothing else need be known: its marks tell where the camera stood, and the picture
then gives the pitch, and the outside diameter where both edges of the part stand out. OTHER is a second picture of the same part, not
moved, from the other side of the sheet: with it no shadow hides the diameter. Take both from 30 to 60 degrees over the table, in light from where
you stand or with the flash. --line is what a ruler reads on the sheet's long line; --job with --side keeps both as readings.

Without a sheet, lay the part on a plain light ground, or better hold it before a bright window or screen. Step back an arm's length or more and
zoom in, hold the camera level with the part's middle and square to its axis, and let the part fill most of the frame with ground
to be seen on both sides. Do not crop the picture: its middle is where the camera looked.

--outside is the diameter over the crests as a caliper reads it, on a tapered thread the largest. Two points a known length apart
(--mark twice, with --apart and --behind) serve as well. Without either, only pitch over diameter is told. A near camera makes the pitch look
too large; --distance, from the camera to the part, takes that out where the picture itself does not tell the focal length.

Of a thread in a hole take a cast: press putty into it, or hot glue over a little oil, and take its picture from the side (--cast putty).
One edge of it is enough with two marks on a ruler beside it; the cast's hand is the hole's.

Check the marks on the picture that --overlay writes. The exit code is 3 when the picture does not say enough for an answer.`,
		Example: `  tryring photo near.jpg far.jpg --line 149.5mm --job tub.toml --side goes
  tryring photo tail.jpg --outside 1.872in --overlay counted.png
  tryring photo tail.jpg --outside 47.55mm --distance 400mm --json
  tryring photo tail.png --mark 210,1480 --mark 2890,1502 --apart 60mm --behind 0mm`,
		Args: cobra.RangeArgs(1, 2),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := asked.checkJob(cmd); err != nil {
				return badInput(err)
			}
			r, err := asked.measure(cmd.Context(), args)
			if err != nil {
				return badInput(err)
			}
			if r.Answered && asked.keep.path != "" {
				if err := asked.keepReadings(cmd, r, opt); err != nil {
					return badInput(err)
				}
			}
			return orNo(opt.show(cmd, tellPhoto(r, asked.overlay), func(s *screen) string { return asked.tell(s, args[0], r) }), !r.Answered)
		},
	}
	flags := cmd.Flags()
	flags.StringArrayVar(&asked.outside, "outside", nil, "outside diameter `LENGTH` over the crests")
	flags.StringVar(&asked.instrument, "instrument", "", "what the diameter was read with: `caliper`, dial, ruler or tape (caliper when left out)")
	flags.StringArrayVar(&asked.marks, "mark", nil, "a point `X,Y` on the upright picture, in pixels from its upper left corner; twice")
	flags.Var(lengthFlag{&asked.apart}, "apart", "how far apart the two marks are")
	flags.Var(lengthFlag{&asked.behind}, "behind", "how far the marks lie behind the part's axis: 0mm beside it, the axis's height above the table for a ruler there")
	flags.Var(lengthFlag{&asked.distance}, "distance", "how far the camera was from the part")
	flags.StringVar(&asked.cast, "cast", "", "the picture shows a cast of a thread in a hole, of `putty` or glue")
	flags.StringVar(&asked.shrunk, "shrunk", "", "how much the cast shrank, in `PERCENT` (putty 0, glue 1 when left out)")
	flags.StringVar(&asked.line, "line", "", "what a ruler reads on the long line of the sheet under the part, a `LENGTH`: 150mm in a true print")
	flags.StringVar(&asked.keep.path, "job", "", "job `FILE` that keeps diameter and pitch read off a sheet")
	flags.StringVar(&asked.keep.side, "side", "", "whose thread in the job it is: `goes` or stays")
	flags.StringVar(&asked.keep.when, "date", "", "`WHEN` the picture was taken (default: today)")
	flags.BoolVar(&asked.keep.again, "again", false, "the picture was really taken once more, and counts again")
	flags.StringVar(&asked.overlay, "overlay", "", "write the picture with every crest marked and numbered to `OUT.png`")
	flags.BoolVar(&asked.force, "force", false, "replace an overlay that exists")
	return cmd
}

// options reads what is known beside the picture.
func (a photoAsked) options() (o photo.Options, err error) {
	var faults []error
	if len(a.outside) > 0 {
		set, err := reading.Read(reading.Repeated("outside", a.instrument, a.outside...)...)
		if err != nil {
			faults = append(faults, said{err, flagName})
		}
		found := set.Find()
		for _, c := range found.Contradictions {
			faults = append(faults, errors.New(c.Text))
		}
		o.Outside = found.Diameter
	}
	if a.distance != nil {
		o.Distance = *a.distance
		if o.Distance <= 0 {
			faults = append(faults, fault.At("distance", o.Distance.TextMM(), "it must be above 0"))
		}
	}
	if o.Cast, err = a.castOf(); err != nil {
		faults = append(faults, err)
	}
	if a.line != "" {
		ruler, _ := reading.FindInstrument("ruler")
		line, err := reading.ParseReading(a.line, ruler)
		if err != nil {
			faults = append(faults, flagFault("line", err))
		} else {
			e := line.Across()
			o.Line = &e
		}
	}
	switch {
	case len(a.marks) == 0 && a.apart == nil && a.behind == nil:
	case len(a.marks) != 2 || a.apart == nil:
		faults = append(faults, fault.At("mark", "", "a scale by marks takes --mark twice and --apart"))
	case len(a.outside) > 0:
		faults = append(faults, fault.At("mark", "", "give either the outside diameter or marks, not both"))
	case a.behind == nil:
		faults = append(faults, fault.At("behind", "", "what lies nearer to the camera looks larger: say how far the marks lie behind the part's axis, 0mm for a ruler held beside the axis, 33mm for one that lies so much lower"))
	default:
		m := photo.Marks{Apart: *a.apart, Behind: *a.behind}
		for i, to := range []*[2]float64{&m.A, &m.B} {
			if *to, err = parseMark(a.marks[i]); err != nil {
				faults = append(faults, flagFault("mark", err))
			}
		}
		o.Marks = &m
	}
	return o, errors.Join(faults...)
}

// castOf is what is known of a cast. Hot glue shrinks by about 1 % as it cools, putty hardly (common practice, no published source).
func (a photoAsked) castOf() (*photo.Cast, error) {
	casts := map[string]photo.Cast{"putty": {UShrunk: 0.002}, "glue": {Shrunk: 0.01, UShrunk: 0.006}}
	c, known := casts[a.cast]
	switch {
	case a.cast == "" && a.shrunk == "":
		return nil, nil
	case !known:
		return nil, fault.At("cast", a.cast, "a cast is of putty or of glue")
	case a.shrunk != "":
		share, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(a.shrunk, "%")), 64)
		if err != nil || !(share > -10 && share < 10) {
			return nil, fault.At("shrunk", a.shrunk, "write percent, such as 1.5")
		}
		c = photo.Cast{Shrunk: share / 100, UShrunk: 0.002}
	}
	return &c, nil
}

// parseMark reads "X,Y".
func parseMark(text string) (m [2]float64, err error) {
	x, y, ok := strings.Cut(text, ",")
	for i, part := range []string{x, y} {
		v, bad := strconv.ParseFloat(strings.TrimSpace(part), 64)
		if !ok || bad != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return m, fault.At("", text, "a point is X,Y in pixels, such as 210,1480")
		}
		m[i] = v
	}
	return m, nil
}

// measure reads the picture and writes the overlay.
func (a photoAsked) measure(ctx context.Context, paths []string) (*photo.Result, error) {
	o, err := a.options()
	if err != nil {
		return nil, err
	}
	var p *photo.Picture
	for i := range paths { // the first one last
		path := paths[len(paths)-1-i]
		f, err := datafile.Open(ctx, path)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		o.Other = p
		if p, err = photo.Decode(f); err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
	}
	r, err := photo.Measure(p, o)
	if err != nil || a.overlay == "" {
		return r, err
	}
	return r, whole.Write(a.overlay, a.force, func(w io.Writer) error { return png.Encode(w, photo.Overlay(p, r)) })
}

// checkJob settles what keeps the readings, before the picture is read.
func (a *photoAsked) checkJob(cmd *cobra.Command) error {
	if a.keep.path == "" {
		return withoutJob(cmd, "side", "date", "again")
	}
	a.keep.today()
	if a.line == "" {
		return fault.At("line", "", "a diameter from a sheet is as good as its print: what does a ruler read on its long line, %g mm in a true one?", pose.LineMM)
	}
	return flagFault("side", job.CheckSide(a.keep.side))
}

// keepReadings adds what was read off a sheet to the job.
func (a photoAsked) keepReadings(cmd *cobra.Command, r *photo.Result, opt *shared) error {
	if r.Sheet == nil {
		return fault.At("job", a.keep.path, "there is no sheet under the part, so that only a pitch is told: keep it by tryring identify")
	}
	var records []reading.Record
	for _, one := range [][2]string{{"outside", r.DiameterReading()}, {"pitch", r.PitchReading()}} {
		if one[1] != "" {
			records = append(records, reading.Record{What: one[0], Text: one[1], Instrument: "picture", Look: 1, When: a.keep.when})
		}
	}
	return a.keep.keep(cmd, records, opt.tables(), opt.note, func(*job.Document, identity.Identity) error { return nil })
}
