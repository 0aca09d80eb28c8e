package session_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session"
)

// level is a table at which an 8 x 8 ft foundation was walked by ann: level
// but for the readings named, on the plate with the bolts tight, with a datum.
func levelTable(t testing.TB, messages ...string) *table {
	tb := newTable(t)
	for _, text := range []string{"new East house", "8x8", "direct rod", "surface plate", "bolts tight", "0", "0", "0", "0", "0", "0", "0", "0", "datum c1"} {
		tb.say("ann", text)
	}
	for _, text := range messages {
		tb.say("ann", text)
	}
	return tb
}

func wants(t *testing.T, got string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if !strings.Contains(got, p) {
			t.Errorf("%q is not in:\n%s", p, got)
		}
	}
}

// TestSign: what is signed is told with who, when, what was measured, by whom
// and with what laser; a picture goes with it, and the job is signed off.
func TestSign(t *testing.T) {
	tb := levelTable(t)
	got := tb.say("ann", "sign")
	wants(t, got, "East house: signed off by ann, 2026-05-04 13:02 UTC.", "Round 1, rod on the plate, bolts tight: 8 stations within 1/8 in of the level (c1).",
		"Read by ann with rod 1 (direct rod).", "Beam not tested", "No check shot came after", "Drawn by lot and not read again, 1: ", "Unchecked, 8: c1, c1+4", "[picture]", "licensed")
	if strings.Contains(got, "safe") {
		t.Errorf("says that something is safe: %s", got)
	}
	j := tb.job()
	if j.State() != session.StateSigned || j.Header().State != session.StateSigned || tb.chat.Jobs[0].State != session.StateSigned {
		t.Errorf("state %s", j.State())
	}
	if s := j.Signed; s == nil || s.By != 1 || s.On != 8 || s.Surface != "plate" || !s.Tight || s.Tolerance != reduce.Inch/8 || !s.Stands() {
		t.Errorf("signed %+v", s)
	}
	wants(t, tb.say("ann", "summary"), "Sign-off: signed off by ann, 2026-05-04 13:02 UTC, in round 1.")
	seq := j.Seq
	wants(t, tb.say("ann", "sign"), "Already signed off by ann, 2026-05-04 13:02 UTC")
	wants(t, tb.say("bob", "sign off"), "Already signed off by ann")
	if j.Seq != seq {
		t.Errorf("signing twice made %d events", j.Seq-seq)
	}
}

// TestSignApart: readings that contradict each other are named in what is signed.
func TestSignApart(t *testing.T) {
	tb := levelTable(t, "check c2 3/16 high", "not now")
	wants(t, tb.say("ann", "sign"), "signed off by ann", "Readings differ by more than they can, 1: c2.")
	tb = levelTable(t, "check c2 1/16 high")
	if got := tb.say("ann", "sign"); strings.Contains(got, "Readings differ") {
		t.Error(got)
	}
}

// TestSignHeard: a job is not signed while a reading stands that was heard and
// is not firm, whether going on would make it so or not.
func TestSignHeard(t *testing.T) {
	tb := levelTable(t)
	tb.speak("ann", "c3 on", "c2 on")
	wants(t, tb.say("ann", "sign"), "Not signed: 1 reading was heard and nobody has confirmed it: c3 level or 1/2 low.", "[c3 level] [c3 1/2 low]")
	if tb.job().Signed != nil {
		t.Error("signed")
	}
	wants(t, tb.tap("ann", "c3 level"), "c3: level, confirmed.")
	wants(t, tb.say("ann", "sign"), "signed off by ann")
	tb = levelTable(t)
	tb.speak("ann", "c2 on")
	wants(t, tb.speak("ann", "sign"), "Heard: sign. Nothing is done before you tap yes.")
	wants(t, tb.tap("ann", "yes"), "Not signed: 1 reading was heard", "c2 level")
	wants(t, tb.say("ann", "yes"), "c2: level, confirmed.")
	wants(t, tb.say("ann", "sign"), "signed off by ann")
}

