// Package caliper measures all threads on a mesh, from its triangles alone: where each stands, lead, starts, hand, diameters, flank
// angles, taper and wall, and how sure each figure is.
//
// A mesh is parted into bodies. The z axis is tried first; where faces are left that no axis explains, axes are guessed from
// their normals. About each, the body is cut by half planes that stand on the axis at uneven angles. Each cut gives the lines
// r(z) of the walls that face outwards and of those that face the axis, one behind the other. Where such a line swings up and
// down regularly there may be a thread: a site. Whether the swings climb with the angle, and how fast, gives lead, starts and hand.
// One robust fit through the middle of all flanks then gives pitch, taper, flank slopes and the pitch diameter, and moves
// the axis; the extremes of the full form give the other two diameters.
//
// Frame: millimetres; z along the axis found, theta about it, counter-clockwise seen from +z. "up" is a flank on
// which r grows with z, "down" one on which it shrinks.
package caliper
