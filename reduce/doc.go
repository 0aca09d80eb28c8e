// Package reduce is the arithmetic of levelling: lengths, outlines, stations,
// and the reduction of rod readings to elevations, moves and verdicts.
//
// It is pure: it reads no clock, file or network, and the same input always
// gives the same output. Lengths are whole nanometres, so every 1/64 in,
// 0.01 ft and millimetre is exact; floats appear only inside the adjustment.
package reduce