// TestSignNot: what stands in the way is told, one thing at a time with the
// message that goes on, and nothing is stored.
func TestSignNot(t *testing.T) {
	for _, c := range []struct {
		name     string
		messages []string
		want     []string
	}{
		{"nothing read", []string{"new East house", "8x8"}, []string{"no station has a height", "c1"}},
		{"no level", []string{"new East house", "4x4", "direct rod", "0", "0", "0", "0"}, []string{"no level is chosen", "datum high", "[high spot]"}},
		{"walk not done", []string{"new East house", "8x8", "direct rod", "0", "1/16 low", "datum c1"}, []string{"6 are still to read: c2, c2+4", "[done]"}},
		{"free walk not done", []string{"new East house", "direct rod", "0", "datum c1"}, []string{"send done", "[done]"}},
		{"outside", []string{"new East house", "4x4", "direct rod", "surface plate", "bolts tight", "0", "3/8 low", "1/4 high", "0", "datum c1"},
			[]string{"2 stations are outside 1/8 in: c2 raise 3/8, c3 lower 1/4", "next round", "[shim plan]", "[next round]"}},
		{"on concrete", []string{"new East house", "4x4", "direct rod", "0", "0", "0", "0", "datum c1"}, []string{"this round is on concrete", "on the plate with the bolts tight", "[surface plate]"}},
		{"bolts loose", []string{"new East house", "4x4", "direct rod", "surface plate", "0", "0", "0", "0", "datum c1"}, []string{"bolts are loose", "[bolts tight]"}},
	} {
		tb := newTable(t)
		for _, text := range c.messages {
			tb.say("ann", text)
		}
		seq := tb.job().Seq
		got := tb.say("ann", "sign")
		wants(t, c.name+": "+got, c.want...)
		if tb.job().Seq != seq || tb.job().Signed != nil {
			t.Errorf("%s: signed all the same", c.name)
		}
		tb.say("ann", "español")
		seq = tb.job().Seq
		es := tb.say("ann", "firma")
		if tb.job().Seq != seq || !strings.Contains(es, "firma") && !strings.Contains(es, "Sin firmar") || tb.last.Replies[0].Lang != "es" {
			t.Errorf("%s: in Spanish: %s", c.name, es)
		}
	}
}

// TestSignButtons: each message that a refusal offers is one that the bot
// knows.
func TestSignButtons(t *testing.T) {
	tb := newTable(t)
	for _, text := range []string{"new East house", "4x4", "direct rod", "0", "0", "0", "0", "datum c1", "sign"} {
		tb.say("ann", text)
	}
	tb.tap("ann", "surface plate")
	for _, text := range []string{"plate 1 1/2", "c1 0", "c2 0", "c3 0", "c4 0", "sign"} {
		tb.say("ann", text)
	}
	tb.tap("ann", "bolts tight")
	for _, text := range []string{"c1 0", "c2 0", "c3 0", "c4 0"} {
		tb.say("ann", text)
	}
	wants(t, tb.say("ann", "sign"), "signed off by ann")
}

// TestSignCloseCall: a close call does not hinder, and is named; so is what was
// not read after done, where it is no corner and its wall has been read, or the
// beam does not reach it.
func TestSignCloseCall(t *testing.T) {
	tb := newTable(t)
	for _, text := range []string{"new East house", "8x8", "direct rod", "surface plate", "bolts tight", "0", "0", "0", "1/8 low", "0", "0", "0", "no beam c4+4", "done", "datum c1"} {
		tb.say("ann", text)
	}
	wants(t, tb.say("ann", "sign"), "signed off", "1 close call: c2+4.", "Never read, 1: c4+4.", "Farthest off: c2+4, 1/8 low.")
	if s := tb.job().Signed; s.Unsure != 1 || s.Unread != 1 || s.On != 6 {
		t.Errorf("signed %+v", s)
	}
}

