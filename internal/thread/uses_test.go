package thread

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every use points at a thread that is known under just that name, and its throat is narrower than the thread.
func TestUsesPointAtThreads(t *testing.T) {
	require.NotEmpty(t, Uses())
	for _, u := range Uses() {
		t.Run(u.Designation+": "+u.What, func(t *testing.T) {
			th, err := Parse(u.Designation)
			require.NoError(t, err)
			assert.Equal(t, th.Designation, u.Designation, "not in its normal form")
			assert.Less(t, u.Throat, th.Basic.Minor)
			assert.GreaterOrEqual(t, float64(u.Throat), 0.0)
			assert.Equal(t, "common practice, no published source", u.Source())
		})
	}
}

// Common practice, no published source.
func TestUsesHoldTheCommonOnes(t *testing.T) {
	for _, designation := range []string{
		"1 3/8-16 UN", "1 1/2-16 UN", "1 5/8-16 UN", "1 7/8-16 UN", "1 7/8-14 UNS", "1 1/2-11.5 NPSM", "1 1/4-11.5 NPSM",
		"G 1 1/4", "G 1 1/2", "15/16-27 UNS", "55/64-27 UNS", "M22x1", "M24x1", "M28x1", "M18x1", "1/2-14 NPT", "G 1/2", "3/4-11.5 NH",
	} {
		assert.NotEmpty(t, UsesOf(designation), designation)
	}
	assert.Len(t, UsesOf("1 1/2-11.5  npsm"), 2, "letter case and spaces do not matter")
	assert.Equal(t, "1 7/8-11.5, by the outside", UsesOf("1 1/2-11.5 NPSM")[0].OtherName)
	assert.InDelta(t, 1.5, UsesOf("1 1/2-11.5 NPSM")[0].Throat.Inches(), 1e-9)
	assert.Empty(t, UsesOf("M42x1.5"))
}
