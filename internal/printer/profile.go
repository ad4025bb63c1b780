// Package printer holds printer profiles: what a printer adds and takes, what it can resolve, and how wanted
// diameters become modelled ones.
//
// Errors of a printer are stated on the diameter. Uncertainties are standard uncertainties (one standard deviation).
package printer

import (
	"errors"
	"fmt"
	"math"
	"regexp"

	"tryring/internal/fault"
	"tryring/internal/unit"
)

// Profile is what is known of one printer with one material. Errors are stated on the diameter.
type Profile struct {
	Name string `toml:"name" json:"name"`
	// Process is Filament or Resin; the shape of a layer's edge follows from it.
	Process string `toml:"process" json:"process"`
	// Source says where the figures come from, Sources where a single one does, by its key in the file.
	Source  string            `toml:"source" json:"source"`
	Sources map[string]string `toml:"sources" json:"sources,omitempty"`
	// Nozzle is the width of one line of filament, or of one pixel on a resin printer.
	Nozzle unit.Length `toml:"nozzle_mm" json:"nozzle_mm"`
	Layer  unit.Length `toml:"layer_mm" json:"layer_mm"`
	BedX   unit.Length `toml:"bed_x_mm" json:"bed_x_mm"`
	BedY   unit.Length `toml:"bed_y_mm" json:"bed_y_mm"`
	BedZ   unit.Length `toml:"bed_z_mm" json:"bed_z_mm"`
	// OutsideAdds is how much larger outside diameters come out than modelled, OutsideU its standard uncertainty: plain size
	// alone, as a caliper over crests finds it. What layers do to flanks is LayerShare's.
	OutsideAdds unit.Length `toml:"outside_adds_mm" json:"outside_adds_mm"`
	OutsideU    unit.Length `toml:"outside_u_mm" json:"outside_u_mm"`
	// InsideTakes is how much smaller inside diameters come out than modelled, InsideU its standard uncertainty: plain size alone.
	InsideTakes unit.Length `toml:"inside_takes_mm" json:"inside_takes_mm"`
	InsideU     unit.Length `toml:"inside_u_mm" json:"inside_u_mm"`
	// Bead is the end of a layer as it was measured, nil for that of the process.
	Bead Bead `toml:"bead" json:"bead,omitempty"`
	// LayerShare is how much of what its layers would do by their shape alone (Layers) this printer really does to a flank,
	// LayerShareU its standard uncertainty.
	LayerShare  float64 `toml:"layer_share" json:"layer_share"`
	LayerShareU float64 `toml:"layer_share_u" json:"layer_share_u"`
	// ScalePct is by how much of themselves all diameters come out larger (below 0: smaller), ScaleUPct its standard uncertainty,
	// percent.
	ScalePct  float64 `toml:"scale_pct" json:"scale_pct"`
	ScaleUPct float64 `toml:"scale_u_pct" json:"scale_u_pct"`
	// Tied are the covariances of OutsideAdds, InsideTakes (mm), LayerShare and ScalePct, in this order, where trials have tied them
	// together; nil while each is uncertain by itself.
	Tied *[4][4]float64 `toml:"-" json:"-"`
	// TriedAt is the diameter at which OutsideAdds and InsideTakes are stated, from which scale counts: 0 before any trial.
	TriedAt unit.Length `toml:"-" json:"-"`
	// FirstLayerSpread is how far the first layer spreads outward on each side (elephant foot).
	FirstLayerSpread unit.Length `toml:"first_layer_spread_mm" json:"first_layer_spread_mm"`
	MinWall          unit.Length `toml:"min_wall_mm" json:"min_wall_mm"`
	MinPitch         unit.Length `toml:"min_pitch_mm" json:"min_pitch_mm"`
	// MaxOverhangDeg is the steepest overhang printed without support, measured from the vertical.
	MaxOverhangDeg float64 `toml:"max_overhang_deg" json:"max_overhang_deg"`
	// Doubts tells what is doubtful of the trials that the figures were learned from, a sentence each.
	Doubts []string `toml:"-" json:"doubts"`
	// Fault is why the profile, or what was tried on it, cannot be read; all but Name is then without meaning.
	Fault error `toml:"-" json:"-"`
}

// CommonPractice is the source of figures that the trade uses and no standard publishes.
const CommonPractice = "common practice, no published source"

// The processes.
const (
	Filament = "filament"
	Resin    = "resin"
)

// unnamed is the name of no profile at all.
const unnamed = "none"

// Unnamed stands for a printer that nothing is known of but that it lays filament: it has the middle of what such printers do, and
// is uncertain by all that lies between them; its layers are 0.2 mm or thereabouts, which their share holds. The limits are the
// careful ones of a 0.4 mm nozzle. All its figures are common practice, no published source.
func Unnamed() Profile {
	p := unsaid()
	p.Name, p.Process, p.Source = unnamed, Filament, CommonPractice
	p.Nozzle, p.Layer, p.BedX, p.BedY, p.BedZ = 0.4, 0.2, 180, 180, 180
	p.OutsideAdds, p.OutsideU, p.InsideTakes, p.InsideU = 0.03, 0.09, 0.12, 0.09
	p.LayerShareU, p.FirstLayerSpread = 0.3, 0.2
	p.MinWall, p.MinPitch, p.MaxOverhangDeg = 1.2, 1, 65
	return p
}

