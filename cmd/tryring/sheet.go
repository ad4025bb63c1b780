package main

// This file holds `tryring sheet`.

import (
	"cmp"
	"io"

	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/combs"
	"tryring/internal/draw"
	"tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/leaf"
	"tryring/internal/whole"
)

// sheetFlags are the flags of `tryring sheet`.
type sheetFlags struct {
	openThreads
	paper, name string
}

// sheetResult is what was made, as it is written to NAME.json. Scripts rely on its keys.
type sheetResult struct {
	Name    string   `json:"name"`
	Threads []string `json:"threads"`
	// Decides says what one look decides, and what none does.
	Decides []string `json:"decides"`
	Paper   string   `json:"paper"`
	Caution []string `json:"caution"`
	build.Files
}

func newSheet(opt *shared) *cobra.Command {
	var flags sheetFlags
	cmd := &cobra.Command{
		Use:   "sheet [THREAD... | --job JOB.toml --side SIDE]",
		Short: "Make a page, true to size, to lay on a thread before anything is printed in plastic",
		Long: `Make a PDF that prints at its true size: combs with the crests of the named threads, or of those that a side of a job could be, to be
cut out and laid on the part's crests, and circles of their sizes to set the part on. One thread alone stands beside those that it could
be taken for. A comb is long enough for half a pitch to show. Lines of 100 mm and 4 in say whether the print is true. It tells what one
look decides; an eye is taken to see half a millimetre on a circle: common practice, no published source.

The last page, the only one where no thread is named, has marks for the camera: lay the part on it, take one picture, and let
tryring photo read outside diameter and pitch off it.

` + check.Caution,
		Example: `  tryring sheet "G 1 1/2" "1 1/2-11.5 NPSM"
  tryring sheet --job tub.toml --side stays --paper letter`,
		RunE: func(cmd *cobra.Command, args []string) error {
			d := job.New()
			result, sheet, err := flags.plan(cmd, opt, args, d)
			if err != nil {
				return badInput(atPlaces(cmd, flags.path, d, err))
			}
			set := build.Set{
				Name:     sheet.Name,
				Sheets:   []build.Sheet{{Name: sheet.Name + ".pdf", Write: func(w io.Writer) error { return draw.LaySheet(w, sheet) }}},
				Manifest: func(made build.Files) any { result.Files = made; return result },
			}
			if _, err := set.Make(cmd.Context(), &whole.Folder{Dir: cmp.Or(flags.out, d.Out, build.DefaultOut), Force: flags.force}, nil); err != nil {
				return err
			}
			return opt.show(cmd, result, func(s *screen) string {
				defer s.shared(result.Caution)
				return tellSheet(s, result, flags, sheet.Page.Combs)
			})
		},
	}
	useFlag(cmd)
	f := cmd.Flags()
	flags.flags(cmd)
	f.StringVar(&flags.paper, "paper", "", paperHelp)
	f.StringVar(&flags.name, "name", "", "`NAME` of the file, without ending (default: made of the thread or the side)")
	return cmd
}

// plan lays the page out, and reads the job into d.
func (f sheetFlags) plan(cmd *cobra.Command, opt *shared, args []string, d *job.Document) (r sheetResult, sheet draw.LayData, err error) {
	var open leaf.Open
	about := "camera"
	if len(args) > 0 || f.path != "" || f.side != "" {
		if open, err = f.read(cmd, opt, args, "", d); err != nil {
			return r, sheet, err
		}
		about = cmp.Or(f.side, open.Threads[0].Designation)
	}
	sheet.Name, sheet.Threads = cmp.Or(f.name, "sheet-"+whole.FileName(about)), open.Threads
	if err := whole.CheckFileName(sheet.Name); err != nil {
		return r, sheet, fault.In("name", err)
	}
	if sheet.Paper, err = draw.PaperNamed(cmp.Or(f.paper, d.Paper)); err != nil {
		return r, sheet, err
	}
	if len(open.Threads) > 0 {
		sheet.Page, err = combs.Of(opt.tables(), f.side != job.Stays, f.side != job.Goes, open.Threads...)
	}
	r = sheetResult{
		Name: sheet.Name, Threads: append([]string{}, sheet.Page.Threads...), Decides: append(append([]string{}, sheet.Page.Decides...), open.LeftOut...), Paper: sheet.Paper.Name, Caution: check.Cautions(open.Threads...),
	}
	return r, sheet, err
}

// tellSheet tells what was made and what it decides; next is to say what was seen.
func tellSheet(s *screen, r sheetResult, f sheetFlags, shown []combs.Comb) string {
	s.say("%s is made, to print on %s at 100 %%, “actual size”.", r.Paths[0], r.Paper)
	for _, text := range r.Decides {
		s.add("%s", text)
	}
	s.gap()
	if len(shown) == 0 {
		return command("photo") + " PICTURE.jpg"
	}
	s.add("The last page is for the camera: a part that lies on it is measured by tryring photo.")
	if f.path != "" {
		s.next = command("identify", "--job", f.path, "--side", f.side, "--leaf", shown[0].Reads)
	}
	return command("identify", "--leaf", shown[0].Reads)
}
