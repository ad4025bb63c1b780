// Package pose says from where a picture was taken, by the marks of a printed sheet that is seen in it.
//
// Frames. On the sheet X runs to the right and Y up the paper, from its middle, in mm as drawn; Z stands up from it, toward
// whoever looks at it. A picture has x to the right and y down, in pixels, the middle of the first one is (0, 0). The camera
// has x and y as the picture and z away from it.
//
// What the print was scaled by cannot be seen on it: all lengths are those of a print that is true.
package pose
