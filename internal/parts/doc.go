// Package parts reads a parts list that somebody wrote or typed off a catalogue page, works out which threads its rounded
// numbers could stand for, and ranks the parts by the chance that they join two given threads.
//
// Every part is an adapter: an internal thread inside (inner) and an external thread outside (outer), like the ring that is
// printed in its place. Its inner thread has to take an external thread of the kind named inner, and its outer thread has
// to go into an internal thread of the kind named outer.
//
// A printed number is evidence, not a size. "1.6" may be 1.600, 1.625 cut off or rounded, or 1.6875 cut off; "1.500" may be padded from
// one decimal; "1.5" may be the bore of a 1 7/8 thread. The habits of a list (belief, ways) are how it brings sizes to digits, how
// many zeros it pads, and what share of each column goes by the bore; some rows of any list do not follow. Each habit makes of a
// number the set of threads that it could stand for, weighed by how common they are; all numbers of a list together tell which
// habits the list has. A thread that is asked for is likelier than another of the tables, though never sure by that alone, and a
// part that may join by a habit of some share is asked about and not struck out.
package parts
