package session_test

import (
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session"
)

// roundOne is a foundation of 8 x 8 ft walked once, with a point off the sill and
// a level; c1+4 is 1/4 low and c3 3/8.
var roundOne = []sent{
	{"new East house", ""}, {"8x8", ""}, {"direct rod", ""}, {"bm 1/2 high", "Next: c1"}, {"0", ""}, {"1/4 low", ""}, {"0", ""}, {"0", ""},
	{"3/8 low", ""}, {"0", ""}, {"1/16 high", ""}, {"0", "All 8 read."}, {"skip", ""}, {"datum c1", "Raise 2"},
}

// noPoint is the same without the point off the sill.
func noPoint() []sent {
	var out []sent
	for _, s := range roundOne {
		if !strings.HasPrefix(s.text, "bm ") {
			out = append(out, s)
		}
	}
	return out
}

func after(first []sent, steps ...sent) []sent { return append(append([]sent{}, first...), steps...) }

// TestNextRound: what a further round asks for, in order, and what each should
// read; the point off the sill first.
func TestNextRound(t *testing.T) {
	tb := talk(t, after(roundOne,
		sent{"next round", "Round 2, rod on shims. 7 stations matter: c1, c1+4, c2, c2+4, c3, c3+4, c4+4\nNo shims were told"},
		sent{"left", "7 left: c1, c1+4, c2, c2+4, c3, c3+4, c4+4"},
		sent{"next round", "Round 2 has begun already, rod on shims"},
		sent{"bm 3/4 high", "Rod 2 is tied by bm now.\nNext: c1, should read 1/4 high (on)"},
		sent{"1/4 high", "c1: level (of c1), on, rod 1/4 high\nNext: c1+4, should read 0 (1/4 low)"},
		sent{"1/4 high", "c1+4: level (of c1), on"},
		sent{"other way", "Next: c4+4, should read 1/4 high (on)"},
	))
	if j := tb.job(); j.State() != session.StateWalk || tb.chat.Jobs[0].Read != 2 || tb.chat.Jobs[0].Left != 5 {
		t.Errorf("state %s, header %+v", j.State(), tb.chat.Jobs[0])
	}
}

// TestDatumStationReadAgain: the station that gives the level, or the reference
// under it, is no surer than others once it is read in a further round: 1/8 under
// the level, exactly at the tolerance, it is a close call. Only the level is from
// before. The rod stands 1/4 higher than in round 1.
func TestDatumStationReadAgain(t *testing.T) {
	for _, c := range []struct{ datum, at, rod string }{
		{"datum c1", "c1", "1/8 high"},
		{"datum high", "c4", "3/16 high"},
		{"datum -1/16", "c1", "1/16 high"},
	} {
		tb := talk(t, after(roundOne, sent{c.datum, ""}, sent{"next round", ""}, sent{"bm 3/4 high", ""}, sent{c.at + " " + c.rod, "raise 1/8, close call"}))
		tb.say("crew", "c2 1/4 high") // from here on from the adjustment, and not from the sight alone
		if v, _ := tb.station(c.at); v.Verdict != reduce.Unsure || v.Band == nil || *v.Band == 0 {
			t.Errorf("%s: %s is %+v", c.datum, c.at, v)
		}
	}
}

// TestRoundToItsEnd: all that a further round asks for, counted, and what is
// offered then.
func TestRoundToItsEnd(t *testing.T) {
	tb := talk(t, after(roundOne, sent{"next round", ""}, sent{"bm 1/2 high", "Next: c1,"}, sent{"0", ""}, sent{"0", ""}, sent{"0", ""}, sent{"0", ""},
		sent{"0", "Next: c3+4"}, sent{"skip", "Next: c4+4, should read 0 (on)"},
		sent{"0", "Next: c3+4, should read 0 (on)"}, sent{"0", "Round 2: all 7 read.\nOn: 8"},
		sent{"summary", "East house: 7 of 7 stations read, 8 readings."},
		sent{"summary", "Round 2, rod on shims: 1 station stands as read before."},
		sent{"next round", "Round 3, rod on shims."},
	))
	if v := tb.job().View(); v.Read != 0 || len(v.Left) != 4 {
		t.Errorf("round 3 asks for %v", v.Left)
	}
}

