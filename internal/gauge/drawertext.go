package gauge

// This file tells a drawer to a person.

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/printer"
	"tryring/internal/unit"
)

// WriteText tells the run to a person.
func (d DrawerRun) WriteText(w io.Writer, paint build.Paint) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Drawer %s: %s on %s, %s, in %s.\n", d.Title, unit.Counted(len(d.Gauges), "gauge"), unit.Counted(len(d.Plates), "plate"), unit.Counted(len(d.Trays), "tray"), d.Folder)
	fmt.Fprintf(&b, "  %d files were made, %d were there already and stayed.\n", d.New, d.Kept)
	if d.Printer == printer.Unnamed().Name {
		b.WriteString("  No printer named: the models have the wanted sizes, nothing is compensated.\n")
	} else {
		fmt.Fprintf(&b, "  Compensated for the printer %s.\n", d.Printer)
	}
	var findings []check.Finding
	if d.Unresolved > 0 {
		findings = append(findings, check.Finding{ID: decisionCheck, Level: check.Warn, Text: fmt.Sprintf(
			"This printer cannot resolve the tolerance of %d of the %d gauges: no part is proved good by those (ISO 14253-1). The card says which.", d.Unresolved, len(d.Gauges))})
	}
	if len(d.NoTray) > 0 {
		findings = append(findings, check.Finding{ID: "tray", Level: check.Warn, Text: "No tray on this bed has a well wide enough, label and all, for " + strings.Join(d.NoTray, ", ") + "."})
	}
	build.WriteChecks(&b, findings, paint)
	b.WriteString("\nFiles\n")
	fmt.Fprintf(&b, "  %s: the gauges one by one, .stl and .3mf\n", filepath.Join(d.Folder, gaugeFolder))
	for _, p := range d.Plates {
		fmt.Fprintf(&b, "  %s: %s\n", filepath.Join(d.Folder, p.File), unit.Counted(len(p.Parts), "gauge"))
	}
	for _, t := range d.Trays {
		fmt.Fprintf(&b, "  %s and .stl: %s\n", filepath.Join(d.Folder, t.File), unit.Counted(len(t.Wells), "well"))
	}
	fmt.Fprintf(&b, "  %s: the index card, to print\n  %s: the record\n\n", filepath.Join(d.Folder, cardFile), filepath.Join(d.Folder, drawerName+".json"))
	for _, c := range d.Caution {
		fmt.Fprintf(&b, "%s\n", c)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