// What is believed of a printer whose profile does not say it: a share of the layers between 0.5 (edges that are smeared flat) and
// 1.2 (edges that bulge), as far out as its ends; a scale that is within 0.4 % of true, which slicers make up for in part.
// Common practice, no published source.
const (
	anyShare, anyShareU = 0.85, 0.2
	anyScaleUPct        = 0.2
	// measuredShare is that of a bead that was measured, to about a tenth.
	measuredShare, measuredShareU = 1.0, 0.1
)

// unsaid holds what a profile may leave out.
func unsaid() Profile {
	return Profile{LayerShare: anyShare, LayerShareU: anyShareU, ScaleUPct: anyScaleUPct}
}

// Combine returns the standard uncertainty of a sum or difference of lengths with the independent standard
// uncertainties us: the root of the sum of their squares (JCGM 100:2008, 5.1.2, equation (10), all sensitivities
// being 1 or -1). The uncertainty of the clearance between a printed thread and a part is
// Combine(Made.Pitch.U, u of the part).
func Combine(us ...unit.Length) unit.Length {
	var u float64
	for _, x := range us {
		u = math.Hypot(u, x.MM())
	}
	return unit.MM(u)
}

// sourceOf says where the figure with the given key ("layer_mm") comes from.
func (p Profile) sourceOf(key string) string {
	if s := p.Sources[key]; s != "" {
		return s
	}
	return p.Source
}

// figure is one number of a profile and the range in which it can be true of a printer.
type figure struct {
	key   string
	value float64
	// low and high are the least and the largest believed, in the unit of the key.
	low, high float64
	// assumed is set where profiles may leave it out: what is believed of any printer holds then.
	assumed bool
}

// figures lists p's numbers. The ranges are wide on purpose: they catch a slipped point or a wrong unit, not an
// unusual printer.
func (p Profile) figures() []figure {
	return []figure{
		{"nozzle_mm", p.Nozzle.MM(), 0.01, 2, false},
		{"layer_mm", p.Layer.MM(), 0.005, 1.5, false},
		{"bed_x_mm", p.BedX.MM(), 20, 2000, false},
		{"bed_y_mm", p.BedY.MM(), 20, 2000, false},
		{"bed_z_mm", p.BedZ.MM(), 20, 2000, false},
		{"outside_adds_mm", p.OutsideAdds.MM(), -1, 1, false},
		{"outside_u_mm", p.OutsideU.MM(), 0.001, 1, false},
		{"inside_takes_mm", p.InsideTakes.MM(), -1, 1, false},
		{"inside_u_mm", p.InsideU.MM(), 0.001, 1, false},
		{"layer_share", p.LayerShare, 0, 2, true},
		{"layer_share_u", p.LayerShareU, 0.01, 1, true},
		{"scale_pct", p.ScalePct, -5, 5, true},
		{"scale_u_pct", p.ScaleUPct, 0.01, 5, true},
		{"first_layer_spread_mm", p.FirstLayerSpread.MM(), 0, 1, false},
		{"min_wall_mm", p.MinWall.MM(), 0.1, 10, false},
		{"min_pitch_mm", p.MinPitch.MM(), 0.1, 10, false},
		{"max_overhang_deg", p.MaxOverhangDeg, 0, 90, false},
	}
}

var plainName = regexp.MustCompile(`^[a-z0-9][a-z0-9._-]*$`)

// mostName is the most letters of a profile's name.
const mostName = 64

// goodName says whether a profile may be called name; it is also its file's name.
func goodName(name string) bool { return len(name) <= mostName && plainName.MatchString(name) }

// faults lists all that is wrong with p, by key.
func (p Profile) faults() []fault.Fault {
	var all []fault.Fault
	bad := func(key string, read any, want string, args ...any) {
		all = append(all, fault.At(key, fmt.Sprint(read), want, args...))
	}
	if !goodName(p.Name) {
		bad("name", p.Name, "a name is 1 to 64 small letters, digits, points, hyphens and underscores, a letter or digit first, and does not end in .trials")
	}
	if p.Process != Filament && p.Process != Resin {
		bad("process", p.Process, `it is "filament" or "resin"`)
	}
	known := map[string]bool{"bead": true}
	for _, f := range p.figures() {
		known[f.key] = true
		if !(f.value >= f.low && f.value <= f.high) { // NaN is outside every range
			bad(f.key, f.value, "it lies between %v and %v", f.low, f.high)
		}
		if p.sourceOf(f.key) == "" {
			bad(f.key, "", `it has no source; give one under [sources], or "source" for the whole profile (%q is one)`, CommonPractice)
		}
	}
	if p.Bead != nil && p.sourceOf("bead") == "" {
		bad("bead", "", "it has no source")
	}
	for key := range p.Sources {
		if !known[key] {
			bad("sources."+key, "", "there is no such figure of a profile")
		}
	}
	if p.MinWall < p.Nozzle {
		bad("min_wall_mm", p.MinWall.MM(), "thinner than the %v of a single line (nozzle_mm)", p.Nozzle.MM())
	}
	return all
}

// Validate reports everything that is wrong with p at once: each figure's range, the name, the process, and
// figures without a source.
func (p Profile) Validate() error {
	var all []error
	for _, f := range p.faults() {
		all = append(all, f)
	}
	return errors.Join(all...)
}