// TestReopen: a reading and whatever else changes a number re-opens a job that
// was signed off, and says so; a look does not. The signature is kept.
func TestReopen(t *testing.T) {
	for _, c := range []struct {
		text    string
		reopens bool
	}{
		{"c2 1/16 low", true}, {"c2 is 0", true}, {"check c2 0", true}, {"bm 1/2 high", true}, {"c1+2 0", true},
		{"datum high", true}, {"datum none", true}, {"tolerance 1/4", true}, {"reference c2", true}, {"known c1 100 ft", true},
		{"units mm", true}, {"finest 1/32", true}, {"weights setups", true}, {"laser 4,4", true}, {"budget receiver 1/8", true},
		{"surface shims", true}, {"bolts loose", true}, {"12x8", true}, {"piers 4,4", true}, {"flip rod", true},
		{"c2 0\nc3 1/16", true},
		{"left", false}, {"summary", false}, {"picture", false}, {"original", false}, {"repeat", false}, {"help", false},
		{"quality", false}, {"notes", false}, {"jobs", false}, {"español", false}, {"budget", false}, {"done", false}, {"moved", false},
		{"no beam c2", false}, {"check every 5", false}, {"tolerance 1/8", false}, {"weights budget", false}, {"surface plate", false},
		{"bolts tight", false}, {"datum c1", false}, {"other way", false}, {"asdf", false}, {"c99 0", false}, {"no", false}, {"break", false},
		{"check laser", false},
	} {
		tb := levelTable(t, "sign")
		got := tb.say("ann", c.text)
		told := strings.Contains(got, "This re-opens the job signed by ann on 2026-05-04 13:02 UTC")
		j := tb.job()
		if told != c.reopens || (j.Signed == nil) != c.reopens || (j.State() == session.StateSigned) == c.reopens {
			t.Errorf("%q: told %v, standing %v, state %s: %s", c.text, told, j.Signed != nil, j.State(), got)
		}
		if n := strings.Count(got, "re-opens"); n > 1 {
			t.Errorf("%q: told %d times", c.text, n)
		}
		all := j.Signatures()
		if len(all) != 1 || all[0].Stands() == c.reopens || all[0].By != 1 {
			t.Errorf("%q: signatures %+v", c.text, all)
		}
		if c.reopens {
			wants(t, tb.say("ann", "english\nsummary"), "Sign-off: re-opened by ann, 2026-05-04 13:02 UTC, after ann had signed it off, 2026-05-04 13:02 UTC")
		}
		again, err := session.Fold(tb.logs[tb.chat.Current])
		if err != nil || again.State() != j.State() || len(again.Signatures()) != len(all) {
			t.Errorf("%q: read back: %v, %v", c.text, err, again.Signatures())
		}
	}
}

// TestReopenElsewise: an edit, an undo and another person's reading re-open as
// well, in the language of whoever sends them.
func TestReopenElsewise(t *testing.T) {
	tb := levelTable(t, "sign")
	wants(t, tb.edit("ann", 7, "1/16 low"), "This re-opens the job signed by ann on")

	tb = levelTable(t, "sign")
	tb.say("bob", "took over")
	wants(t, tb.say("bob", "c2 0"), "This re-opens the job signed by ann on")

	tb = levelTable(t, "tolerance 1/4")
	tb.next++
	tb.hear("bob", session.Message{Kind: session.Said, ID: fmt.Sprint(tb.next), Text: "sign", Rights: session.RightsAdmin})
	wants(t, tb.say("ann", "undo"), "This re-opens the job signed by bob on")

	tb = levelTable(t, "sign", "español")
	wants(t, tb.say("ann", "c2 1/16 bajo"), "Esto reabre la obra firmada por ann el 2026-05-04")
}

