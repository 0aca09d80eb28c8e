package session

import (
	"slices"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// keySteps are how far apart the amounts on the keys of a direct rod stand, by
// unit: a foundation is seldom farther out than four of these.
var keySteps = map[reduce.Unit]reduce.Length{
	reduce.UnitInch: reduce.Inch / 16, reduce.UnitFoot: reduce.Foot / 100, reduce.UnitMillimetre: 2 * reduce.Millimetre,
}

// keyAmounts are the amounts on the keys of a direct rod: multiples of the
// finest amount, so that each shows as what it is. There are none where that is
// too coarse for the rod.
func (j *Job) keyAmounts() []reduce.Length {
	step := keySteps[j.Unit]
	if step%j.Finest != 0 {
		step = j.Finest
	}
	if !reduce.Direct.Reaches(4 * step) {
		return nil
	}
	return []reduce.Length{step, 2 * step, 3 * step, 4 * step}
}

// keyCommands stand between low and high, or in one row where a rod's figures
// cannot be foreseen.
var keyCommands = []phrase.CommandName{phrase.CmdSkip, phrase.CmdUndo, phrase.CmdLeft}

// keySign says which keys somebody who walks with a rod has, "" for none: the
// same sign is the same keys.
func (h *hearing) keySign() string {
	if h.job == nil || !h.job.walking() || h.c.Asked.IsZero() {
		return ""
	}
	if _, ok := h.heldRod(); !ok {
		return ""
	}
	sign := h.lang + " " + h.kind().String() + " " + h.job.Unit.String() + " " + h.job.Finest.String()
	if h.elsewhere() {
		sign += " elsewhere"
	}
	return sign
}

// elsewhere says that the station asked for is designed at another level than
// the rod's zero: the amounts on the keys would be none that it shows there.
func (h *hearing) elsewhere() bool {
	return h.kind() == reduce.Direct && h.job.design.At(h.c.Asked) != 0
}

// keys are the ready answers of somebody who walks with a rod: low on the
// left, high on the right. Every key reads back as what it says.
func (h *hearing) keys() [][]string {
	var middle []string
	for _, c := range keyCommands {
		middle = append(middle, commandWord(h.lang, c))
	}
	amounts := h.job.keyAmounts()
	if h.kind() == reduce.Standard || amounts == nil || h.elsewhere() {
		return [][]string{middle}
	}
	middle = slices.Insert(middle, 0, h.say("level"))
	var rows [][]string
	for i, l := range amounts {
		rows = append(rows, []string{h.sided(-l), middle[i], h.sided(l)})
	}
	return rows
}

// commandWords are the first way to say each command, English and Spanish.
var commandWords = func() map[phrase.CommandName][2]string {
	out := map[phrase.CommandName][2]string{}
	for _, c := range phrase.Commands() {
		w := [2]string{c.English[0], c.English[0]}
		if len(c.Spanish) > 0 {
			w[1] = c.Spanish[0]
		}
		out[c.Name] = w
	}
	return out
}()

// commandWord is the first way to say a command in a language.
func commandWord(lang string, name phrase.CommandName) string {
	if lang == "es" {
		return commandWords[name][1]
	}
	return commandWords[name][0]
}

// putKeys puts the keys under a reply, where they are others than those that
// the person has before their eyes.
func (h *hearing) putKeys(r *Reply) {
	if len(r.Buttons) > 0 || r.Text == "" {
		return // a message carries buttons or keys
	}
	sign := h.keySign()
	if sign == h.c.Keys {
		return
	}
	h.c.Keys = sign
	if sign == "" {
		r.NoKeys = true
		return
	}
	r.Keys = h.keys()
}
