package printer

// This file estimates what a part costs to print: plastic, and minutes.

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
)

// Cost is an estimate of what a part takes.
type Cost struct {
	// Cm3 is the plastic in it, taken as solid: the walls of a ring are no thicker than the lines around it.
	Cm3 float64 `json:"material_cm3"`
	// Grams are those of each material that the process prints.
	Grams map[string]float64 `json:"grams"`
	// Minutes are those of printing, Basis says what they are worked out from.
	Minutes float64 `json:"minutes"`
	Basis   string  `json:"minutes_basis"`
}

// densities are those of the usual materials, g/cm3; from memory, as their makers give them, to some hundredths.
var densities = map[string]map[string]float64{
	Filament: {"PLA": 1.24, "PETG": 1.27, "ABS": 1.04},
	Resin:    {"resin": 1.15},
}

// How fast a printer is; common practice, no published source.
const (
	// lineSpeed is that of outlines, mm/s, layerPause what each layer takes beside its lines, s.
	lineSpeed, layerPause = 40.0, 4.0
	// exposure and lift are what one layer of resin takes, s; firstLayers are exposed for firstExposure.
	exposure, lift             = 2.5, 6.0
	firstLayers, firstExposure = 5.0, 30.0
)

// Costs estimates what a part of that volume (mm3) and height (mm) takes, alone on the bed.
func (p Profile) Costs(volumeMM3, heightMM float64) Cost {
	c := Cost{Cm3: math.Round(volumeMM3/10) / 100, Grams: map[string]float64{}}
	for name, density := range densities[p.Process] {
		c.Grams[name] = math.Round(volumeMM3/1000*density*10) / 10
	}
	layers := math.Ceil(heightMM / p.Layer.MM())
	seconds := volumeMM3/(p.Nozzle.MM()*p.Layer.MM()*lineSpeed) + layers*layerPause
	c.Basis = fmt.Sprintf("lines of %.2f x %.2f mm at %.0f mm/s, and %.0f s a layer", p.Nozzle.MM(), p.Layer.MM(), lineSpeed, layerPause)
	if p.Process == Resin {
		seconds = layers*(exposure+lift) + math.Min(layers, firstLayers)*firstExposure
		c.Basis = fmt.Sprintf("%.1f s a layer, and %.0f s more for each of the first %.0f", exposure+lift, firstExposure, firstLayers)
	}
	c.Basis += "; " + CommonPractice
	c.Minutes = math.Round(seconds / 60)
	return c
}

// Plus is the cost of both.
func (c Cost) Plus(more Cost) Cost {
	sum := Cost{Cm3: math.Round((c.Cm3+more.Cm3)*100) / 100, Grams: map[string]float64{}, Minutes: c.Minutes + more.Minutes, Basis: more.Basis}
	for name, grams := range more.Grams {
		sum.Grams[name] = math.Round((c.Grams[name]+grams)*10) / 10
	}
	return sum
}

// Words tell c: "11.2 cm3 of plastic (12 g of ABS or 14 g of PLA), about 66 minutes".
func (c Cost) Words() string {
	var grams []string
	for _, name := range slices.Sorted(maps.Keys(c.Grams)) {
		grams = append(grams, fmt.Sprintf("%.0f g of %s", c.Grams[name], name))
	}
	return fmt.Sprintf("%.1f cm3 (%s), about %.0f minutes", c.Cm3, strings.Join(grams, " or "), c.Minutes)
}
