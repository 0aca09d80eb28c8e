package session

// joined answers to having been put into a group.
func (h *hearing) joined() {
	lines := []string{h.say("joined")}
	if h.m.Deaf {
		lines = append(lines, h.say("deaf"))
	}
	h.reply(answer{lines: lines})
}

// wordless answers to what has no words: a sticker, a photo, a place.
func (h *hearing) wordless() {
	if h.m.Private {
		h.reply(answer{lines: []string{h.say("wordless")}, unheard: true})
	}
}
