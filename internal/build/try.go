package build

// This file holds a ring that was tried on the real thread, as a job file keeps it.

// Try is one ring tried on the real thread, as a job file keeps it ([[tries]]). Lengths in mm.
type Try struct {
	// Side is the side of the ring that was tried: inner or outer. Date is in the person's own words.
	Side string `toml:"side"`
	Date string `toml:"date,omitempty"`
	// Thread is the ring's thread on that side, its diameters as measured in the ring's file.
	Thread   string  `toml:"thread"`
	MajorMM  float64 `toml:"major_mm"`
	PitchDMM float64 `toml:"pitch_diameter_mm"`
	MinorMM  float64 `toml:"minor_mm"`
	// EngagedMM is how much thread the ring has there.
	EngagedMM float64 `toml:"engaged_mm"`
	// Printer made it; OffMM is what it adds to an outside diameter, or takes from an inside one, UMM the standard uncertainty.
	Printer string  `toml:"printer"`
	OffMM   float64 `toml:"off_mm"`
	UMM     float64 `toml:"u_mm"`
	// Result is what happened: "goes", "snug", "rattles", "does not start" or "stops after N turns".
	Result string `toml:"result"`
}
