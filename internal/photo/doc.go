// Package photo counts the crests of an external thread on a picture taken from the side, and reads its pitch off them.
//
// The part's two outlines ripple with the thread. Their period in pixels, over the distance of the two crest lines in
// pixels, is the ratio of pitch to outside diameter; a known diameter (or two points a known length apart) makes it a pitch.
//
// Frames. A picture has x to the right and y down, in pixels of the upright original; the middle of the first pixel is
// (0, 0). Along the part runs s, upward on the picture (to the right when the part lies), and t across it, to the right as
// seen with s upward, both in pixels of the working picture (the original, shrunk by a whole number).
//
// Perspective. A camera sees a cylinder of radius R, whose axis is rho away and lies the angle g off the optical axis
// sideways, between two tangents that enclose 2a, sin a = R/rho. With f the focal length in pixels and t measured from the
// optical axis, t = f tan(g+a) and f tan(g-a) at the two outlines; both touch nearer than the axis is. Pitch p and width w
// on the picture then hold
//
//	P/D = (p/w) cos a / cos g
//
// so a near camera (large a) reads the pitch too large and a part beside the middle too small. It follows from
// w = f sin 2a / (cos(g+a) cos(g-a)) and p = f P cos g / (rho cos(g+a) cos(g-a)), the mean of both sides.
// An axis that leans b toward the camera where it is seen e off the middle shortens the pitch by cos b + tan e sin b.
package photo