// TestBadRounds: each its clear answer, and nothing stored.
func TestBadRounds(t *testing.T) {
	for _, c := range []struct {
		name  string
		first []sent
		text  string
		want  []string
	}{
		{"no job", nil, "next round", []string{"new"}},
		{"nothing read", roundOne[:3], "next round", []string{"Nothing is read in round 1"}},
		{"round not done", roundOne[:6], "next round", []string{"Round 1 still has 6 to read: c2, c2+4, c3, c3+4, c4, c4+4", "[begin round 2]"}},
		{"begun already", after(roundOne, sent{"next round", ""}), "next round", []string{"Round 2 has begun already", "Next, to join round 2"}},
		{"no such surface", roundOne, "surface mud", []string{"surface"}},
		{"no thickness", roundOne, "plate", []string{"plate 1 1/2"}},
		{"no plate", roundOne, "plate 0", []string{"plate"}},
		{"thick", roundOne, "plate 12", []string{"12 in is thick for a plate"}},
		{"laser moved already", roundOne, "laser not moved", []string{"Set-up 1 is read from already"}},
		{"laser read from", after(roundOne, sent{"next round", ""}, sent{"bm 0", ""}), "laser not moved", []string{"Set-up 2 is read from already"}},
	} {
		tb := talk(t, c.first)
		seq := uint64(0)
		if j := tb.job(); j != nil {
			seq = j.Seq
		}
		got := tb.say("ann", c.text)
		wants(t, c.name+": "+got, c.want...)
		if j := tb.job(); j != nil && j.Seq != seq {
			t.Errorf("%s: %d events stored", c.name, j.Seq-seq)
		}
	}
}

// TestRoundBegunEarly: on one tap, or said again; what is left is asked for
// again.
func TestRoundBegunEarly(t *testing.T) {
	early := after(roundOne[:10], sent{"datum c1", ""}, sent{"next round", "still has 2 to read"})
	tb := talk(t, early)
	wants(t, tb.tap("ann", "begin round 2"), "Round 2, rod on shims", "c4, c4+4", "[laser not moved]")
	tb = talk(t, early)
	wants(t, tb.say("ann", "next round"), "Round 2, rod on shims")
	tb = talk(t, early)
	wants(t, tb.say("ann", "0"), "Next: c4+4")
}

// TestLaserNotMoved: the set-up goes on, its point off the sill is checked, and
// rounds share the rod's constant.
func TestLaserNotMoved(t *testing.T) {
	tb := talk(t, after(roundOne, sent{"next round", ""}))
	wants(t, tb.tap("ann", "laser not moved"), "set-up 1 goes on", "First a check of bm", "Check of bm: what does the rod show there?")
	wants(t, tb.say("ann", "1/2 high"), "Check bm: same as before, 1/2 high.", "Next: c1, should read 0 (on)")
	wants(t, tb.say("ann", "0"), "c1: level")
	if j := tb.job(); len(j.Setups) != 1 || len(j.Rods) != 1 || j.Round != 2 {
		t.Errorf("%d set-ups, %d rods, round %d", len(j.Setups), len(j.Rods), j.Round)
	}
	if got := tb.elevation("c1"); got != "0" {
		t.Errorf("c1 stands %s", got)
	}
	tb = talk(t, after(noPoint(), sent{"next round", "hangs on spots that nobody touched: c1, c2, c2+4, c3+4, c4+4"}))
	wants(t, tb.tap("ann", "laser not moved"), "set-up 1 goes on", "Next: c1, should read 0 (on)")
}

