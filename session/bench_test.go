package session_test

import (
	"fmt"
	"testing"

	"rodcall/session"
)

// walked is a table at which a 40 x 28 ft foundation is open and n readings
// were sent, round and round.
func walkedTable(b testing.TB, n int) *table {
	tb := newTable(b)
	tb.say("ann", "new East house")
	tb.say("ann", "40x28")
	tb.say("ann", "direct rod")
	for i := range n {
		corner, past := 1+i/9%4, 4*(i%7)
		tb.say("ann", fmt.Sprintf("c%d+%d -%d/16", corner, past, 1+2*(i%8)))
	}
	return tb
}

// BenchmarkHear is one reading through Hear, in a job of 100 readings.
func BenchmarkHear(b *testing.B) {
	tb := walkedTable(b, 100)
	m := session.Message{Kind: session.Said, ID: "m", From: session.Person{ID: 1, Name: "ann"}, At: tb.now, Text: "c2+8 -3/8"}
	job := tb.job()
	b.ReportAllocs()
	for b.Loop() {
		if o := session.Hear(tb.chat, job, tb.talks["ann"], m); len(o.Events) != 1 {
			b.Fatalf("%d events", len(o.Events))
		}
	}
}

// BenchmarkFold is a log of 1,000 readings folded.
func BenchmarkFold(b *testing.B) {
	tb := walkedTable(b, 1000)
	log := tb.logs[tb.chat.Current]
	b.ReportAllocs()
	for b.Loop() {
		if _, err := session.Fold(log); err != nil {
			b.Fatal(err)
		}
	}
}
