package report_test

import (
	"testing"
	"time"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/report"
)

// start is when the jobs here open; each event comes ten seconds later.
var start = time.Date(2026, 5, 4, 13, 0, 0, 0, time.UTC)

// book is a log in the making: one message an event, all by one person.
type book struct {
	t      testing.TB
	events []session.Event
	by     session.PersonID
}

func newBook(t testing.TB, name string, rod reduce.RodKind) *book {
	b := &book{t: t, by: 1}
	b.add(session.Opened{Job: "j1", Chat: "crew", Name: name})
	b.add(session.SetupOpened{Setup: 1})
	b.add(session.RodTaken{Rod: 1, Setup: 1, Kind: rod, By: 1})
	return b
}

func (b *book) add(body session.Body) uint64 {
	n := len(b.events)
	b.events = append(b.events, session.Event{
		Seq: uint64(n + 1), At: start.Add(time.Duration(n) * 10 * time.Second), By: b.by,
		Message: string(rune('a' + n%26)), Line: 1, Body: body,
	})
	return uint64(n + 1)
}

func (b *book) read(station string, value reduce.Length) uint64 {
	return b.add(session.Read{Round: 1, Rod: 1, Station: b.station(station), Value: value, Said: value.String()})
}

func (b *book) station(name string) reduce.Station {
	b.t.Helper()
	s, err := reduce.ParseStation(name, reduce.Foot)
	if err != nil {
		b.t.Fatal(err)
	}
	return s
}

// rectangle sets an outline of feet, with piers.
func (b *book) rectangle(w, d reduce.Length, piers ...reduce.Point) {
	b.t.Helper()
	corners, err := reduce.Trace(reduce.Rectangle(w*reduce.Foot, d*reduce.Foot))
	if err != nil {
		b.t.Fatal(err)
	}
	b.add(session.OutlineSet{
		Loops: []reduce.Loop{{Name: "house", First: 1, Corners: corners}},
		Piers: piers,
		Grid:  reduce.GridFor(reduce.UnitInch),
	})
}

func (b *book) job() *session.Job {
	b.t.Helper()
	j, err := session.Fold(b.events)
	if err != nil {
		b.t.Fatal(err)
	}
	return j
}

func names(p session.PersonID) string {
	if p == 1 {
		return "ann"
	}
	return ""
}

// sources are what the reports here take from beside the job; its log is made up.
var sources = report.Sources{Names: names, Head: report.Head{Seq: 57, Hash: session.HashOf([]byte("57"))}}

// sixteenths of an inch.
func sixteenths(n reduce.Length) reduce.Length { return n * reduce.Inch / 16 }

// shed is a small job with one of everything that an export tells: a reading
// replaced, one taken back, a check, a pier, a benchmark, a spot without beam.
func shed(t *testing.T) *book {
	b := newBook(t, "North shed", reduce.Direct)
	b.rectangle(8, 8, reduce.Point{X: 4 * reduce.Foot, Y: 4 * reduce.Foot})
	b.read("c1", sixteenths(1))
	b.read("c1+4", sixteenths(-2))
	b.read("c2", sixteenths(3))
	b.read("c2", sixteenths(4))
	b.add(session.Read{Round: 1, Rod: 1, Station: b.station("c2"), Value: sixteenths(3), Check: true, Said: "3/16"})
	wrong := b.read("c3", sixteenths(90))
	b.add(session.Voided{Seqs: []uint64{wrong}, Why: "undo"})
	b.add(session.NoBeam{Station: b.station("c4")})
	b.read("p1", sixteenths(-7))
	b.by = 2
	b.read("bm", sixteenths(21))
	return b
}
