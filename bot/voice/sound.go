package voice

import "time"

// soundRate is the rate that all sound in this package has, in samples a
// second: the one that models of speech over 16 kHz are made for.
const soundRate = 16000

// Sound is mono sound: samples of 16 bits, Rate of them a second.
type Sound struct {
	Samples []int16
	Rate    int
}

// Length is how long the sound lasts; 0 where no rate is given.
func (s Sound) Length() time.Duration {
	if s.Rate <= 0 {
		return 0
	}
	return time.Duration(len(s.Samples)) * time.Second / time.Duration(s.Rate)
}
