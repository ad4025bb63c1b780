// Package thread holds what a screw thread is: its form, its full geometry, the standard series with their
// limits of size, and the notation that people write.
//
// Frame: z runs along the axis in millimetres, r is the radius, theta the angle about z. The axial section of
// a thread is r(z); a turn of the thread moves it by its lead: r(theta, z) = r(0, z - Hand*Lead*theta/2pi), so a
// right-hand thread climbs counter-clockwise seen from +z.
//
// Lengths are unit.Length where a person meets them and float64 millimetres (suffix MM) inside geometry.
// Angles are radians inside (suffix Rad); degrees appear only in what people read and write.
//
// Parse reads what people write and returns a Thread whose Designation is the one normal form: Parse of it gives the
// same Thread again. Families of threads are data: each file of profiles/threads/listed is one, and Listed reads it;
// what follows from formulas (Unified, Metric) is code. Hand and starts belong to no family: the notation adds them.
// A free thread has no Standard and no limits of size (ErrNoLimits). A person's own tables come in by ReadFolder and
// NewTables.
package thread
