// Package fit works out how an external and an internal thread go together: clearances, axial play, how many turns before
// the flanks lock, and the chance that they go.
//
// Frame: z runs along the axis from the face of the internal thread inward, millimetres. Both threads are compared in the
// turning frame of the helix: at each z every phase of the thread passes once a turn, so two threads of unlike pitch have,
// at depth z, their forms shifted by z times the pitch difference a pitch. They go to depth d when one axial position of
// the external thread is free of overlap at all depths 0 to d.
//
// Clearances are on the diameter; axial play is the whole travel from flank to flank. A pitch-diameter clearance c between
// equal forms whose flanks stand at a and b leaves c (tan a + tan b)/2 of axial play: moved out by c/2, a groove's flanks stand
// c/2 tan a and c/2 tan b off the ridge's along the axis. For like flanks that is c x tan(a).
package fit
