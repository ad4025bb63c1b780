// Package caliper measures threads on a mesh, from its triangles alone: lead, starts, hand, diameters, flank
// angles, taper and wall.
//
// The mesh is cut by half planes that stand on the axis at uneven angles. Each cut gives the line r(z) of the inner
// and of the outer surface. Where such a line swings up and down regularly there may be a thread; whether the swings
// climb with the angle, and how fast, gives lead, starts and hand. One least-squares fit through the middle of all
// flanks then gives pitch, taper, flank slopes and the pitch diameter, and the extremes of the full form give
// the other two diameters.
//
// Frame: millimetres; z along the axis found, theta about it, counter-clockwise seen from +z. "up" is a flank on
// which r grows with z, "down" one on which it shrinks.
package caliper
