package standing

// This file says which part to order, what shops call it, and what to ask first.

import (
	"fmt"
	"strings"

	"tryring/internal/reading"
)

// Order is a part to order.
type Order struct {
	Part string `json:"part"`
	// Chance is that it joins both threads.
	Chance float64 `json:"chance"`
	// Names say what shops call its two threads.
	Names []string `json:"names"`
	// Ask is what to ask the shop first.
	Ask string `json:"ask"`
	// Alike are parts that the list does not tell from it, Doubts the decisions under nine in ten that it rests on.
	Alike  []string `json:"same_as"`
	Doubts []string `json:"doubts"`
}

// order is the best part of the list, when it is likely to join both threads and they do not go as they are.
func (s *Standing) order() *Order {
	if len(s.Parts) == 0 || s.Parts[0].Chance < likely || s.goAsTheyAre() {
		return nil
	}
	best := s.Parts[0]
	o := &Order{Part: best.Name, Chance: best.Chance, Alike: append([]string{}, best.Alike...), Doubts: []string{}, Ask: best.Ask}
	for _, t := range []struct{ where, designation string }{{"inside", best.Inner.Thread}, {"outside", best.Outer.Thread}} {
		text := t.where + " " + t.designation
		if parsed, err := s.around.Tables.Parse(t.designation); err == nil {
			text += ": " + reading.NamesOf(parsed).Text
		}
		o.Names = append(o.Names, text)
	}
	if o.Ask == "" {
		o.Ask = "ask for both threads by their full names: shops mix sizes by the bore and by the outside"
	}
	for _, side := range s.Sides {
		if doubt := side.Doubt(); doubt != "" {
			o.Doubts = append(o.Doubts, doubt)
		}
	}
	return o
}

// Sentence says what to order, and of what it cannot be told apart.
func (o Order) Sentence() string {
	text := fmt.Sprintf("order %s (%s)", o.Part, percent(o.Chance))
	if len(o.Alike) > 0 {
		text += ", which the list does not tell from " + strings.Join(o.Alike, ", ")
	}
	return text
}

// Doubt says that what a side is taken for is less than nine in ten sure; "" where it is not.
func (side Side) Doubt() string {
	first, second, known := side.top()
	name, weight, word := first.Designation, first.Weight, "may be"
	if side.Thread != nil {
		name, weight, word = side.Thread.Designation, side.weight(side.Thread.Designation), "is taken for"
		if name != first.Designation {
			second = first
		}
		known = known && (side.Answer != nil || side.Decision.Weight > 0)
	}
	if !known || weight >= settled {
		return ""
	}
	text, or := fmt.Sprintf("%s %s %s (%s)", words[side.Name], word, name, percent(weight)), " or "
	if side.Thread != nil {
		or = ", and may be "
	}
	switch second.Designation {
	case "":
		return text
	case reading.NoneOfThese:
		return text + or + fmt.Sprintf("a thread of no table (%s)", percent(second.Weight))
	}
	return text + or + fmt.Sprintf("%s (%s)", second.Designation, percent(second.Weight))
}

// named is a thread of an adapter by all its names: the one that meets a side.
func named(where string, side Side) string {
	first, _, _ := side.top()
	return fmt.Sprintf("%s %s (%s)", first.Designation, where, reading.NamesOf(*first.Thread).Text)
}

func (s *Standing) orderPart() *Step {
	if s.Order == nil {
		best := s.Parts[0]
		return &Step{Action: Ask, Text: fmt.Sprintf("%s joins both at %s only: ask for an adapter with %s and %s",
			best.Name, percent(best.Chance), named("inside", s.Sides[1]), named("outside", s.Sides[0]))}
	}
	return &Step{Action: OrderPart, Part: s.Order.Part, List: s.List, Text: s.Order.Sentence()}
}
