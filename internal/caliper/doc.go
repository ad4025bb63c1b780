// Package caliper measures all threads on a mesh, from its triangles alone: where each stands, lead, starts, hand, diameters, flank
// angles, taper and wall, and how sure each figure is.
//
// The way from the mesh to the figures:
//
//   - A mesh is parted into bodies (body.go), whose faces then look outwards.
//   - The z axis is tried first. While faces are left that no axis with threads explains, axes are guessed from a sample of the normals:
//     directions in which normals crowd on circles, and places where normals cross (looks.go, directions.go, axes.go). Of a rough skin, on
//     which that finds no thread, means of many faces are looked at in their place.
//   - About each axis the body is cut by half planes that stand on it at uneven angles (section.go). Each cut gives lines r(z) of the walls
//     that face outwards and of those that face the axis, a line for each wall behind another (swing.go).
//   - Where lines swing up and down regularly, at about the same heights in most cuts, a thread may stand (site.go). How the swings climb
//     with the angle gives starts and hand, roughly (fitstart.go).
//   - One robust fit through the middle of all flanks gives pitch, taper, flank slopes and the pitch diameter, where the axis is, and how far
//     each cut stands off a circle (fit.go, fitspots.go, round.go). It is repeated on the heights at which all cuts show the usual form
//     (fullform.go). Where the axis found is not the one that was cut about, the body is cut again (axis.go, caliper.go).
//   - The extremes of the full form give the other two diameters (peaks.go); a fit to half as much of the flanks tells arcs from straight
//     ones (form.go).
//   - What the cuts leave unexplained says how sure each figure is (sure.go); what is not sure enough is not told (untold.go).
//   - The least wall is that of the cuts, sought from there in space (wall.go, wallspace.go).
//   - Measured figures are set beside wanted ones (compare.go), or weighed as readings of a thread of the tables (records.go).
//
// Frame: millimetres; z along the axis found, theta about it, counter-clockwise seen from +z. "up" is a flank on
// which r grows with z, "down" one on which it shrinks.
package caliper
