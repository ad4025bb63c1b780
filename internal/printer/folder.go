package printer

// This file reads profiles: those that come with the program, and those in a folder of the user's.

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/agnivade/levenshtein"

	"tryring/internal/datafile"
	"tryring/internal/fault"
	"tryring/profiles"
)

// Profiles are printer profiles in the order of their names.
type Profiles []Profile

// Load returns the profiles that come with the program, together with those in the folder dir ("" for none).
// A profile of the folder replaces one of the same name, and what was tried on a printer (its journal in the folder) is
// taken in. A file that cannot be read spoils only its own printer, whose Fault it is; a journal's line that does not hold spoils only
// itself, and is told as a doubt.
func Load(dir string) (Profiles, error) {
	list, err := loadUntried(dir)
	if err != nil || dir == "" {
		return list, err
	}
	return list.learn(dir)
}

// loadUntried is Load without what was tried: the profiles as they are written.
func loadUntried(dir string) (Profiles, error) {
	list, err := readAll(profiles.Printers, "printers", "printers")
	if err != nil || dir == "" {
		return list, err
	}
	own, err := readAll(datafile.Folder(dir), ".", dir)
	if err != nil {
		return nil, err
	}
	list = slices.DeleteFunc(list, func(p Profile) bool {
		return slices.ContainsFunc(own, func(o Profile) bool { return o.Name == p.Name })
	})
	list = append(list, own...)
	slices.SortFunc(list, func(a, b Profile) int { return cmp.Compare(a.Name, b.Name) })
	return list, nil
}

// Untried returns the profile called name as it is written, and its journal in the folder dir, which may be missing yet; "" is no
// folder, and keeps nothing. The errors are those of loadUntried and, with the field printer, Find; "none" has no journal.
func Untried(dir, name string) (Profile, *Journal, error) {
	p, _, err := untried(dir, "printer", name)
	if err != nil {
		return p, nil, err
	}
	if dir == "" {
		return p, &Journal{}, nil
	}
	j, err := OpenJournal(dir, p.Name)
	return p, j, err
}

// untried is the profile that field names, and all there are, with those of the folder dir, which may be missing yet.
func untried(dir, field, name string) (Profile, Profiles, error) {
	if dir != "" {
		switch _, err := os.ReadDir(dir); {
		case errors.Is(err, fs.ErrNotExist):
			dir = "" // made with the first trial
		case err != nil:
			return Profile{}, nil, fault.In("printers", err)
		}
	}
	list, err := loadUntried(dir)
	if err != nil {
		return Profile{}, nil, err
	}
	p, err := list.Find(name)
	if err == nil && p.Name == unnamed {
		err = fmt.Errorf("%q stands for no printer at all; name a profile", name)
	}
	return p, list, fault.In(field, err)
}

// readAll reads every *.toml of folder in fsys; shown is what people call the folder.
func readAll(fsys fs.FS, folder, shown string) (Profiles, error) {
	entries, err := fs.ReadDir(fsys, folder)
	if err != nil {
		return nil, fault.In("printers", err)
	}
	var list Profiles
	for _, e := range entries { // in the order of their names
		if e.IsDir() || path.Ext(e.Name()) != ".toml" {
			continue
		}
		text, err := fs.ReadFile(fsys, path.Join(folder, e.Name()))
		if err != nil {
			return nil, fmt.Errorf("printer profile in %s: %w", shown, err)
		}
		p, err := Parse(filepath.Join(shown, e.Name()), text)
		if err != nil {
			p = Profile{Name: strings.TrimSuffix(e.Name(), ".toml"), Fault: err}
		}
		list = append(list, p)
	}
	slices.SortFunc(list, func(a, b Profile) int { return cmp.Compare(a.Name, b.Name) })
	return list, nil
}

