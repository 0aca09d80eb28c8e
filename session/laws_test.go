package session_test

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"rodcall/session"
	"rodcall/session/phrase"
)

// vocabulary is what the random chats are made of: what crews send, what they
// should not, and nonsense.
var vocabulary = []string{
	"new East house", "new Porch", "job East", "jobs", "40x28", "12x8 m", "walls 40 left 28 left 40 left 28",
	"walls 20 left 10 left 20 left 9", "loop garage 24x22 at 40,0", "piers 10,14 20,14", "spacing 6", "spacing 0",
	"direct rod", "standard rod", "units mm", "units in", "finest 1/32", "reference c2", "reference c9",
	"0", "-1/8", "1/8 high", "3/8", "low", "high", "-1", "4' 7 3/8\"", "1.412 m", "good", "-14", "asdf", "",
	"c1 0", "c2 -1/4", "c3+8 -5/16", "c3 is -1/4", "check c3 -1/4", "bm 0", "bm2 1/8 high", "p1 -1/2", "t1 0", "c9 0", "c4",
	"undo", "skip", "left", "repeat", "picture", "summary", "other way", "no beam c3+8", "no beam", "done", "no",
	"datum first", "datum high", "datum c2", "datum -1/8", "datum none", "datum fewest", "datum least", "choices", "grind at most 1/8", "grinding costs 2", "shim at most 1/4", "tolerance 1/8",
	"shims", "shims all", "shim", "shim from c3", "shimmed", "shimmed c3+8", "shimmed c1 to c3", "shimmed c2 1/4", "shimmed all",
	"stock 1/16 x3, 1/8 x2", "stock none", "stack at most 2",
	"step c2 c4 8 in lower", "step c3+8 1 in higher", "step p1 4 in lower", "step c3 c2 1/2 lower", "step none", "step tolerance 1/4", "fall c1 c2 1/8 per ft", "fall none",
	"c2 top 0", "c2 bottom -8\"", "c4 top 1/8 low", "c2 top", "c3 bottom 0",
	"laser 20,14", "laser 3,3", "sign", "step c1+4 c2+4 8 in lower", "step c1 8 in lower", "fall c3 c4 1/4 per ft", "plate 2", "plate none", "stock 1/2 x3", "stock 1/4", "shimmed c4 1/8", "shimmed all",
	"surface concrete", "bolts loose", "no grinding", "start shimming", "garage 8 in lower", "c2 superior 0", "it is so", "repeat", "check bm 0", "quality", "notes", "papers", "as found",
	"surface plate", "bolts tight", "next round", "laser not moved", "surface shims", "plate 1 1/2", "shimmed c2", "shimmed all", "it is so", "datum high", "bearing 24", "bolts every 6", "bolts at c1+2 c1+8", "no bolts", "posts c2+8", "splices c1+16", "bend 1/8 in 8 ft", "bend none", "moved", "they bumped the laser", "test rod", "3/4", "flip rod",
	"took over", "another rod", "help", "tres octavos bajo", "borra", "español", "sign", "stock 1/16 x20",
	"check c1", "rod 1", "tolerance 3", "c9 0\n1/4 low\nc2 0", "units ft", "finest 1/8",
	"check bm 1/4 high", "check c1 1/2 low", "check c2 1/2 high", "bumped", "break", "check every 2", "check every 1 min", "check every no", "undo",
	"c1 0\n-1/8\nasdf\nundo\n1/8 high", "new X\n40x28\nc1 0", "-1/8\n-1/4\n3/8\n0",
}

// TestEveryWordIsChosen: a step is decoded from one byte.
func TestEveryWordIsChosen(t *testing.T) {
	if n := len(vocabulary); n > 256 {
		t.Errorf("%d of the vocabulary are out of reach", n-256)
	}
}

// chatStep decodes one step of a random chat from three bytes.
func chatStep(tb *table, b []byte) {
	who := []string{"ann", "bob"}[int(b[0]>>7)]
	text := vocabulary[int(b[1])%len(vocabulary)]
	switch b[0] % 8 {
	case 0:
		if tb.next > 0 {
			tb.edit(who, 1+int(b[2])%tb.next, text)
			return
		}
	case 1:
		if tb.next > 0 {
			tb.replyTo(who, 1+int(b[2])%tb.next, text)
			return
		}
	case 2:
		if q := tb.talks[who].Question; q != nil && len(q.Buttons) > 0 {
			tb.tap(who, q.Buttons[int(b[2])%len(q.Buttons)].Label)
			return
		}
	case 3:
		if !strings.Contains(text, "\n") && text != "" && b[2]%2 == 0 {
			tb.speak(who, text, vocabulary[int(b[2])%len(vocabulary)])
			return
		}
	}
	tb.say(who, text)
}

func checkLaws(t *testing.T, data []byte) { checkLawsAfter(t, data, "new East house") }

