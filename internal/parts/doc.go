// Package parts reads a parts list that somebody wrote or typed off a catalogue page, works out which threads its rounded
// numbers could stand for, and ranks the parts by the chance that they join two given threads.
//
// Every part is an adapter: an internal thread inside (inner) and an external thread outside (outer), like the ring that is
// printed in its place. Its inner thread has to take an external thread of the kind named inner, and its outer thread has
// to go into an internal thread of the kind named outer.
//
// A printed number is evidence, not a size. "1.6" may be 1.600, 1.625 cut off or rounded, or 1.6875 cut off. Each habit (the
// list rounds, cuts off, or prints what is exactly so) makes of a number the set of sizes it could stand for, weighed by
// how common those threads are; all numbers of a list together tell which habit the list has.
package parts