// Parse reads one profile from text, the content of the file called name. Every figure must be there, but those of
// layers and scale, which are then what is believed of any printer. All faults
// are reported at once, each beginning with file and line.
func Parse(name string, text []byte) (Profile, error) {
	p := unsaid()
	if err := datafile.Decode(name, text, &p); err != nil {
		return Profile{}, err
	}
	lines := datafile.KeyLines(text)
	if p.Bead != nil && lines["layer_share"] == 0 {
		p.LayerShare = measuredShare
	}
	if p.Bead != nil && lines["layer_share_u"] == 0 {
		p.LayerShareU = measuredShareU
	}
	var all []error
	missing := map[string]bool{}
	for _, f := range p.figures() {
		if lines[f.key] == 0 && !f.assumed {
			missing[f.key] = true
			all = append(all, fault.Fault{Place: name, Field: f.key, Want: fmt.Sprintf("it is missing; it lies between %v and %v", f.low, f.high)})
		}
	}
	for _, f := range p.faults() {
		if missing[f.Field] { // said already
			continue
		}
		if f.Place = name; lines[f.Field] > 0 {
			f.Place = fmt.Sprintf("%s:%d", name, lines[f.Field])
		}
		all = append(all, f)
	}
	if file := strings.TrimSuffix(filepath.Base(name), ".toml"); goodName(p.Name) && file != p.Name {
		all = append(all, fmt.Errorf("%s:%d: the profile %q stands in a file of another name; call the file %s.toml", name, lines["name"], p.Name, p.Name))
	}
	if p.Name == unnamed {
		all = append(all, fmt.Errorf("%s:%d: the name %q is taken: it stands for no profile at all", name, lines["name"], p.Name))
	}
	if len(all) > 0 {
		return Profile{}, errors.Join(all...)
	}
	if lines["layer_share"] == 0 && p.Bead == nil {
		p.Doubts = append(p.Doubts, fmt.Sprintf("%s does not say layer_share: it is taken as %g ± %g, and outside_adds_mm and inside_takes_mm as plain size alone, as a caliper over crests finds it", name, anyShare, anyShareU))
	}
	return p, nil
}

// Readable are the profiles without a fault, in order.
func (ps Profiles) Readable() Profiles {
	return slices.DeleteFunc(slices.Clone(ps), func(p Profile) bool { return p.Fault != nil })
}

// Names lists the names of the readable profiles in order.
func (ps Profiles) Names() []string {
	var names []string
	for _, p := range ps.Readable() {
		names = append(names, p.Name)
	}
	return names
}

// maxTypos is how many letters may be wrong for one profile to be offered alone: a typing mistake or two.
const maxTypos = 2

// Find returns the profile called name; "" and "none" give Unnamed. Letter case does not matter. The error of an
// unknown name offers the nearest, or all there are; that of a profile with a Fault is the fault.
func (ps Profiles) Find(name string) (Profile, error) {
	wanted := strings.ToLower(strings.TrimSpace(name))
	if wanted == "" || wanted == unnamed {
		return Unnamed(), nil
	}
	near, distance := "", maxTypos+1
	for _, p := range ps {
		if p.Name == wanted {
			return p, p.Fault
		}
		if d := levenshtein.ComputeDistance(wanted, p.Name); d < distance {
			near, distance = p.Name, d
		}
	}
	if near != "" {
		return Profile{}, fault.At("", name, "there is no such printer profile; did you mean %s?", near)
	}
	return Profile{}, fault.At("", name, "there is no such printer profile; there are: %s", strings.Join(ps.Names(), ", "))
}

// taught is p with what its journal teaches, and what of that is doubtful.
func (p Profile) taught(j *Journal) Profile {
	p = p.After(Counting(j.Entries))
	for _, bad := range j.Bad {
		p.Doubts = append(p.Doubts, bad.Error())
	}
	for _, d := range Doubts(p.Name, j.Entries) {
		p.Doubts = append(p.Doubts, d.Text)
	}
	return p
}

// learn applies the journals in the folder dir to the profiles of list, and adds those of which there is a journal alone, at fault.
func (ps Profiles) learn(dir string) (Profiles, error) {
	known := map[string]bool{}
	for i, p := range ps {
		known[p.Name] = true
		if p.Fault != nil {
			continue
		}
		j, err := OpenJournal(dir, p.Name)
		if err != nil {
			ps[i].Fault = err
			continue
		}
		ps[i] = p.taught(j)
	}
	entries, err := os.ReadDir(dir)
	for _, e := range entries {
		if name, ours := strings.CutSuffix(e.Name(), journalEnding); ours && !known[name] {
			known[name] = true
			ps = append(ps, Profile{Name: name, Fault: fmt.Errorf("%s: there is no printer profile %q that these trials belong to", filepath.Join(dir, e.Name()), name)})
		}
	}
	return ps, err
}