// TestWithoutPointInChat: two spots that nobody touched are asked for first, and
// what the round hangs on is told once.
func TestWithoutPointInChat(t *testing.T) {
	talk(t, after(noPoint(), sent{"next round", "hangs on spots that nobody touched: c1, c2, c2+4, c3+4, c4+4."},
		sent{"1/8 high", "c1: level (of c1), on, rod 1/8 high\nNext, to check set-up 2: c2+4"},
		sent{"1/8 high", "its 2 ties agree"},
		sent{"c1+4 1/8 high", "c1+4: level (of c1), on"},
		sent{"done", ""}, sent{"next round", "Round 3"}))
}

// TestSurfaceAfterTheWalk: a surface said once a round is over begins one on it;
// a tap says that the old one was meant.
func TestSurfaceAfterTheWalk(t *testing.T) {
	tb := talk(t, after(roundOne, sent{"surface plate", "Round 1 was read on concrete and is over: this is a new one.\nRound 2, rod on the plate, bolts loose."}))
	wants(t, strings.Join(labels(tb), "|"), "round 1 was on the plate, bolts loose|laser not moved|plate 1 1/2|plate 38 mm")
	wants(t, tb.tap("ann", "round 1 was on the plate, bolts loose"), "This round: rod on the plate.", "the 8 readings before it")
	if j := tb.job(); j.Round != 1 || j.Surface != "plate" || len(j.Setups) != 1 || j.State() != session.StateReview {
		t.Errorf("round %d on %s, %d set-ups, %s", j.Round, j.Surface, len(j.Setups), j.State())
	}
	tb = talk(t, after(roundOne, sent{"surface plate", ""}))
	wants(t, tb.tap("ann", "plate 1 1/2"), "Plate: 1 1/2 in thick.", "[laser not moved]")
	wants(t, tb.say("ann", "bm 1/2 high"), "Next: c1, should read 1 1/2 high (on)")
	wants(t, tb.say("ann", "1 1/2 high"), "c1: 1 1/2 high (of c1), on")
	wants(t, tb.say("ann", "bolts tight"), "Tightening pulls a plate down, so it is read again.\nRound 3, rod on the plate, bolts tight.")
	wants(t, tb.say("ann", "summary"), "held against those before by its thickness, 1 1/2 in")
	wants(t, tb.say("ann", "undo"), "Taken back: round 3")
	if j := tb.job(); j.Round != 2 || j.BoltsTight || j.Surface != "plate" {
		t.Errorf("round %d on %s, tight %t", j.Round, j.Surface, j.BoltsTight)
	}
	// Said again while nothing is read, it is the same round.
	tb = talk(t, after(roundOne, sent{"surface shims", "Round 2, rod on shims"}, sent{"next round", "has begun already"}, sent{"surface plate", "Round 2, rod on the plate, bolts loose."}))
	if j := tb.job(); j.Round != 2 || j.Surface != "plate" {
		t.Errorf("round %d on %s", j.Round, j.Surface)
	}
}

// labels are the buttons of the newest question.
func labels(tb *table) []string {
	var out []string
	for _, b := range tb.talks["ann"].Question.Buttons {
		out = append(out, b.Label)
	}
	return out
}

// TestThicknessUnknown: what is read on the plate has no move until the plate's
// thickness is known, and that is asked for.
func TestThicknessUnknown(t *testing.T) {
	talk(t, after(roundOne, sent{"surface plate", "How thick is the plate?"}, sent{"bm 1/2 high", "tied by bm now.\nNext: c1"}, sent{"1 1/2 high", "c1: 1 1/2 high (of c1)\n"},
		sent{"summary", "How thick the plate is was not said"}, sent{"plate 38 mm", "Plate: 1 1/2 in thick."}, sent{"repeat", "should read"}))
}

