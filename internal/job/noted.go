package job

// This file adds readings, and asks where one seems to be noted twice.

import (
	"errors"
	"fmt"
	"slices"

	"tryring/internal/fault"
	"tryring/internal/reading"
)

// ErrAgain is the cause of a fault about a reading that is noted already: the same words, with the same instrument, on the same
// day. A command that was typed twice is no second reading.
var ErrAgain = errors.New("the same reading is noted already")

// AddReadings adds what was read of a side in one look. With again, a reading that is noted already was really taken once more;
// without it that is a fault with the cause ErrAgain, and nothing is added.
func (d *Document) AddReadings(side string, again bool, records ...reading.Record) error {
	if err := CheckSide(side); err != nil {
		return err
	}
	to := d.Readings(side)
	var faults []error
	for _, r := range records {
		if i := slices.IndexFunc(*to, r.Same); i >= 0 && !again {
			faults = append(faults, fault.Fault{
				Field: r.What, Read: r.Text, Cause: ErrAgain,
				Want: fmt.Sprintf("number %d says the same, read with the same instrument on the same day", (*to)[i].ID),
			})
		}
	}
	if err := errors.Join(faults...); err != nil {
		return err
	}
	d.number()
	first := d.last() + 1
	for i, r := range records {
		r.ID, r.Look = first+i, first
		*to = append(*to, r)
	}
	return nil
}
