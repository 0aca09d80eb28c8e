// Package madesite makes foundations of which the truth is known, and the crew
// and the laser that read them: what the arithmetic and the conversation are
// measured against. It is for tests alone; no program imports it.
//
// A Site is made from a seed. Its truth is in floats, in nanometres, so that
// nothing is on the raster of a rod by accident. A Laser stands somewhere with
// its beam a little out of level and may be bumped or sink; a Crew reads the
// site by it and sends text. Walk plays a whole walk through session.Hear.
package madesite