// TestUndoRound: a round with no readings is taken back whole; one with readings
// first loses those.
func TestUndoRound(t *testing.T) {
	tb := talk(t, after(roundOne, sent{"next round", "Round 2"}, sent{"bm 3/4 high", ""}, sent{"undo", "bm: taken back"}, sent{"undo", "Taken back: round 2"}))
	if j := tb.job(); j.Round != 1 || len(j.Setups) != 1 || j.Walk != nil || j.State() != session.StateReview || !tb.talks["ann"].Asked.IsZero() {
		t.Errorf("round %d, %d set-ups, %s, asked %v", j.Round, len(j.Setups), j.State(), tb.talks["ann"].Asked)
	}
	tb.say("ann", "next round")
	tb.say("bob", "took over")
	wants(t, tb.say("bob", "bm 3/4 high"), "Next: c1, should read")
	wants(t, tb.say("ann", "undo"), "since")
	if tb.job().Round != 2 {
		t.Error("a round with another's readings was taken back")
	}
}

// TestEditedInAnEarlierRound: an edit of a message of round 1 puts right what
// that round read.
func TestEditedInAnEarlierRound(t *testing.T) {
	tb := talk(t, after(roundOne, sent{"next round", ""}, sent{"bm 3/4 high", ""}))
	tb.edit("ann", 6, "1/8 low")
	for _, s := range tb.job().View().Stations {
		if s.Name == "c1+4" && (len(s.Rounds) != 1 || s.Rounds[0].Round != 1 || s.Rounds[0].Elevation.String() != "-3.175" || !s.Carried) {
			t.Errorf("c1+4: %+v", s)
		}
	}
	wants(t, tb.say("ann", "c1 1/4 high"), "Next: c1+4, should read 1/8 high")
}

// TestEditPastTheWalk: an edit of what an earlier round read says so, and leaves
// the walk at what it asks for, read in this round or not.
func TestEditPastTheWalk(t *testing.T) {
	tb := talk(t, after(roundOne, sent{"next round", ""}, sent{"bm 3/4 high", ""}, sent{"c1 1/4 high", "Next: c1+4"}))
	wants(t, tb.edit("ann", 6, "1/8 low"), "c1+4, round 1: 1/8 low (of c1), before ", "Next: c1+4, should read 1/8 high")
	wants(t, tb.say("ann", "c1+4 1/8 high"), "Next: c2")
	wants(t, tb.edit("ann", 6, "1/16 low"), "c1+4, round 1: 1/16 low (of c1), before 1/8 low\nNext: c2")
	wants(t, tb.edit("ann", 6, "c2 1/16 low"), "c2, round 1: 1/16 low (of c1), before level\nc1+4: its reading in round 1 is taken back.\nNext: c2,")
	wants(t, tb.edit("ann", 5, "1/16 low"), "c1, round 1: rod 1/16 low")
}

// TestUnheardOfAnEarlierRound: a line that gave nothing in a round gives nothing
// in the next one when it is mended.
func TestUnheardOfAnEarlierRound(t *testing.T) {
	tb := talk(t, after(roundOne, sent{"c2 asdf", ""}, sent{"next round", ""}, sent{"bm 3/4 high", ""}))
	wants(t, tb.edit("ann", tb.next-2, "c2 1/8 low"), "Nothing hangs on that message any more.")
}

// TestReferenceOfAnEarlierRound: heights are above the reference as it stood in
// the first round in which it was read, read in this one or not.
func TestReferenceOfAnEarlierRound(t *testing.T) {
	tb := talk(t, after(roundOne, sent{"shimmed all", ""}, sent{"next round", ""}, sent{"bm 1/2 high", ""}))
	for _, s := range []string{"c3", "c1"} {
		if said := tb.say("ann", "reference "+s); said != "Heights are from "+s+" now.\nNext: c1, should read 0 (on)" {
			t.Error(said)
		}
	}
	tb.say("ann", "reference c3")
	wants(t, tb.say("ann", "c3 0"), "c3: 3/8 high (of c3), on")
	if got := tb.elevation("c1"); got != "9.525" {
		t.Errorf("c1 stands %s above c3", got)
	}
}
