// Package ring says what to build: the plan of a threaded test ring and the solid that defines it.
//
// Frame: millimetres, z up from the print bed, the end that stays outside at z = 0 (the flange, if any), the end that
// goes into the fitting at the top. The solid is r_in(theta, z) <= r <= r_out(theta, z), plus the flange. Distances are
// negative inside the material.
//
// Diameters come in three kinds that are never mixed: nominal (the thread's basic size), wanted (nominal with the
// clearance taken: inner threads larger, outer threads smaller) and modelled (wanted with the printer's own error taken off).
package ring
