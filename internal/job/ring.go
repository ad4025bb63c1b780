package job

// This file holds the ring as it is asked for.

import "reflect"

// Ring is a ring as it is asked for, each field as the person wrote it; what is empty is left to its default.
type Ring struct {
	// Name is what the files are called, without their endings.
	Name string `toml:"name" json:"name"`
	// Inner is the thread inside the ring, Outer the one outside it, as people write threads.
	Inner string `toml:"inner" json:"inner"`
	Outer string `toml:"outer" json:"outer"`
	// Height is the whole height of the part.
	Height string `toml:"height" json:"height"`
	// Clearance is the gap on the diameter for both threads; InnerClearance and OuterClearance are for one of them.
	Clearance      string `toml:"clearance" json:"clearance"`
	InnerClearance string `toml:"inner_clearance" json:"inner_clearance"`
	OuterClearance string `toml:"outer_clearance" json:"outer_clearance"`
	// Printer names a printer profile, Layer is the height of the layers that it prints.
	Printer string `toml:"printer" json:"printer"`
	Layer   string `toml:"layer" json:"layer"`
	Grip    string `toml:"grip" json:"grip"`
	Layout  string `toml:"layout" json:"layout"`
	// Label is engraved beside TEST FIT ONLY.
	Label string `toml:"label" json:"label"`
	// Chord is how far the mesh may lie from the ideal surface.
	Chord string `toml:"chord" json:"chord"`
	// Mesher is "helix" or "octree".
	Mesher string `toml:"mesher" json:"mesher"`
	// Out is the folder that the files go to, seen from the folder that the program runs in; Paper is what drawings are for.
	Out   string `toml:"out" json:"out"`
	Paper string `toml:"paper" json:"paper"`
}

// With returns r with every field replaced that more sets. A clearance for both threads replaces those for one.
func (r Ring) With(more Ring) Ring {
	if more.Clearance != "" {
		r.InnerClearance, r.OuterClearance = "", ""
	}
	to, from := reflect.ValueOf(&r).Elem(), reflect.ValueOf(more)
	for i := range to.NumField() {
		if text := from.Field(i).String(); text != "" {
			to.Field(i).SetString(text)
		}
	}
	return r
}
