package session

import (
	"slices"
	"sort"
	"time"

	"rodcall/reduce"
)

// Reading is a reading in the job's history.
type Reading struct {
	Event // its envelope; Body is the Read below
	Read
	// Void says that it no longer counts: taken back, edited away, or
	// replaced by a later reading of its slot.
	Void bool
	// prev is the reading or check before it in its slot, 0 for none.
	prev uint64
	void bool // taken back or edited away
	// edited: away, by a newer text of its message; gone: by which event, goneAt
	// when.
	edited bool
	gone   uint64
	goneAt time.Time
	// doubt: taken at an unknown side of a bump. It is kept, and does not count.
	doubt bool
	// firm: heard in a voice note, and made firm since.
	firm bool
}

// Provisional says that a reading was heard in a voice note and nobody has made
// it firm.
func (r Reading) Provisional() bool { return r.Spoken && !r.firm }

// slot is where readings replace one another: one rod at one station in one
// round. Checks stand in a slot of their own and all count.
type slot struct {
	round   int
	rod     int
	station reduce.Station
	check   bool
}

// slot is where the reading stands.
func (r Reading) slot() slot { return slot{r.Round, r.Rod, r.Station, r.Check} }

// history is every reading of a job. A layer above another reads it and
// writes only to itself, so that a message can be tried without copying what
// is there.
type history struct {
	base  *history
	rows  []Reading          // ascending by Seq
	voids map[uint64]voiding // of rows in layers below
	firms map[uint64]bool    // of rows in layers below
	byMsg map[string][]uint64
	first map[takenBy]uint64 // the first reading that a line of a message gave, in this layer
}

// voiding is how a reading was taken back.
type voiding struct {
	edited bool   // away, by a newer text of its message
	by     uint64 // the event that did
	at     time.Time
}

// takenBy is a line of a message: what readings are put down to.
type takenBy struct {
	message string
	line    int
}

// newHistory is a layer above base; its maps are made when something goes into them.
func newHistory(base *history) *history { return &history{base: base} }

// at returns the reading with that sequence number.
func (h *history) at(seq uint64) (Reading, bool) {
	var how voiding
	void, firm := false, false
	for l := h; l != nil; l = l.base {
		i := sort.Search(len(l.rows), func(i int) bool { return l.rows[i].Seq >= seq })
		if i < len(l.rows) && l.rows[i].Seq == seq {
			r := l.rows[i]
			if r.firm = r.firm || firm; void {
				r.voided(how)
			}
			return r, true
		}
		firm = firm || l.firms[seq]
		if by, in := l.voids[seq]; in && !void {
			void, how = true, by
		}
	}
	return Reading{}, false
}

func (h *history) add(r Reading) {
	h.rows = append(h.rows, r)
	if r.Message != "" {
		if h.byMsg == nil {
			h.byMsg, h.first = map[string][]uint64{}, map[takenBy]uint64{}
		}
		h.byMsg[r.Message] = append(h.byMsg[r.Message], r.Seq)
		k := takenBy{r.Message, r.Line}
		if _, ok := h.first[k]; !ok {
			h.first[k] = r.Seq
		}
	}
}

// took is the event of the first reading that a reading's line gave: an edited
// message is about what the rod showed when it was first sent.
func (h *history) took(r Reading) uint64 {
	seq, k := r.Seq, takenBy{r.Message, r.Line}
	if r.Message == "" {
		return seq
	}
	for l := h; l != nil; l = l.base {
		if first, ok := l.first[k]; ok {
			seq = min(seq, first)
		}
	}
	return seq
}

// voided takes a reading back.
func (r *Reading) voided(how voiding) {
	r.void, r.edited, r.gone, r.goneAt = true, how.edited, how.by, how.at
}

func (h *history) setVoid(seq uint64, how voiding) {
	for i := len(h.rows) - 1; i >= 0 && h.rows[i].Seq >= seq; i-- {
		if h.rows[i].Seq == seq {
			h.rows[i].voided(how)
			return
		}
	}
	if h.voids == nil {
		h.voids = map[uint64]voiding{}
	}
	h.voids[seq] = how
}

// setFirm makes a reading firm.
func (h *history) setFirm(seq uint64) {
	for i := len(h.rows) - 1; i >= 0 && h.rows[i].Seq >= seq; i-- {
		if h.rows[i].Seq == seq {
			h.rows[i].firm = true
			return
		}
	}
	if h.firms == nil {
		h.firms = map[uint64]bool{}
	}
	h.firms[seq] = true
}

// all lists the readings, oldest first.
func (h *history) all() []Reading {
	var out []Reading
	if h.base != nil {
		out = h.base.all()
	}
	for i := range out {
		if how, in := h.voids[out[i].Seq]; in {
			out[i].voided(how)
		}
		out[i].firm = out[i].firm || h.firms[out[i].Seq]
	}
	return append(out, h.rows...)
}

// lastWalked is the station of the newest reading of a round that was not taken
// back, checks and stations off the walk left aside. Zero where there is none.
func (h *history) lastWalked(round int) reduce.Station {
	gone := map[uint64]bool{}
	for l := h; l != nil; l = l.base {
		for _, r := range slices.Backward(l.rows) {
			if r.Round == round && !r.void && !r.doubt && !gone[r.Seq] && !r.Check && walked(r.Station) {
				return r.Station
			}
		}
		for seq := range l.voids {
			gone[seq] = true
		}
	}
	return reduce.Station{}
}

// beforeEdit is the reading that an edit put this one in the place of; ok is
// false where no edit did: where it had taken the line out before, nothing stood
// there. One that an undo of an edit brought back stands for that which it
// brought back.
func (h *history) beforeEdit(r Reading) (was Reading, ok bool) {
	if r.Again != 0 {
		if r, ok = h.at(r.Again); !ok {
			return Reading{}, false
		}
	}
	var stack []Reading
	undone, out := false, Reading{}
	for _, k := range h.ofMessage(r.Message) {
		if k.Line != r.Line {
			continue
		}
		if out.edited && (k.Seq != out.gone+1 || !k.At.Equal(out.goneAt)) {
			stack = nil // the line was taken out, and put back later
		}
		out = k
		if undone && len(stack) > 0 {
			stack = stack[:len(stack)-1]
		}
		if k.Seq == r.Seq {
			if n := len(stack); n > 0 {
				return stack[n-1], true
			}
			return Reading{}, false
		}
		if undone = k.void && !k.edited; !undone {
			stack = append(stack, k)
		}
	}
	return Reading{}, false
}

// ofMessage lists what a message gave, oldest first.
func (h *history) ofMessage(id string) []Reading {
	var out []Reading
	var seqs []uint64
	for l := h; l != nil; l = l.base {
		seqs = append(slices.Clone(l.byMsg[id]), seqs...)
	}
	for _, s := range seqs {
		if r, ok := h.at(s); ok {
			out = append(out, r)
		}
	}
	return out
}
