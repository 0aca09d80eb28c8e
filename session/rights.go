package session

// Rights are what a person may do in a chat beyond reading the rod, as far as
// the adapter knows.
type Rights uint8

// The rights. What a platform does not tell by itself is asked for only where
// it decides something: see Outcome.AskRights.
const (
	RightsFree    Rights = iota // the adapter knows no ranks: everybody may do everything
	RightsUnasked               // not found out yet
	RightsAdmin                 // administrator of the group
	RightsNone                  // member of the group
	RightsUnknown               // the platform could not be asked
)

// mayLead says whether the person may choose the level to build to, and the
// language of a group's job, and sign: whoever opened the job, and a group's administrators. Where that is not
// known yet, h.askRights is set.
func (h *hearing) mayLead() bool {
	if h.m.Private || h.job.OpenedBy == h.m.From.ID {
		return true
	}
	switch h.m.Rights {
	case RightsFree, RightsAdmin:
		return true
	case RightsUnasked:
		h.askRights = true
	case RightsNone, RightsUnknown:
	}
	return false
}

// notLead refuses what only a leader may do.
func (h *hearing) notLead() answer {
	key := Key("lead.only")
	if h.m.Rights == RightsUnknown {
		key = "lead.unknown"
	}
	return answer{lines: []string{h.say(key)}, unheard: true}
}
