// Package thread holds what a screw thread is: its form, its full geometry, the standard series with their
// limits of size, and the notation that people write.
//
// Frame: z runs along the axis in millimetres, r is the radius, theta the angle about z. The axial section of
// a thread is r(z); a turn of the thread moves it by its lead: r(theta, z) = r(0, z - Hand*Lead*theta/2pi), so a
// right-hand thread climbs counter-clockwise seen from +z.
//
// Lengths are unit.Length where a person meets them and float64 millimetres (suffix MM) inside geometry.
// Angles are radians inside (suffix Rad); degrees appear only in what people read and write.
package thread
