package session

import (
	"slices"

	"rodcall/reduce"
)

// maxStrayed bounds what is remembered of readings away from the one asked for.
const maxStrayed = 8

// Strayed is a reading at another station than the one asked for, and what was
// asked for then: an undo asks for that again.
type Strayed struct {
	Seq    uint64           `json:"seq"`
	Asked  reduce.Station   `json:"asked"`
	Resume reduce.Station   `json:"resume,omitzero"`
	Named  bool             `json:"named,omitempty"`
	Tie    int              `json:"tie,omitempty"`
	TieNot []reduce.Station `json:"tie_not,omitempty"`
}

// strayed notes the newest reading where it is at another station than the one
// asked for.
func (h *hearing) strayed(s reduce.Station) {
	if h.aside {
		h.strays(h.job.Seq, s, h.kept)
		return
	}
	h.strays(h.job.Seq, s, h.c.Asked)
}

// strays notes a reading at s while another station was asked for.
func (h *hearing) strays(seq uint64, s, asked reduce.Station) {
	if asked.IsZero() || asked == s || h.checking(asked) {
		return
	}
	list := h.c.Strayed[max(0, len(h.c.Strayed)-maxStrayed+1):]
	h.c.Strayed = append(slices.Clone(list), Strayed{seq, asked, h.c.Resume, h.c.Named, h.c.Tie, h.c.TieNot})
}

// askedBefore asks again for what was asked for before a reading that was just
// taken back; ok is false where that is not known, or was read since.
func (h *hearing) askedBefore(gone Reading) (ok bool) {
	i := slices.IndexFunc(h.c.Strayed, func(k Strayed) bool { return k.Seq == gone.Seq })
	if i < 0 || h.aside || h.job.RoundEnded {
		return false
	}
	k := h.c.Strayed[i]
	switch {
	case !slices.Contains(h.job.asked(), k.Asked) && !h.job.free() && walked(k.Asked):
		return false // of another outline or round
	case k.Tie != 0:
		if k.Tie != h.job.setup() || slices.Contains(h.job.tiesNow(), k.Asked) {
			return false
		}
	case h.job.doneNow()[k.Asked]:
		return false
	}
	h.c.Asked, h.c.Resume, h.c.Checks, h.c.Named = k.Asked, k.Resume, reduce.Station{}, k.Named
	h.c.Tie, h.c.TieNot = k.Tie, k.TieNot
	return true
}
