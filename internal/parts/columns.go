package parts

// This file says what the columns of a list hold, from a header in plain words.

import (
	"fmt"
	"slices"
	"strings"

	"tryring/internal/fault"
	"tryring/internal/unit"
)

// kind is what a column holds.
type kind int

const (
	unused kind = iota
	partName
	// threadText is a thread as people write it, or its size alone.
	threadText
	// sizeNumber is the size by which a thread goes.
	sizeNumber
	// outsideNumber and boreNumber are diameters over the crests.
	outsideNumber
	boreNumber
	perInch
	pitchLength
)

// The sides of a part.
const (
	inner = iota
	outer
	bothSides
)

// column is what one column holds.
type column struct {
	kind kind
	side int
	// unit is the unit that the header names, 0 for none.
	unit unit.Length
	name string
}

// words are the words of a header, in lower case; I.D. is ID.
func words(name string) []string {
	return strings.FieldsFunc(strings.ReplaceAll(strings.ToLower(unit.Plain(name)), ".", ""), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r > 127)
	})
}

func any1(have []string, wanted ...string) bool {
	return slices.ContainsFunc(have, func(w string) bool { return slices.Contains(wanted, w) })
}

// unitNames are the words for units in a header, the first mmNames of them for millimetres.
var unitNames = []string{"mm", "millimetre", "millimetres", "millimeter", "millimeters", "in", "inch", "inches"}

const mmNames = 5

// fillers are words of a header that say nothing of what stands below.
var fillers = []string{"side", "end", "goes", "fits", "for", "in", "into", "on", "onto", "to", "the"}

// diameters are the words and signs for a diameter.
var diameters = []string{"diameter", "dia", "ø", "⌀"}

// readColumn understands one header cell.
func readColumn(name string) column {
	w := words(name)
	c := column{name: strings.TrimSpace(name), side: bothSides}
	switch {
	case any1(w, "inner", "inside", "internal", "female", "bore", "id", "socket"):
		c.side = inner
	case any1(w, "outer", "outside", "external", "male", "od", "spigot"):
		c.side = outer
	case any1(w, "f") && any1(w, "thread"):
		c.side = inner
	case any1(w, "m") && any1(w, "thread"):
		c.side = outer
	case any1(w, "strainer"): // a strainer goes into the part, and the part into the drain
		c.side = inner
	case any1(w, "drain", "tub"):
		c.side = outer
	}
	plain := slices.DeleteFunc(slices.Clone(w), func(word string) bool { return slices.Contains(unitNames, word) || slices.Contains(fillers, word) })
	joined := strings.Join(w, " ")
	switch {
	case any1(w, "price", "cost", "note", "notes", "remark", "remarks", "colour", "color", "material", "stock", "-", "page"):
		c.kind = unused
	case any1(w, "tpi", "count"), strings.Contains(joined, "per inch"), strings.Contains(joined, "threads in one inch"),
		strings.Contains(strings.ReplaceAll(strings.ToLower(name), " ", ""), "threads/in"):
		c.kind = perInch
		return c
	case any1(w, "pitch"):
		c.kind = pitchLength
	case any1(w, "bore"), c.side == inner && any1(w, "id"), c.side == inner && any1(w, diameters...):
		c.kind = boreNumber
	case c.side == outer && any1(w, "od"), c.side == outer && any1(w, diameters...):
		c.kind = outsideNumber
	case c.side != bothSides && any1(w, "size"):
		c.kind = sizeNumber
	case c.side != bothSides && (any1(w, "thread", "threads") || len(plain) == 1):
		c.kind = threadText
	case any1(w, "part", "parts", "name", "number", "no", "item", "article", "product", "adapter", "description", "code", "ref", "model", "sku", "art"):
		c.kind = partName
	}
	switch {
	case any1(w, unitNames[:mmNames]...):
		c.unit = unit.Millimetre
	case any1(w, unitNames[mmNames:]...):
		c.unit = unit.Inch
	}
	return c
}

// sided reads all header cells. Where a list has two columns of counts without a side, like "inner thread, tpi, outer thread,
// tpi", each belongs to the side named before it.
func sided(cells []string) []column {
	out := make([]column, len(cells))
	counts := map[kind]int{}
	for k, cell := range cells {
		out[k] = readColumn(cell)
		if c := out[k]; c.side == bothSides && (c.kind == perInch || c.kind == pitchLength) {
			counts[c.kind]++
		}
	}
	side := bothSides
	for k, c := range out {
		switch {
		case c.side != bothSides:
			side = c.side
		case counts[c.kind] == 2:
			out[k].side = side
		}
	}
	return out
}

// layout is the meaning of all columns.
type layout []column

const wantedColumns = `name the columns in plain words, like "part, inner thread, inner tpi, outer thread, outer tpi"`

// readLayout understands a header row; a list without any thread column is refused.
func readLayout(cells []string) (layout, error) {
	var l layout
	seen := map[[2]int]string{}
	known := false
	for _, c := range sided(cells) {
		if c.kind != unused {
			key := [2]int{int(c.kind), c.side}
			if first, taken := seen[key]; taken {
				if c.kind != partName {
					return nil, fmt.Errorf("columns %q and %q seem to hold the same; rename one of them", first, c.name)
				}
				c.kind = unused // "part" and "name": the first names it
			}
			seen[key] = c.name
		}
		switch c.kind {
		case threadText, sizeNumber, outsideNumber, boreNumber:
			known = true
		}
		l = append(l, c)
	}
	if !known {
		return nil, fault.At("columns", strings.Join(cells, ","), "none of the columns holds a thread; %s", wantedColumns)
	}
	return l, nil
}

// isHeader reports whether a row looks like column names: it names a thread column and has no digit.
func isHeader(cells []string) bool {
	if strings.ContainsAny(strings.Join(cells, ""), "0123456789") {
		return false
	}
	_, err := readLayout(cells)
	return err == nil
}

// unusedNames lists the columns that are not used.
func (l layout) unusedNames() []string {
	var out []string
	for _, c := range l {
		if c.kind == unused && c.name != "" && c.name != "-" {
			out = append(out, c.name)
		}
	}
	return out
}
