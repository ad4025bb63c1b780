package printer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/unit"
)

// roundingMM is what float64 sums of lengths below 1 m may be off, in mm.
const roundingMM = 1e-12

// A printer that nobody named is one of all printers: its bias is that of the shipped filament profiles, its doubt holds each of them.
func TestUnnamedIsSomewhereAmongAll(t *testing.T) {
	none := Unnamed()
	require.NoError(t, none.Validate())
	shipped, err := Load("")
	require.NoError(t, err)
	th := threadOf(t, "M20x2")
	for _, s := range []Side{Inside, Outside} {
		got := none.Makes(th, s).Pitch
		for _, p := range shipped {
			one := p.Makes(th, s).Pitch
			assert.Greater(t, got.U, one.U, "%s %s", p.Name, s)
			assert.InDelta(t, one.By.MM(), got.By.MM(), 2*got.U.MM(), "%s %s", p.Name, s)
		}
	}
}

func TestCombine(t *testing.T) {
	tests := []struct {
		name string
		us   []unit.Length
		want float64
	}{
		{"nothing", nil, 0},
		{"one", []unit.Length{0.1}, 0.1},
		{"3-4-5 triangle", []unit.Length{0.03, 0.04}, 0.05},
		{"2-3-6-7 box", []unit.Length{0.2, 0.3, 0.6}, 0.7},
		{"a negative sensitivity changes nothing", []unit.Length{0.03, -0.04}, 0.05},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { assert.InDelta(t, tt.want, Combine(tt.us...).MM(), roundingMM) })
	}
}

func TestValidate(t *testing.T) {
	tests := []struct {
		name string
		do   func(*Profile)
		says string
	}{
		{"no name", func(p *Profile) { p.Name = "" }, "name: a name is"},
		{"name with a path", func(p *Profile) { p.Name = "../x" }, `name: "../x"`},
		{"unknown process", func(p *Profile) { p.Process = "clay" }, `process: "clay"`},
		{"inches for millimetres", func(p *Profile) { p.Nozzle = 0.0004 }, `nozzle_mm: "0.0004"`},
		{"not a number", func(p *Profile) { p.InsideU = unit.MM(math.NaN()) }, `inside_u_mm: "NaN"`},
		{"infinite bed", func(p *Profile) { p.BedZ = unit.MM(math.Inf(1)) }, `bed_z_mm: "+Inf"`},
		{"past the horizontal", func(p *Profile) { p.MaxOverhangDeg = 91 }, `max_overhang_deg: "91"`},
		{"wall thinner than a line", func(p *Profile) { p.MinWall = 0.3 }, `min_wall_mm: "0.3": thinner than the 0.4`},
		{"no source", func(p *Profile) { p.Source = "" }, "layer_mm: it has no source"},
		{"source of nothing", func(p *Profile) { p.Sources = map[string]string{"colour_mm": "x"} }, "sources.colour_mm: "},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := Unnamed()
			tt.do(&p)
			assert.ErrorContains(t, p.Validate(), tt.says)
		})
	}
}

func TestValidateReportsAllFigures(t *testing.T) {
	p := Unnamed()
	p.Nozzle, p.BedX, p.MaxOverhangDeg = -1, 1, 100
	err := p.Validate()
	for _, key := range []string{"nozzle_mm", "bed_x_mm", "max_overhang_deg"} {
		assert.ErrorContains(t, err, key)
	}
}
