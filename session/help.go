package session

import (
	"rodcall/session/phrase"
)

// helpScreen is what help shows, in order: it fits one phone screen, so it
// names what a walk needs and leaves the rest to the manual.
var helpScreen = []Key{
	"help.read", "help.named", "help.standard", "help.batch", "help.correct", "help.check",
	"help.walk", "help.look", "help.done", "help.round", "help.choice", "help.plate", "help.shims", "help.sign", "help.job", "help.outline", "help.design", "help.units", "help.rod", "help.moved", "help.sure",
}

func (h *hearing) help(phrase.Meaning) answer {
	var lines []string
	for _, k := range helpScreen {
		lines = append(lines, h.say(k))
	}
	return answer{lines: lines, next: true}
}
