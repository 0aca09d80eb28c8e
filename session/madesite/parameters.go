package madesite

import "rodcall/reduce"

// Parameters say what made foundations, lasers and crews are like. The figures
// of Default were settled before any detector was measured on them and are not
// fitted to what a detector finds; they are guesses at common practice, without
// a source.
type Parameters struct {
	Ground  Ground
	Budget  reduce.Budget // what lasers and rods are off by: see Error
	Error   float64       // how many times the budget the errors truly are
	Misread Misread
	Plate   Plate
	// Flipped is the share of rods that count the other way.
	Flipped float64
}

// Ground is how far tops are from level, each as a standard deviation over
// sites unless said otherwise.
type Ground struct {
	Lean    reduce.Grade  // of the whole foundation, along each axis
	Settled reduce.Length // how far one corner has gone down, either half
	Reach   reduce.Length // at which its settlement has fallen to 1/e
	Joints  float64       // share of sites whose walls were poured in two to four parts
	Step    reduce.Length // of one part from the others
	Wave    reduce.Length // height of a long wave along the walls
	Bow     reduce.Length // rise or dip of a wall's middle, one for each wall
	Rough   reduce.Length // of each station by itself
	// Shortest and Longest are the limits of a wave's length.
	Shortest, Longest reduce.Length
}

// Plate is how a sill plate lies, and how it is shimmed. A shim is as thick as
// its size says.
type Plate struct {
	Nominal reduce.Length // thickness that the crew gives
	Thick   reduce.Length // of a wall's plate from that, a standard deviation
	Bridge  reduce.Length // a loose plate stays straight over a low spot between two no farther apart
	Pull    reduce.Length // by which tightening pulls it down where there is a gap, at most
	Set     reduce.Length // of a stack as it was set from what it should be, a standard deviation
	Grain   reduce.Length // how far apart along a wall the concrete is uneven by itself
}

// Misread are the shares of readings that people get wrong, by kind.
type Misread struct {
	OtherSign float64 // direct rods
	WholeUnit float64 // an inch, a tenth of a foot, a centimetre
	WholeFoot float64 // standard rods: a foot, or a decimetre
	Digits    float64 // 1 3/8 for 3 1/8: rods on which two figures can be exchanged
	Skipped   float64 // the next station's reading sent for this one
	Swapped   float64 // this one's and the next one's exchanged
}

// Default are the parameters of a site in a unit, read to finest.
func Default(u reduce.Unit, finest reduce.Length) Parameters {
	plate := 3 * reduce.Inch / 2
	if u == reduce.UnitMillimetre {
		plate = 38 * reduce.Millimetre
	}
	return Parameters{
		Ground: Ground{
			Lean:    reduce.Grade{Rise: reduce.Inch / 8, Run: 40 * reduce.Foot},
			Settled: reduce.Inch / 4, Reach: 12 * reduce.Foot,
			Joints: 0.25, Step: reduce.Inch / 8,
			Wave: reduce.Inch / 16, Shortest: 20 * reduce.Foot, Longest: 80 * reduce.Foot,
			Bow:   reduce.Inch / 16,
			Rough: reduce.Inch / 32,
		},
		Budget: reduce.DefaultBudget(u, finest), Error: 1,
		Plate: Plate{
			Nominal: plate, Thick: reduce.Inch / 64, Bridge: 32 * reduce.Inch, Pull: reduce.Inch / 16,
			Set: reduce.Inch / 128, Grain: 8 * reduce.Inch,
		},
		Misread: Misread{
			OtherSign: 0.004, WholeUnit: 0.003, WholeFoot: 0.002, Digits: 0.001, Skipped: 0.002, Swapped: 0.001,
		},
	}
}

// Careful are the parameters without anybody who misreads.
func (p Parameters) Careful() Parameters {
	p.Misread = Misread{}
	return p
}

// Rougher is a foundation whose every unevenness is so many times as large.
func (p Parameters) Rougher(times int) Parameters {
	g, n := &p.Ground, reduce.Length(times)
	g.Lean.Rise *= n
	g.Settled, g.Step, g.Wave, g.Bow, g.Rough = g.Settled*n, g.Step*n, g.Wave*n, g.Bow*n, g.Rough*n
	return p
}
