package reading

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/thread"
)

func TestAskUnit(t *testing.T) {
	tables := thread.BuiltIn()
	for _, c := range []struct {
		name    string
		threads []Measured
		inches  bool
		unit    string // "" for no question
		called  string
	}{
		{"an inch thread in inches", []Measured{{1.875, 1.0 / 14}}, false, "in", "1 7/8-14 UNS"},
		{"with clearance", []Measured{{1.89, 1.0 / 14}}, false, "in", "1 7/8-14 UNS"},
		{"a metric thread in mm", []Measured{{20, 2.5}}, false, "", ""},
		{"a fine metric thread in mm", []Measured{{1.6, 0.35}}, false, "", ""},
		{"a thread of no table", []Measured{{44.4, 2.1}}, false, "", ""},
		{"a thread of no table, in inches", []Measured{{1.2, 0.0693}}, false, "in", ""},
		{"one of two named", []Measured{{44.4, 2.1}, {20, 2.5}}, false, "", ""},
		{"mm taken for inches", []Measured{{20 * 25.4, 2.5 * 25.4}}, true, "mm", "M20x2.5"},
		{"inches taken for inches", []Measured{{47.625, 25.4 / 14}}, true, "", ""},
		{"no thread", nil, false, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			q := AskUnit(tables, c.threads, c.inches)
			if c.unit == "" {
				assert.Nil(t, q)
				return
			}
			require.NotNil(t, q)
			assert.Equal(t, c.unit, q.Unit)
			assert.Equal(t, c.called, q.Designation)
			assert.NotEmpty(t, q.Text)
		})
	}
}
