package ring

// This file decides on a plug and a ring that go together with a given gap: with several such pairs a printer is learned
// without any part at hand.

import (
	"errors"
	"fmt"

	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// ErrTaperPair is returned for a pair of a taper thread.
var ErrTaperPair = errors.New("a taper plug gets tight in its ring at any gap, only sooner or later, and so tells little of the printer")

// NewPair decides on a ring and a plug of thread t with gap between them, on the diameter; a gap below zero makes them too
// tight as modelled. Either takes half of it, so that neither gets a worn-looking form. Tapers are refused with ErrTaperPair.
func NewPair(t thread.Thread, gap unit.Length, p printer.Profile) (ring, plug Gauge, err error) {
	if t.Taper > 0 {
		return ring, plug, fmt.Errorf("%s: %w; take a straight thread of about that pitch", t.Designation, ErrTaperPair)
	}
	for _, one := range []struct {
		kind GaugeKind
		more unit.Length
		to   *Gauge
	}{{RingGauge, gap / 2, &ring}, {PlugGauge, -gap / 2, &plug}} {
		g := Gauge{
			GaugeSpec: GaugeSpec{Thread: t, Kind: one.kind, Limit: Go, Printer: p},
			Wanted:    t.Basic.Plus(one.more), Gap: &gap, Entry: entryOf(t),
		}
		if *one.to, err = g.built(); err != nil {
			return ring, plug, err
		}
	}
	return ring, plug, nil
}
