package session

import (
	"rodcall/session/phrase"
)

// helpScreens are what help shows, each in order and no longer than a phone
// screen: what a walk needs, and one for each other subject.
var helpScreens = map[phrase.HelpTopic][]Key{
	phrase.HelpWalk: {
		"help.read", "help.named", "help.standard", "help.batch", "help.correct", "help.check", "help.walk", "help.note", "help.look", "help.done", "help.job", "help.more",
	},
	phrase.HelpOutline: {"help.outline", "help.angles", "help.design", "help.units"},
	phrase.HelpRod:     {"help.rod", "help.count", "help.voice", "help.moved", "help.every"},
	phrase.HelpLevel:   {"help.done", "help.choice", "help.grind"},
	phrase.HelpShims:   {"help.shims", "help.set", "help.plate"},
	phrase.HelpRounds:  {"help.round", "help.sign", "help.papers"},
	phrase.HelpSure:    {"help.sure", "help.moved"},
}

// help shows the screen of a subject, or that of a walk.
func (h *hearing) help(m phrase.Meaning) answer {
	topic, ok := m.Arg.(phrase.HelpTopic)
	if !ok {
		topic = phrase.HelpWalk
	}
	var lines []string
	if h.job == nil && topic == phrase.HelpWalk {
		lines = append(lines, h.say("help.begin"))
	}
	for _, k := range helpScreens[topic] {
		lines = append(lines, h.say(k))
	}
	if topic == phrase.HelpWalk {
		lines = append(lines, h.say("language.other"))
	}
	return answer{lines: lines, next: true}
}
