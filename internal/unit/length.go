// Package unit holds lengths: reading the ways people write them and printing them in both systems.
package unit

// MMPerInch is exact by definition (international inch, 1959).
const MMPerInch = 25.4

// Length is a length in millimetres. It is a type of its own so that a bare number cannot pass for a length.
type Length float64

// The units that people write.
const (
	Millimetre Length = 1
	Inch       Length = MMPerInch
)

// MM returns x millimetres as a Length.
func MM(x float64) Length { return Length(x) }

// Inches returns x inches as a Length.
func Inches(x float64) Length { return Length(x * MMPerInch) }

// MM returns the length in millimetres.
func (l Length) MM() float64 { return float64(l) }

// Inches returns the length in inches.
func (l Length) Inches() float64 { return float64(l) / MMPerInch }
