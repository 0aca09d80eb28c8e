package session

import "slices"

// openRound begins a further round.
func (j *Job) openRound(b RoundOpened) {
	j.Past = append(slices.Clip(j.Past), PastRound{j.Round, j.Surface, j.BoltsTight})
	j.Round, j.RoundEnded, j.Surface, j.BoltsTight = b.Round, false, b.Surface, b.Tight
}
