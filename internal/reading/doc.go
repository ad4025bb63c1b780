// Package reading turns what a person reads off a thread (diameters, a count of crests, a pitch leaf, a length over
// wires) into values with an uncertainty, and says which threads they could be.
//
// Lengths inside are float64 millimetres where they are figures of statistics, unit.Length where a person meets them.
// A small u is always a standard uncertainty (one standard deviation), "half" the half width of a range that surely holds
// the value. Everything follows JCGM 100:2008, called GUM here; clauses are named where they are used.
//
// A reading of an external thread is its outside diameter, over the crests; one of an internal thread is its bore, crest to
// crest. The throat is the smooth opening behind or through the thread.
package reading
