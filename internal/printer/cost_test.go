package printer

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The estimate by hand: 10 cm3 in lines of 0.4 x 0.2 mm at 40 mm/s are 3125 s, 100 layers of 20 mm take 400 s beside them.
func TestCosts(t *testing.T) {
	p := layered(Filament, 0.2)
	c := p.Costs(10000, 20)
	assert.InDelta(t, 10, c.Cm3, 1e-9)
	assert.InDelta(t, 12.4, c.Grams["PLA"], 1e-9)
	assert.InDelta(t, (3125.0+400)/60, c.Minutes, 0.5)
	assert.Contains(t, c.Basis, CommonPractice)
	assert.Greater(t, layered(Filament, 0.1).Costs(10000, 20).Minutes, c.Minutes, "finer layers take longer")

	// Resin takes its time by the layer, whatever the volume: 400 layers of 8.5 s, five of them 30 s more.
	r := layered(Resin, 0.05)
	assert.InDelta(t, (400*8.5+150)/60, r.Costs(10000, 20).Minutes, 0.5)
	assert.InDelta(t, r.Costs(1000, 20).Minutes, r.Costs(10000, 20).Minutes, 1e-9)

	both := c.Plus(c)
	assert.InDelta(t, 2*c.Minutes, both.Minutes, 1e-9)
	assert.InDelta(t, 24.8, both.Grams["PLA"], 1e-9)
	assert.Equal(t, "10.0 cm3 (10 g of ABS or 13 g of PETG or 12 g of PLA), about 59 minutes", c.Words())
}