// TestSignUndo: the signer takes a signature back, nobody else does; one that
// was re-opened stood for a time and stays; a new one follows it.
func TestSignUndo(t *testing.T) {
	tb := levelTable(t, "sign")
	tb.say("bob", "undo")
	if tb.job().Signed == nil {
		t.Error("another took the signature back")
	}
	got := tb.say("ann", "undo")
	wants(t, got, "the signature")
	if j := tb.job(); j.Signed != nil || len(j.Signatures()) != 0 || j.State() != session.StateReview || strings.Contains(got, "re-opens") {
		t.Errorf("after undo: %v, %s: %s", j.Signatures(), j.State(), got)
	}
	tb.say("ann", "sign")
	tb.say("ann", "c2 1/16")
	tb.say("ann", "c2 1/16 low")
	tb.say("ann", "undo")
	if j := tb.job(); j.Signed != nil || len(j.Signatures()) != 1 {
		t.Errorf("a reading taken back: %v", j.Signatures())
	}
	wants(t, tb.say("ann", "sign"), "signed off by ann")
	all := tb.job().Signatures()
	if len(all) != 2 || all[0].Stands() || !all[1].Stands() {
		t.Errorf("signatures %+v", all)
	}
}

// TestWhoMaySign: whoever opened the job, and administrators, whose rights are
// asked for.
func TestWhoMaySign(t *testing.T) {
	tb := levelTable(t)
	sign := func(who string, r session.Rights) string {
		tb.next++
		return tb.hear(who, session.Message{Kind: session.Said, ID: fmt.Sprint(tb.next), Text: "sign", Rights: r})
	}
	if got := sign("bob", session.RightsUnasked); got != "" || !tb.last.AskRights || len(tb.last.Events) > 0 {
		t.Errorf("rights were not asked for: %s", got)
	}
	wants(t, sign("bob", session.RightsNone), "whoever opened the job or by an administrator")
	wants(t, sign("bob", session.RightsUnknown), "try again in a minute")
	if tb.job().Signed != nil {
		t.Error("signed by one who may not")
	}
	wants(t, sign("bob", session.RightsAdmin), "signed off by bob")
	if tb.overhear("ann", "c2 0"); tb.job().Signed != nil {
		t.Error("an overheard reading did not re-open")
	}
	wants(t, tb.overhear("ann", "sign"), "signed off by ann")
}

// TestNamePeople: only the people given are named, whatever a text holds, and
// one who is forgotten is somebody.
func TestNamePeople(t *testing.T) {
	tb := levelTable(t)
	got := tb.say("ann", "sign")
	wants(t, got, "signed off by ann")
	r := tb.last.Replies[0]
	nobody := func(session.PersonID) string { return "" }
	wants(t, session.NamePeople("en", r.Text, r.People, nobody), "signed off by somebody")
	wants(t, session.NamePeople("es", r.Text, r.People, nobody), "signed off by alguien")
	if got := session.NamePeople("en", r.Text, nil, tb.nameOf); got != r.Text {
		t.Errorf("named without being given: %s", got)
	}
	if strings.Contains(r.Text, "ann") {
		t.Errorf("a name is kept in the text: %s", r.Text)
	}
}

