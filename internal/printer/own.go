package printer

// This file makes a printer of one's own: a copy of a profile with the few figures that a person knows.

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"tryring/internal/datafile"
	"tryring/internal/fault"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// ownersWord is the source of what its owner says of a printer, beadsShare that of the share of a measured bead.
const ownersWord, beadsShare = "as its owner says", "of a bead that was measured, to about a tenth"

// copied begins the source of a profile of one's own.
const copied = "copied from "

// FigureKeys are the keys of a profile's figures, in their order.
func FigureKeys() []string {
	var out []string
	for _, f := range (Profile{}).figures() {
		out = append(out, f.key)
	}
	return append(out, beadKey)
}

// beadKey is the key of Profile.Bead.
const beadKey = "bead"

// Own makes the printer called name in the folder dir: the profile called from as it is written, without what was tried on it, but for
// the figures that are given by their keys as people write them. The file is dir/name.toml. A figure without one, a name that is taken
// and a value out of its range are faults with their field.
func Own(dir, name, from string, figures map[string]string) (Profile, string, error) {
	p, list, err := untried(dir, "from", from)
	if err != nil {
		return p, "", err
	}
	if _, err := list.Find(name); err == nil {
		return p, "", fault.At("new", name, "there is such a printer, or it stands for none; take another name")
	}
	origin := p.Source
	if first, again := strings.CutPrefix(origin, copied); again {
		_, origin, _ = strings.Cut(first, ": ")
	}
	var text, sources strings.Builder
	fmt.Fprintf(&text, "# A printer of one's own. Errors are on the diameter; trials beat every figure here.\n\nname = %q\nprocess = %q\nsource = %q\n\n", name, p.Process, copied+p.Name+": "+origin)
	var faults []error
	said := map[string]string{} // where figures come from that differ from what is copied
	if written, given := figures[beadKey]; given {
		if err := p.Bead.UnmarshalText([]byte(written)); err != nil {
			faults = append(faults, fault.In(beadKey, err))
		}
		p.LayerShare, p.LayerShareU, said[beadKey] = measuredShare, measuredShareU, ownersWord
		said["layer_share"], said["layer_share_u"] = beadsShare, beadsShare
	}
	if p.Bead != nil {
		bead, _ := p.Bead.MarshalText() // never fails
		fmt.Fprintf(&text, "%s = %q\n", beadKey, bead)
		fmt.Fprintf(&sources, "%s = %q\n", beadKey, cmp.Or(said[beadKey], p.Sources[beadKey], origin))
	}
	for _, f := range p.figures() {
		value, source := f.value, cmp.Or(said[f.key], p.Sources[f.key], origin)
		if written, given := figures[f.key]; given {
			if value, err = readFigure(f.key, written); err != nil {
				faults = append(faults, fault.In(f.key, err))
			}
			source = ownersWord
		}
		fmt.Fprintf(&text, "%s = %s\n", f.key, strconv.FormatFloat(value, 'f', -1, 64))
		fmt.Fprintf(&sources, "%s = %q\n", f.key, source)
	}
	if err := errors.Join(faults...); err != nil {
		return p, "", err
	}
	file := text.String() + "\n# Where each figure comes from.\n[sources]\n" + sources.String()
	path := filepath.Join(dir, name+".toml")
	made, err := readOwn(path, file)
	if err != nil {
		return made, "", err
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return made, "", fmt.Errorf("printers folder: %w", err)
	}
	return made, path, whole.Write(path, false, func(w io.Writer) error {
		_, err := io.WriteString(w, file)
		return err
	})
}

// readOwn reads a profile that is about to be written, and lays its faults to the figures as they were given.
func readOwn(path, text string) (Profile, error) {
	p := unsaid()
	if err := datafile.Decode(path, []byte(text), &p); err != nil {
		return p, err
	}
	var all []error
	for _, f := range p.faults() {
		if f.Field == "name" {
			f.Field = "new"
		}
		all = append(all, f)
	}
	return p, errors.Join(all...)
}

// readFigure reads a length, or a plain number.
func readFigure(key, written string) (float64, error) {
	if strings.HasSuffix(key, "_mm") {
		l, err := unit.ParseSigned(written)
		return l.MM(), err
	}
	x, err := strconv.ParseFloat(strings.Replace(written, ",", ".", 1), 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, fault.At("", written, "it is a number, such as 0.85")
	}
	return x, nil
}
