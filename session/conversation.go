package session

import "rodcall/reduce"

// Conversation is one person's place in one chat. It is a value, saved with
// each outcome but no part of any log.
type Conversation struct {
	Lang string `json:"lang,omitempty"` // "en" or "es"; "" until known
	// Chosen says that the person showed by their words which language it is.
	Chosen bool `json:"chosen,omitempty"`
	// Asked is the station asked for, in job Job.
	Job   string         `json:"job,omitempty"`
	Asked reduce.Station `json:"asked,omitzero"`
	// Named says that the person named Asked: it stays, whatever others read.
	Named bool `json:"named,omitempty"`
	// Round is the round which Asked belongs to, 0 for the first.
	Round int `json:"round,omitempty"`
	// Plan is the event that the outline came with which Asked belongs to.
	Plan uint64 `json:"plan,omitempty"`
	// Resume is where the walk goes on once a point off the walk, named by
	// itself, is read; zero while none is being asked for.
	Resume reduce.Station `json:"resume,omitzero"`
	// Checks is a station of which a check was asked for and is still to come:
	// while it is the one asked for, what is read there is that check.
	Checks reduce.Station `json:"checks,omitzero"`
	// Tie is the set-up that stations are asked for to tie, 0 for none; TieNot
	// are those that were left out.
	Tie    int              `json:"tie,omitempty"`
	TieNot []reduce.Station `json:"tie_not,omitempty"`
	// Lot: the stations drawn by lot that are still to be read again.
	Lot []reduce.Station `json:"lot,omitempty"`
	// Backward: the walk goes round the other way.
	Backward bool `json:"backward,omitempty"`
	// Skipped stations are not asked for again before all others are read.
	Skipped []reduce.Station `json:"skipped,omitempty"`
	// Strayed are the newest readings at another station than the one asked for,
	// oldest first. It is replaced, never changed in place.
	Strayed []Strayed `json:"strayed,omitempty"`
	// Skip is the station skipped last, while nothing came after it: undo
	// goes back to it.
	Skip reduce.Station `json:"skip,omitzero"`
	// Turned says that the walk was turned round last, while nothing came after
	// it: undo turns it back, to the station From.
	Turned bool           `json:"turned,omitempty"`
	From   reduce.Station `json:"from,omitzero"`
	// Question pending, nil for none. Number counts all questions ever asked
	// of this person here.
	Question *Question `json:"question,omitempty"`
	Number   int64     `json:"number,omitempty"`
	// Unread remembers, for the newest few messages that gave no reading, at
	// which station each would have been read: an edit mends them there.
	Unread []Unheard `json:"unheard,omitempty"`
	// Keys is the sign of the ready answers that the person has before their
	// eyes.
	Keys string `json:"keys,omitempty"`
	// Bump is the check shot, by its event, that began the search for the moment
	// of a bump; 0 for none.
	Bump uint64 `json:"bump,omitempty"`
	// CheckAsked is the newest event when a check shot was asked for unasked.
	CheckAsked uint64 `json:"check_asked,omitempty"`
	// Shim is where the person is setting shims, nil while they are not. It is
	// replaced, never changed in place.
	Shim *ShimPlace `json:"shim,omitempty"`
	// Album is the album of photos that was sent last, nil for none. It is
	// replaced, never changed in place.
	Album *Album `json:"album,omitempty"`
	// Heard are readings that were heard in voice notes and are not firm yet,
	// oldest first.
	Heard []Echoed `json:"heard,omitempty"`
	// Aloud says that the person's voice notes are answered aloud.
	Aloud bool `json:"aloud,omitempty"`
	// Told lists what is told once (cautions, what a job lacks).
	Told []string `json:"told,omitempty"`
}

// ShimPlace is where somebody is who sets shims in a round of a job.
type ShimPlace struct {
	Job   string `json:"job"`
	Round int    `json:"round"`
	// At is the spot that they set last, or where they began.
	At reduce.Station `json:"at,omitzero"`
	// Skipped stations are not named again before all others are done.
	Skipped []reduce.Station `json:"skipped,omitempty"`
}

// Album is photos that were sent together, and what they were kept with.
type Album struct {
	ID       string         `json:"id"`
	Job      string         `json:"job"`
	Station  reduce.Station `json:"station"`
	Messages []string       `json:"messages"`
}

// Question is a pending question, as data.
type Question struct {
	Number  int64          `json:"n"`
	Kind    string         `json:"kind"`
	Job     string         `json:"job,omitempty"`
	Station reduce.Station `json:"station,omitzero"`
	// Text and Message: the line that made the bot ask, and its message.
	Text    string `json:"text,omitempty"`
	Message string `json:"message,omitempty"`
	Line    int    `json:"line,omitempty"` // of that message, 0 where it is not told
	// Spoken says that Text was heard in a voice note.
	Spoken bool `json:"spoken,omitempty"`
	// Close are other texts that the recogniser could not rule out for Text.
	Close []string `json:"close,omitempty"`
	// Counts is what digits alone counted in Text when it was sent, 0 for no
	// parts; nil where it is not told.
	Counts *int `json:"counts,omitempty"`
	// Seq is the reading that is asked about, 0 for none.
	Seq uint64 `json:"seq,omitempty"`
	// Held lines wait for the answer: who holds which rod.
	Held []Held `json:"held,omitempty"`
	// Stage and Values of a dialogue of several steps (the rod's test).
	Stage    int              `json:"stage,omitempty"`
	Values   []reduce.Length  `json:"values,omitempty"`
	Stations []reduce.Station `json:"stations,omitempty"`
	Buttons  []Button         `json:"buttons,omitempty"`
	// Lang is the language of their labels; "" where it is not told.
	Lang string `json:"lang,omitempty"`
	// Also are offers made since that left it as it was, oldest first.
	Also []Question `json:"also,omitempty"`
}

// Unheard is a message that gave no reading, and the station asked for then;
// zero for a line held back because nobody knew its station.
type Unheard struct {
	Message string         `json:"message"`
	Line    int            `json:"line"`
	Station reduce.Station `json:"station"`
	Seq     uint64         `json:"seq,omitempty"` // the job's newest event then
}

// Held is a line that waits for the answer to a question.
type Held struct {
	Message string         `json:"message"`
	Line    int            `json:"line"`
	Text    string         `json:"text"`
	Station reduce.Station `json:"station"`
	Check   bool           `json:"check,omitempty"` // a check of Station was asked for
	// Heard is what was heard, of a line that was spoken; nil for one that was typed.
	Heard *Heard `json:"heard,omitempty"`
	Seq   uint64 `json:"seq,omitempty"` // the job's newest event then
	// Counts is what digits alone counted in Text when it was sent, 0 for no
	// parts; nil where it is not told.
	Counts *int `json:"counts,omitempty"`
}
