package session

// levelMoved says, once, that what this message did has moved the level that is
// built to, though nobody chose another: a later reading has found a higher
// spot, or has put the one right that gives it.
func (h *hearing) levelMoved() []string {
	was := h.was
	if was == nil || h.job == nil || len(h.events) == 0 || was.ID != h.job.ID {
		return nil
	}
	h.was = nil
	if was.Datum == nil || h.job.Datum == nil || *was.Datum != *h.job.Datum || was.DatumRound != h.job.DatumRound ||
		was.Reference != h.job.Reference || was.Round != h.job.Round || !h.mayMove() {
		return nil
	}
	before, now := was.View(), h.job.View()
	if before.Level == nil || now.Level == nil {
		return nil
	}
	by := *now.Level - *before.Level
	switch {
	case by.Abs() < h.job.Finest:
		return nil
	case by > 0:
		return []string{h.say("level.moved.high", h.amount(by.RoundTo(h.job.Finest)), now.SayDatum(h.lang))}
	}
	return []string{h.say("level.moved.low", h.amount(by.RoundTo(h.job.Finest)), now.SayDatum(h.lang))}
}

// mayMove says that this message may have moved the level: readings of a later
// round than that in which it was chosen do not, and settings tell by
// themselves what they do.
func (h *hearing) mayMove() bool {
	for _, e := range h.events {
		switch e.Body.(type) {
		case Read:
			if h.job.DatumRound == h.job.Round {
				return true
			}
		case Voided, Restored, SetupSplit:
			return true
		}
	}
	return false
}
