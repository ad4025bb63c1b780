// Package printer holds printer profiles: what a printer adds and takes, what it can resolve, and how wanted
// diameters become modelled ones.
package printer

import "tryring/internal/unit"

// Profile is what is known of one printer with one material. Errors are stated on the diameter.
type Profile struct {
	Name string `toml:"name"`
	// Process is "filament" or "resin".
	Process string `toml:"process"`
	// Source says where the figures come from.
	Source string `toml:"source"`
	// Nozzle is the width of one line of filament, or of one pixel on a resin printer.
	Nozzle unit.Length `toml:"nozzle_mm"`
	Layer  unit.Length `toml:"layer_mm"`
	BedX   unit.Length `toml:"bed_x_mm"`
	BedY   unit.Length `toml:"bed_y_mm"`
	BedZ   unit.Length `toml:"bed_z_mm"`
	// OutsideAdds is how much larger outside diameters come out than modelled; OutsideU its standard uncertainty.
	OutsideAdds unit.Length `toml:"outside_adds_mm"`
	OutsideU    unit.Length `toml:"outside_u_mm"`
	// InsideTakes is how much smaller inside diameters come out than modelled; InsideU its standard uncertainty.
	InsideTakes unit.Length `toml:"inside_takes_mm"`
	InsideU     unit.Length `toml:"inside_u_mm"`
	// FirstLayerSpread is how far the first layer spreads outward on each side (elephant foot).
	FirstLayerSpread unit.Length `toml:"first_layer_spread_mm"`
	MinWall          unit.Length `toml:"min_wall_mm"`
	MinPitch         unit.Length `toml:"min_pitch_mm"`
	// MaxOverhangDeg is the steepest overhang printed without support, measured from the vertical.
	MaxOverhangDeg float64 `toml:"max_overhang_deg"`
}

// ModelOutside returns the outside diameter to model so that wanted comes out of the printer.
func (p Profile) ModelOutside(wanted unit.Length) unit.Length { return wanted - p.OutsideAdds }

// ModelInside returns the inside diameter to model so that wanted comes out of the printer.
func (p Profile) ModelInside(wanted unit.Length) unit.Length { return wanted + p.InsideTakes }
