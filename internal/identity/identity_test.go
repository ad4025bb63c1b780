package identity

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/thread"
)

// drain is a job of a bath drain: 1 7/8-14 stays.
func drain(records ...reading.Record) *job.Document {
	d := job.New()
	d.Among, d.Stays = "drain", records
	return d
}

var shoe = []reading.Record{{ID: 1, What: "bore", Text: "45.75mm"}, {ID: 2, What: "leaf", Text: "14tpi"}}

// The document says all that is weighed: the readings of the side with their instruments, what it is looked for among, the tries.
func TestOf(t *testing.T) {
	tables := thread.NewTables()
	found, err := Of(drain(shoe...), job.Stays, tables)
	require.NoError(t, err)
	assert.Equal(t, "1 7/8-14 UNS", found.Candidates[0].Designation)
	assert.Equal(t, reading.Drain, found.Among)

	byRuler := drain(reading.Record{What: "bore", Text: "45.75mm", Instrument: "ruler"}, shoe[1])
	coarse, err := Of(byRuler, job.Stays, tables)
	require.NoError(t, err)
	assert.Greater(t, coarse.Found.Diameter.U, 2*found.Found.Diameter.U, "a ruler stays a ruler")

	anything := drain(shoe...)
	anything.Among = ""
	wide, err := Of(anything, job.Stays, tables)
	require.NoError(t, err)
	assert.Equal(t, reading.Any, wide.Among)
	assert.NotEqual(t, found.Candidates[0].Weight, wide.Candidates[0].Weight)

	count := drain(reading.Record{What: "bore", Text: "1.81"}, reading.Record{What: "count", Text: "15 over 1in"})
	inches, err := Of(count, job.Stays, tables)
	require.NoError(t, err)
	require.NotEmpty(t, inches.Questions)
	assert.Equal(t, "1.81 is meant in inches", inches.Questions[0].If)

	tried := drain(shoe...)
	tried.Tries = []job.Try{{
		ID: 5, Side: "outer", Thread: "1 7/8-14 UNS", MajorMM: 47.3, PitchDMM: 46.1, MinorMM: 45.3, EngagedMM: 16, Printer: "none", UMM: 0.05, Result: "rattles",
	}, {
		ID: 6, Side: "inner", Thread: "1 5/8-16 UN", MajorMM: 41.6, PitchDMM: 40.6, MinorMM: 39.9, EngagedMM: 16, Printer: "none", UMM: 0.05, Result: "goes",
	}}
	weighed, err := Of(tried, job.Stays, tables)
	require.NoError(t, err)
	assert.Equal(t, 1, weighed.Tries, "the other side's are its own")
	assert.NotEqual(t, found.Candidates[0].Weight, weighed.Candidates[0].Weight)
}

func TestOfFaults(t *testing.T) {
	tables := thread.NewTables()
	amiss := drain(shoe...)
	amiss.Among = "boats"
	badTry := drain(shoe...)
	badTry.Tries = []job.Try{{ID: 5, Side: "outer", Result: "goes"}}
	for name, c := range map[string]struct {
		d     *job.Document
		side  string
		field string
	}{
		"no side":       {drain(shoe...), "left", "side"},
		"among":         {amiss, job.Stays, "among"},
		"no length":     {drain(reading.Record{ID: 3, What: "bore", Text: "wide"}), job.Stays, "3.bore"},
		"nothing read":  {drain(shoe...), job.Goes, ""},
		"a spoiled try": {badTry, job.Stays, "5.pitch_diameter_mm"},
	} {
		_, err := Of(c.d, c.side, tables)
		require.Error(t, err, name)
		assert.Equal(t, c.field, fault.Each(err)[0].Field, name)
	}
}

func TestDecide(t *testing.T) {
	tables := thread.NewTables()
	found, err := Of(drain(shoe...), job.Stays, tables)
	require.NoError(t, err)
	first, err := found.Decide("1", false, "May 4", tables)
	require.NoError(t, err)
	assert.Equal(t, "1 7/8-14 UNS", first.Designation)
	assert.Equal(t, "May 4", first.When)
	assert.InDelta(t, found.Candidates[0].Weight, first.Weight, 1e-4)
	second := found.Candidates[1]
	if none := found.Candidates[len(found.Candidates)-1]; none.Weight > second.Weight {
		second = none
	}
	assert.Equal(t, second.Designation, first.Second)
	assert.InDelta(t, second.Weight, first.SecondWeight, 1e-4)
	byName, err := found.Decide("1 7/8-14", true, "May 4", tables)
	require.NoError(t, err)
	assert.Equal(t, first, byName, "who need not be sure is not kept as sure")

	for _, text := range []string{"2", "M48x2"} {
		_, err = found.Decide(text, false, "", tables)
		require.ErrorIs(t, err, ErrUnsure, text)
		sure, err := found.Decide(text, true, "", tables)
		require.NoError(t, err)
		assert.True(t, sure.Sure)
		assert.Equal(t, "1 7/8-14 UNS", sure.Second, "what stands beside it is the likeliest other one")
	}
	for _, text := range []string{"0", "99", "quarter inch"} {
		_, err = found.Decide(text, true, "", tables)
		require.Error(t, err)
		assert.Equal(t, "take", fault.Each(err)[0].Field)
	}
}

func TestUnlikely(t *testing.T) {
	for _, c := range []struct {
		one  job.Decision
		says string
	}{
		{job.Decision{Designation: "M20", Weight: 0.5, Second: "M22", SecondWeight: 0.5}, ""},
		{job.Decision{Designation: "M20", Weight: 0.49, Second: "M22", SecondWeight: 0.3}, "M20 has a chance of 49.0 % only; beside it stands M22 with 30.0 %"},
		{job.Decision{Designation: "M20", Weight: 0.3}, "M20 has a chance of 30.0 % only"},
		{job.Decision{Designation: "M20", Weight: 0.3, Second: reading.NoneOfThese, SecondWeight: 0.6}, "M20 has a chance of 30.0 %, and none of the threads that are known one of 60.0 %"},
		{job.Decision{Designation: "M20", Weight: 0.45, Second: reading.NoneOfThese, SecondWeight: 0.4}, "M20 has a chance of 45.0 % only; beside it stands none of these with 40.0 %"},
	} {
		assert.Equal(t, c.says, Unlikely(c.one))
	}
}
