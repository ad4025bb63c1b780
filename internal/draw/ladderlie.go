package draw

// This file draws for the page of a ladder how each rung lies in its mate.

import (
	"bytes"
	"fmt"
	"html/template"
)

// ladderLie is the drawing of one rung in its mate; that of the rung which is likeliest to go is open.
type ladderLie struct {
	Words   string
	Picture template.HTML
	Open    bool
}

// lies draws one side of all rungs that can be drawn.
func (d LadderData) lies(side func(LadderRung) LadderSide) ([]ladderLie, error) {
	var out []ladderLie
	best, chance := -1, -1.0
	for _, r := range d.Rungs {
		s := side(r)
		if s.Lies == nil {
			continue
		}
		var picture bytes.Buffer
		if err := FitView(&picture, *s.Lies); err != nil {
			return nil, fmt.Errorf("rung %s: %w", r.Name, err)
		}
		if s.Chance > chance {
			best, chance = len(out), s.Chance
		}
		words := fmt.Sprintf("Rung %s in its mate: %s, %.0f %%", r.Name, s.Verdict, 100*s.Chance)
		out = append(out, ladderLie{Words: words, Picture: template.HTML(picture.String())}) // our own drawing; its words are escaped there
	}
	if best >= 0 {
		out[best].Open = true
	}
	return out, nil
}