// TestSignatureHolds: whatever is said, in any order and by anybody, a signature
// that stands says what the job is: the same level, tolerance, round and
// surface, and as many stations on, in doubt and unread. One that stands no more
// was re-opened by an event behind it, and the log read back says the same.
func TestSignatureHolds(t *testing.T) {
	messages := []string{
		"sign", "sign", "sign", "undo", "undo", "c2 1/16 low", "c3 is 0", "check c2 0", "bm 1/2 high", "c1+2 1/8 low", "datum c1", "datum high", "datum none",
		"tolerance 1/4", "tolerance 1/8", "reference c2", "known c1 100 ft", "known bm 101 ft", "units mm", "units in", "finest 1/32",
		"weights setups", "weights budget", "laser 4,4", "budget receiver 1/8", "surface shims", "surface plate", "bolts loose", "bolts tight",
		"8x8", "12x8", "piers 4,4", "flip rod", "moved", "bumped", "no", "took over", "another rod", "standard rod", "done", "next round", "plate 1 1/2",
		"shimmed c2", "step c3 c4 1/8 in lower", "fall c3 c4 1/8 per ft", "stock 1/8 x4", "bearing 24", "grind at most 1/8", "shim at most 1/2",
		"grinding costs 3", "no beam c2", "left", "summary", "picture", "quality", "check every 4", "re-shoot", "skip", "0", "1/16 low",
	}
	rapid.Check(t, func(rt *rapid.T) {
		tb := levelTable(t, "sign")
		for range rapid.IntRange(1, 12).Draw(rt, "messages") {
			who := rapid.SampledFrom([]string{"ann", "ann", "bob"}).Draw(rt, "who")
			tb.say(who, rapid.SampledFrom(messages).Draw(rt, "text"))
			j := tb.job()
			if s := j.Signed; s != nil {
				v := j.View()
				now := session.Signed{Round: j.Round, Surface: j.Surface, Tight: j.BoltsTight, Tolerance: j.Tolerance, Unchecked: v.Unchecked}
				if v.Level == nil {
					rt.Fatal("signed off, and there is no level")
				}
				now.Level = *v.Level
				for _, k := range v.Stations {
					if k.Station.Kind != reduce.Wall && k.Station.Kind != reduce.Pier {
						continue
					}
					switch k.Verdict {
					case reduce.On:
						now.On++
					case reduce.Unsure:
						now.Unsure++
					case reduce.Raise, reduce.Lower:
						rt.Fatalf("signed off with %s to %s", k.Name, k.Verdict)
					default:
						now.Unread++
					}
				}
				then := s.Signed
				then.Worst, then.Off, then.Reshot, then.Laser = reduce.Station{}, 0, 0, time.Time{}
				if j.Round > 1 && then.On+1 == now.On {
					now.On-- // the one that the round hangs on, where nothing off the sill does
				}
				if then != now {
					rt.Fatalf("signed %+v, and now %+v", then, now)
				}
			}
			for _, s := range j.Superseded {
				if s.Stands() || s.Reopened.Seq <= s.Seq || s.Reopened.Seq > j.Seq {
					rt.Fatalf("superseded %+v", s)
				}
			}
			again, err := session.Fold(tb.logs[tb.chat.Current])
			if err != nil {
				rt.Fatal(err)
			}
			if a, b := fmt.Sprint(j.Signatures()), fmt.Sprint(again.Signatures()); a != b {
				rt.Fatalf("read back %s, was %s", b, a)
			}
		}
	})
}

// TestSignTooHigh: what is too high with no shims under it is not sent to the
// shim plan: what helps there is said, with the levels. Where shims lie, or
// something is low, the plan helps too.
func TestSignTooHigh(t *testing.T) {
	tb := newTable(t)
	for _, text := range []string{"new East house", "8x8", "direct rod", "0", "0", "3/4 high", "keep", "0", "0", "0", "0", "0", "skip", "tolerance 1/4", "datum c1"} {
		tb.say("ann", text)
	}
	bare, plan := "No shims to take out lie under c2: grind there, read again, or compare other levels: choices", "the plan: shims"
	got := tb.say("ann", "sign")
	wants(t, got, "1 station is outside 1/4 in: c2 lower 3/4.", bare, "[compare levels]")
	lacks(t, got, plan)
	wants(t, tb.tap("ann", "compare levels"), "Which level to build to?")
	tb.say("ann", "c3 1 in low")
	tb.say("ann", "keep")
	wants(t, tb.say("ann", "sign"), "c3 raise 1", bare, plan, "[shim plan]", "[compare levels]")
	tb.say("ann", "español")
	wants(t, tb.say("ann", "firma"), "No hay calzas que sacar bajo c2: esmerila ahí, lee otra vez, o compara otros niveles: opciones", "[comparar niveles]")
}
