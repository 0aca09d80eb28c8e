package madesite

import (
	"fmt"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// Taps is what it took to send one reading by the keyboard.
type Taps struct {
	Station reduce.Station
	Round   int
	First   bool // nothing was read in its set-up before
	// Taps is how many, the last of them on the value itself; 0 where no key led
	// there and it was typed.
	Taps int
	// Near is how far the value is from the nearest one on the keyboard that was
	// shown with the question; -1 where that showed none.
	Near reduce.Length
}

// mostTaps is after how many taps a finger gives up and types.
const mostTaps = 8

// tap reads a station and sends what the rod shows, rounded to the job's finest
// amount, with a finger that looks at nothing but the keys: the one that says it
// where that is shown. A station that is not the one asked for is named first,
// which is no tap.
func (d *player) tap(st reduce.Station) error {
	if d.sent[st] {
		delete(d.right, st)
	}
	first := len(d.sent) == 0
	d.sent[st] = true
	v, ok := d.see(st)
	if !ok {
		return fmt.Errorf("the rod does not reach at %s", d.name(st))
	}
	v = v.RoundTo(d.Chat.Job.Finest)
	d.right[st] = v
	if d.Chat.Talk.Asked != st {
		if err := d.say(d.name(st)); err != nil {
			return err
		}
	}
	t := Taps{Station: st, Round: d.Chat.Job.Round, First: first, Near: d.near(v)}
	for n := 1; n <= mostTaps; n++ {
		key, sends := d.key(v)
		if key == "" {
			break
		}
		if sends {
			t.Taps = n
			d.Taps = append(d.Taps, t)
			return d.say(key)
		}
		if err := d.say(key); err != nil {
			return err
		}
	}
	d.Taps = append(d.Taps, t)
	return d.say(d.crew.Say(d.how.Lang, v))
}

// meant is what a key says, as the bot would read it: no key names a station, so
// it says the same at all of them.
func (d *player) meant(key string) phrase.Meaning {
	m, known := d.keys[key]
	if !known {
		j := d.Chat.Job
		m = phrase.Parse(phrase.Context{
			Rod: d.crew.Rod.Kind, Unit: j.Unit, Finest: j.Finest, Outline: j.Outline, Asked: d.Chat.Talk.Asked,
		}, key)
		d.keys[key] = m
	}
	return m
}

// key is the key to tap for a value: the one that sends it, else one that leads
// there; "" for none.
func (d *player) key(v reduce.Length) (key string, sends bool) {
	for _, row := range d.Chat.Keys {
		for _, k := range row {
			if m := d.meant(k); m.Kind == phrase.Reading && m.Value == v {
				return k, true
			}
		}
	}
	around := ""
	for _, row := range d.Chat.Keys {
		for _, k := range row {
			m := d.meant(k)
			a, leads := m.Arg.(phrase.MoreArg)
			switch {
			case m.Command != phrase.CmdMore:
			case !leads:
				around = k
			case d.begins(a, v):
				return k, false
			}
		}
	}
	return around, false
}

// begins says whether a reading begins with what a key says: with the same whole
// inch, tenth of a foot or centimetre, or with the same foot or decimetre.
func (d *player) begins(a phrase.MoreArg, v reduce.Length) bool {
	place := map[reduce.Unit][2]reduce.Length{
		reduce.UnitInch:       {reduce.Inch, reduce.Foot},
		reduce.UnitFoot:       {reduce.Foot / 10, reduce.Foot},
		reduce.UnitMillimetre: {10 * reduce.Millimetre, 100 * reduce.Millimetre},
	}[d.how.Unit]
	unit := place[0]
	if a.Wide {
		unit = place[1]
	}
	if a.Side < 0 && v > 0 || a.Side > 0 && v < 0 {
		return false
	}
	return v.Abs()/unit == a.From.Abs()/unit
}

// near is how far a value is from the nearest one on the keyboard.
func (d *player) near(v reduce.Length) reduce.Length {
	best := reduce.Length(-1)
	for _, row := range d.Chat.Keys {
		for _, k := range row {
			if m := d.meant(k); m.Kind == phrase.Reading && (best < 0 || (m.Value-v).Abs() < best) {
				best = (m.Value - v).Abs()
			}
		}
	}
	return best
}
