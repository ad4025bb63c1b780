package fit

// This file puts the reason for a verdict into words, with the figures that decided.

import (
	"fmt"
	"math"
	"strings"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// mm prints a length as drawings and tables do, so that a figure reads the same wherever it stands.
func mm(x float64) string { return unit.MM(x).TextMM() }

// turns prints a number of turns.
func turns(x float64) string {
	if text := fmt.Sprintf("%.1f", x); text != "1.0" {
		return text + " turns"
	}
	return "1 turn"
}

// words explains o.
func words(j joint, o outcome, e, i thread.Thread) string {
	var parts []string
	say := func(format string, args ...any) { parts = append(parts, fmt.Sprintf(format, args...)) }
	drifts := j.drift() > negligibleDriftMM
	play := math.Max(0, o.room.play())
	switch {
	case j.tapered():
		taperWords(j, o, say)
	case o.verdict == WillNotStart:
		say("the external thread is %s too large: its chamfered end does not enter the mouth", mm(-o.spare))
	case o.room.bore >= 0:
		say("the crests do not reach each other: the external thread is %s smaller than the bore", mm(2*o.room.bore))
		drifts = false
	case o.verdict == Binds:
		bindWords(j, o, say)
		drifts = drifts && o.cause != byPitch
	case o.verdict == Snug && o.cause == byPitch:
		say("the pitch differs by %s a turn; of %s of play the %s engaged leave %s", mm(j.drift()), mm(play), turns(j.engaged/j.lead()), mm(math.Max(0, o.left)))
		drifts = false
	case o.verdict == Snug:
		say("only %s of clearance to spare at the %s; below %s threads do not run free", mm(math.Max(0, o.spare)), o.cause, mm(SnugBelow.MM()))
	case o.verdict == Loose && o.engagement < LooseBelowPercent:
		say("the flanks engage over only %.0f %% of full depth, with %s of clearance at the pitch line", o.engagement, mm(o.pitchClearance))
	case o.verdict == Loose:
		say("%s of clearance at the pitch line, more than %g of the %s pitch: it rattles", mm(o.pitchClearance), LooseAbovePitches, mm(j.pitchI))
	default:
		say("%s of clearance at the pitch line gives %s of axial play, and the flanks engage over %.0f %% of full depth", mm(o.pitchClearance), mm(play), o.engagement)
	}
	if drifts {
		say("the pitch differs by %s a turn", mm(j.drift()))
	}
	if j.unlike {
		same := ""
		if !drifts && j.drift() <= negligibleDriftMM {
			same = fmt.Sprintf(" though both have %s threads to the inch", unit.Short(math.Round(1e4/i.Pitch.Inches())/1e4))
		}
		say("the flank angles differ, %s degrees outside and %s inside%s, so they touch at corners only", e.Form.AngleWords(), i.Form.AngleWords(), same)
	}
	return strings.Join(parts, "; ")
}

// String names what meets.
func (c cause) String() string {
	return map[cause]string{byFlanks: "flanks", byPitch: "flanks", byCrest: "external crests", byRoot: "internal crests", byAngle: "corners of the threads"}[c]
}

func bindWords(j joint, o outcome, say func(string, ...any)) {
	switch {
	case o.cause == byPitch:
		play := math.Max(0, o.room.play())
		say("the pitch differs by %s a turn; the %s of play is used up after %s", mm(j.drift()), mm(play), turns(play/j.drift()))
	default:
		say("the %s overlap by %s on the diameter: it stops within the first turn", o.cause, mm(-o.spare))
	}
	if over := -2 * o.room.root; o.cause == byPitch && over > Touch.MM() {
		say("the bore is %s smaller than the root of the external thread", mm(over))
	}
	if over := -2 * o.room.crest; o.cause == byPitch && over > Touch.MM() {
		say("the external major diameter is %s larger than the internal one", mm(over))
	}
}

func taperWords(j joint, o outcome, say func(string, ...any)) {
	switch o.verdict {
	case Loose:
		say("the taper does not get tight within its useful length of %s", turns(o.turns))
	case WillNotStart:
		say("the external thread is too large to enter the mouth")
	default:
		say("the %s wedge after %s; by its standard a joint of this taper is hand-tight after %s", o.cause, turns(o.turns), turns(j.handTight))
	}
}