// checkLawsAfter checks the laws over a random chat behind some messages.
func checkLawsAfter(t *testing.T, data []byte, first ...string) {
	tb := newTable(t)
	for _, text := range first {
		tb.say("ann", text)
	}
	for len(data) >= 3 {
		before := map[string]string{}
		for id, j := range tb.jobs {
			before[id] = session.Dump(j)
		}
		given := tb.job()
		var asked phrase.Meaning
		plain := data[0]%8 > 2 && tb.talks[[]string{"ann", "bob"}[int(data[0]>>7)]].Question == nil
		if text := vocabulary[int(data[1])%len(vocabulary)]; plain && !strings.Contains(text, "\n") {
			c := tb.talks[[]string{"ann", "bob"}[int(data[0]>>7)]]
			rod := given.Rods
			ctx := phrase.Context{Rod: 1, Unit: given.Unit, Finest: given.Finest, Outline: given.Outline, Asked: c.Asked}
			if len(rod) > 0 && len(rod) == 1 {
				ctx.Rod = rod[0].Kind
			}
			if len(rod) <= 1 && c.Job == given.ID {
				asked = phrase.Parse(ctx, text)
			}
		}
		step := data[:3]
		data = data[3:]
		chatStep(tb, step)
		if asked.Kind == phrase.Ask || asked.Kind == phrase.Refuse {
			if len(tb.last.Events) > 0 {
				t.Fatalf("asked back or refused, yet stored %+v", tb.last.Events)
			}
		}
		for id, dump := range before {
			if id != tb.last.Job && session.Dump(tb.jobs[id]) != dump {
				t.Fatalf("job %s changed without an event", id)
			}
		}
		for _, r := range tb.last.Replies {
			if strings.Contains(r.Text, "{") {
				t.Fatalf("gap left open in %q", r.Text)
			}
		}
	}
	for id, log := range tb.logs {
		var prev session.Hash
		var stored []session.Event
		for _, e := range log {
			b, err := session.Encode(e, prev)
			if err != nil {
				t.Fatal(err)
			}
			got, link, err := session.Decode(b)
			if err != nil {
				t.Fatalf("decode %s: %v", b, err)
			}
			again, err := session.Encode(got, link)
			if err != nil || !bytes.Equal(again, b) {
				t.Fatalf("event changed on its way through the codec:\n%s\n%s %v", b, again, err)
			}
			prev = session.HashOf(b)
			stored = append(stored, got)
		}
		folded, err := session.Fold(stored)
		if err != nil {
			t.Fatal(err)
		}
		if a, b := session.Dump(folded), session.Dump(tb.jobs[id]); a != b {
			t.Fatalf("fold differs from the job in memory:\n%s\n---\n%s", a, b)
		}
	}
}

func FuzzHear(f *testing.F) {
	f.Add([]byte{3, 4, 0, 3, 19, 0, 3, 20, 0, 3, 42, 0, 0, 21, 3})
	f.Add([]byte{3, 4, 0, 131, 19, 0, 130, 0, 0, 3, 40, 0})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 3*60 {
			data = data[:3*60]
		}
		checkLaws(t, data)
	})
}

// TestHearLeavesItsInput holds the job, the chat and the conversation that
// Hear was given against what they were.
func TestHearLeavesItsInput(t *testing.T) {
	tb := newTable(t)
	for i, text := range vocabulary {
		job := tb.job()
		before := ""
		if job != nil {
			before = session.Dump(job)
		}
		chat, talk := fmt.Sprintf("%+v", tb.chat), fmt.Sprintf("%+v", tb.talks["ann"])
		session.Hear(tb.chat, job, tb.talks["ann"], session.Message{
			Kind: session.Said, ID: fmt.Sprint(1000 + i), From: session.Person{ID: 1}, At: tb.now, Text: text, FreshID: "x",
		})
		if job != nil && session.Dump(job) != before {
			t.Errorf("%q changed the job that Hear was given", text)
		}
		if fmt.Sprintf("%+v", tb.chat) != chat || fmt.Sprintf("%+v", tb.talks["ann"]) != talk {
			t.Errorf("%q changed the chat or the conversation that Hear was given", text)
		}
		tb.say("ann", text)
	}
}

// TestRandomRounds runs the laws over chats that begin with a round walked, with
// and without a point off the sill.
func TestRandomRounds(t *testing.T) {
	x := uint32(88172645)
	rnd := func() byte {
		x ^= x << 13
		x ^= x >> 17
		x ^= x << 5
		return byte(x >> 11)
	}
	first := []string{"new East house", "8x8", "direct rod", "c1 0\n-1/4\n0\n0\n-3/8\n0\n1/16 high\n0", "datum c1"}
	var rounds []int
	for i, text := range vocabulary {
		if slices.Contains([]string{"next round", "laser not moved", "surface shims", "surface plate", "plate 1 1/2", "bolts tight", "shimmed all",
			"shimmed c2", "c1 0", "c2 -1/4", "bm 0", "0", "-1/8", "undo", "done", "moved", "skip", "check c1", "left", "summary"}, text) {
			rounds = append(rounds, i)
		}
	}
	for n := range 60 {
		data := make([]byte, 3*40)
		for i := range data {
			if data[i] = rnd(); i%3 == 1 && n%4 > 0 {
				data[i] = byte(rounds[int(rnd())%len(rounds)])
			}
		}
		if n%2 == 0 {
			checkLawsAfter(t, data, first...)
		} else {
			checkLawsAfter(t, data, slices.Insert(slices.Clone(first), 3, "bm 1/2 high")...)
		}
	}
}

// TestRandomChats runs the laws over chats of a fixed seed.
func TestRandomChats(t *testing.T) {
	x := uint32(2463534242)
	rnd := func() byte {
		x ^= x << 13
		x ^= x >> 17
		x ^= x << 5
		return byte(x >> 11)
	}
	for range 150 {
		data := make([]byte, 3*40)
		for i := range data {
			data[i] = rnd()
		}
		checkLaws(t, data)
	}
}
