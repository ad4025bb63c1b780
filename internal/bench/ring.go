package bench

// This file answers what the ring will be: its drawing, its sizes, what is to be said of it, and its mesh.

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strings"

	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/mesh"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

// ringView is what the page shows of a ring. With faults there is nothing else in it.
type ringView struct {
	Faults  []fault `json:"faults"`
	Name    string  `json:"name"`
	Threads string  `json:"threads"`
	// Facts are what a person may want to know at a glance.
	Facts  []fact          `json:"facts"`
	Checks []check.Finding `json:"checks"`
	// SVG is the section.
	SVG string `json:"svg"`
	// Fits are how the ring goes with the part that goes in and with the fitting that stays.
	Fits []fitView `json:"fits"`
}

// fact is one line: what it is, how much, and why so. ID names those that the page draws.
type fact struct {
	ID    string `json:"id"`
	What  string `json:"what"`
	Value string `json:"value"`
	Why   string `json:"why"`
}

// ring answers GET /api/ring.
func (s *site) ring(r Request) Answer {
	f, faults := readForm(r.Query)
	a, p, more := s.settle(f)
	if faults = append(faults, more...); len(faults) > 0 {
		return answer(noRing(faults))
	}
	var svg bytes.Buffer
	if _, err := draw.SectionView(&svg, p); err != nil {
		return answer(noRing([]fault{{"", err.Error()}}))
	}
	view := ringView{Faults: []fault{}, Name: a.Name, Threads: p.Designations(), Facts: facts(p), SVG: svg.String(), Fits: s.fits(p), Checks: []check.Finding{}}
	for _, c := range check.All(check.Subject{Plan: &p, Printer: p.Printer, Inner: check.WantedOf(p.Inner, false), Outer: check.WantedOf(p.Outer, true)}) {
		if c.Text != check.Caution { // it stands on the page for good
			view.Checks = append(view.Checks, c)
		}
	}
	if shared := check.Shared(p.Inner.Thread, p.Outer.Thread); shared != "" {
		view.Checks = append(view.Checks, check.Finding{ID: "shared", Level: check.Note, Text: shared})
	}
	return answer(view)
}

// noRing is the answer when there are faults.
func noRing(faults []fault) ringView {
	return ringView{Faults: faults, Facts: []fact{}, Checks: []check.Finding{}, Fits: []fitView{}}
}

// facts are the ring's sizes in plain words.
func facts(p ring.Plan) []fact {
	reads := func(s ring.Side, crest unit.Length) string {
		mm, inch := draw.OnCaliper(s, crest)
		return mm + " " + inch
	}
	return []fact{
		{"outside", "Outside, on your caliper", reads(p.Outer, p.Outer.Printed.Major), "over the crests of the print"},
		{"", "Outside, in the file", p.Outer.Modelled.Major.String(), "drawn for what this printer adds"},
		{"bore", "Bore, on your caliper", reads(p.Inner, p.Inner.Printed.Minor), "from crest to crest of the print"},
		{"", "Bore, in the file", p.Inner.Modelled.Minor.String(), "drawn for what this printer takes"},
		{"height", "Height", p.Height.String(), ""},
		{"", "Least wall", p.Wall.String(), ""},
		{"", "Gap inside", p.Inner.Clearance.String(), "as a mate of basic size feels it, on the diameter"},
		{"", "Gap outside", p.Outer.Clearance.String(), "as a mate of basic size feels it, on the diameter"},
		{"", "To slice", p.Printer.Layer.TextMM() + " layers", "seam in one line, no supports, size 100 %"},
		{"", "Layout", string(p.Layout), strings.TrimPrefix(p.LayoutWhy, string(p.Layout)+": ")},
	}
}

// meshType is the media type of a mesh as the page reads it: little-endian, the numbers of vertices and of faces (uint32
// each), three float32 of millimetres a vertex, three numbers of vertices a face: uint16 where all fit into it, else uint32.
const meshType = "application/vnd.tryring.mesh"

// mesh answers GET /api/mesh: the mesh that will be printed. With faults the answer is empty; /api/ring tells them.
func (s *site) mesh(r Request) Answer {
	f, faults := readForm(r.Query)
	a, p, more := s.settle(f)
	if len(faults)+len(more) > 0 {
		return Answer{Status: noContent}
	}
	m, err := mesh.Helix{ChordMM: a.Chord.MM()}.Mesh(p.Shape)
	if err != nil {
		return says(unprocessable, fmt.Sprintf("this ring cannot be meshed: %v", err))
	}
	return shown(meshType, packMesh(m))
}

// packMesh writes m as meshType tells.
func packMesh(m *mesh.Mesh) []byte {
	short := len(m.Vertices) <= math.MaxUint16+1
	corner := 4
	if short {
		corner = 2
	}
	out := make([]byte, 0, 8+12*len(m.Vertices)+3*corner*len(m.Faces))
	out = binary.LittleEndian.AppendUint32(out, uint32(len(m.Vertices)))
	out = binary.LittleEndian.AppendUint32(out, uint32(len(m.Faces)))
	for _, v := range m.Vertices {
		for _, x := range v {
			out = binary.LittleEndian.AppendUint32(out, math.Float32bits(x))
		}
	}
	for _, f := range m.Faces {
		for _, i := range f {
			if short {
				out = binary.LittleEndian.AppendUint16(out, uint16(i))
			} else {
				out = binary.LittleEndian.AppendUint32(out, i)
			}
		}
	}
	return out
}
