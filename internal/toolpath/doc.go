// Package toolpath reads what a slicer made of a part, G-code of any general slicer, rebuilds the beads that it lays, and says what
// a mate would feel of the threads.
//
// Frame: the file's own x and y; z up from the bed, millimetres, angles counter-clockwise seen from above. A layer of height h
// whose top is at z lies in z-h to z.
//
// A bead is a rectangle with half circles of h/2 at its ends, so that its section (w-h) h + pi h^2/4 is the flow over the length
// (the flow arithmetic that slicers publish): w = A/h + (1 - pi/4) h. In space it is the path, widened in its plane by (w-h)/2, with
// a ball of radius h/2 run over it. So a mate touches a bead where the mate's surface, drawn back by that ball, reaches the widened
// path: beads shrink to points, whatever the form, the angles of its flanks, the starts, the taper.
package toolpath
