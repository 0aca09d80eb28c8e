package madesite

import (
	"math"
	"math/bits"
)

// Chance is a stream of numbers from a seed: SplitMix64, of Steele, Lea and
// Flood, Fast splittable pseudorandom number generators (2014), with the
// constants of Vigna's reference code; from memory. The same seed gives the
// same numbers; normal ones go through package math, whose last bits differ
// between processors and vanish when a reading is rounded.
type Chance uint64

// NewChance is the stream of a seed and of a purpose, so that one seed serves
// the ground, the laser and the crew without their numbers running together.
func NewChance(seed, purpose uint64) *Chance {
	c := Chance(seed)
	mixed := Chance(c.Next() ^ purpose*0xd1342543de82ef95)
	mixed.Next()
	return &mixed
}

// Next is the next 64 bits.
func (c *Chance) Next() uint64 {
	*c += 0x9e3779b97f4a7c15
	z := uint64(*c)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// Below is a whole number under n (> 0), all alike but for n parts in 2⁶⁴.
func (c *Chance) Below(n int) int {
	high, _ := bits.Mul64(c.Next(), uint64(n))
	return int(high)
}

// Between is a number from low to under high, even.
func (c *Chance) Between(low, high float64) float64 {
	return low + (high-low)*float64(c.Next()>>11)/(1<<53)
}

// Happens is true with a probability.
func (c *Chance) Happens(probability float64) bool { return c.Between(0, 1) < probability }

// Sign is 1 or −1, alike.
func (c *Chance) Sign() float64 { return float64(1 - 2*c.Below(2)) }

// Normal is a normal number of mean 0 and standard deviation 1, by the method
// of Box and Muller, A note on the generation of random normal deviates (1958);
// from memory.
func (c *Chance) Normal() float64 {
	u := 1 - c.Between(0, 1) // never 0
	return math.Sqrt(-2*math.Log(u)) * math.Cos(2*math.Pi*c.Between(0, 1))
}
