// Package draw shows a ring: the section drawing to scale and the report page.
//
// Drawings are sheets (sheet.go) of A4 or Letter paper, in sheet millimetres, x to the right, y down: data, which svg.go and pdf.go
// write alike. Habits are those of a shop
// drawing: the lines of ISO 128-2:2020 in lines.go, dimensions of ISO 129-1:2018, true thread
// profiles as in the detailed representation of ISO 6410-1:1993, scales of ISO 5455:1979, and lettering whose capitals are
// at least 2.5 mm high (ISO 3098-1:2015). The bytes depend on the plan alone.
package draw
