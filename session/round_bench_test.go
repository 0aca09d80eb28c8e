package session_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"rodcall/reduce"
	"rodcall/session"
)

// manyRounds is a job of so many stations, all read in each of five rounds from
// a set-up of its own, a point off the sill first.
func manyRounds(b testing.TB, stations int) *session.Job {
	side := reduce.Length(stations) // feet; a mark each foot on the long walls
	l := &log{t: b}
	corners, err := reduce.Trace(reduce.Rectangle(side*reduce.Foot/2, 40*reduce.Foot))
	if err != nil {
		b.Fatal(err)
	}
	l.add(session.Opened{Job: "j", Chat: "c", Name: "n"}, session.SetupOpened{Setup: 1}, session.RodTaken{Rod: 1, Setup: 1, Kind: reduce.Direct, By: 1},
		session.OutlineSet{Loops: []reduce.Loop{{Name: "house", First: 1, Corners: corners}}, Grid: reduce.Grid{Mark: reduce.Foot, Spacing: reduce.Foot, Drop: reduce.Foot / 2}})
	all := l.job().Outline.Stations()
	for round := 1; round <= 5; round++ {
		if round == 2 {
			l.add(session.DatumSet{Choice: reduce.DatumFirst})
		}
		if round > 1 {
			l.add(session.RoundOpened{Round: round, Surface: "shims", Walk: all}, session.SetupOpened{Setup: round},
				session.RodTaken{Rod: round, Setup: round, Kind: reduce.Direct, By: 1})
		}
		for i, s := range append([]reduce.Station{reduce.BenchmarkNumber(1)}, all...) {
			if round == 5 && i > len(all)-10 {
				break // the last few are left to read
			}
			l.add(session.Read{Round: round, Rod: round, Station: s, Value: reduce.Length((i*7)%5+round) * part, Said: "0"})
		}
		for i, s := range all {
			if i%10 == 0 && round < 5 {
				l.add(session.Shimmed{Round: round, Spots: []session.ShimSet{{Station: s, Amount: part}}})
			}
		}
	}
	return l.job()
}

// BenchmarkRoundsRatio is the time a station of a view of five rounds, of 5,000
// stations against 500: it stays about the same.
func BenchmarkRoundsRatio(b *testing.B) {
	small, large := manyRounds(b, 500), manyRounds(b, 5000)
	per := func(j *session.Job) float64 {
		start := time.Now()
		v := j.View()
		return float64(time.Since(start)) / float64(len(v.Stations))
	}
	var ratios, times []float64
	for b.Loop() {
		a := per(small)
		c := per(large)
		ratios, times = append(ratios, c/a), append(times, c)
	}
	slices.Sort(ratios)
	slices.Sort(times)
	b.ReportMetric(ratios[len(ratios)/2], "ratio")
	b.ReportMetric(2, "at-most")
	b.ReportMetric(times[len(times)/2], "ns/station")
}

// BenchmarkHearInAFurtherRound is one reading through Hear in the fifth round of
// 500 stations, and of 5,000.
func BenchmarkHearInAFurtherRound(b *testing.B) {
	for _, n := range []int{500, 5000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			j := manyRounds(b, n)
			all := j.Outline.Stations()
			m := session.Message{Kind: session.Said, ID: "m", From: session.Person{ID: 1, Name: "ann"}, At: time.Unix(1<<20, 0),
				Text: j.StationName(all[len(all)-1]) + " 1/2 high"}
			chat := session.Chat{ID: "c", Current: "j", Jobs: []session.JobHeader{j.Header()}}
			b.ReportAllocs()
			for b.Loop() {
				if o := session.Hear(chat, j, session.Conversation{}, m); len(o.Events) == 0 {
					b.Fatalf("%v", o.Replies)
				}
			}
		})
	}
}
