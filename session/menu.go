package session

import "rodcall/session/phrase"

// MenuItem is a command as a chat program lists it.
type MenuItem struct {
	Name string // one lower-case word, as it is typed after a slash
	Says string // what it does
}

// menu are the commands worth a list: what is used on a walk, in that order.
var menu = []phrase.CommandName{
	phrase.CmdNew, phrase.CmdUndo, phrase.CmdSkip, phrase.CmdLeft, phrase.CmdRepeat, phrase.CmdPicture, phrase.CmdSummary,
	phrase.CmdDone, phrase.CmdDatum, phrase.CmdTolerance, phrase.CmdJobs, phrase.CmdHelp,
}

// Menu lists commands in a language. Their names are English words in every
// language: a platform takes plain letters only.
func Menu(lang string) []MenuItem {
	var out []MenuItem
	for _, c := range menu {
		out = append(out, MenuItem{string(c), Say(lang, Key("menu."+string(c)))})
	}
	return out
}
