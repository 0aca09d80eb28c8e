// Package reduce is the arithmetic of levelling: lengths, outlines, stations,
// the reduction of rod readings to elevations with their uncertainty, moves and
// verdicts, and level notes.
//
// It is pure: it reads no clock, file or network, and the same input always
// gives the same output. Lengths are whole nanometres, so every 1/64 in,
// 0.01 ft and millimetre is exact; floats appear only inside the adjustment.
package reduce
