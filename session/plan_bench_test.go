package session_test

import (
	"slices"
	"testing"
	"time"

	"rodcall/reduce"
	"rodcall/session"
)

// estate is a job of so many houses of 40 x 28 ft, 34 stations each, in one
// set-up with a benchmark: walked, with a level chosen.
func estate(b testing.TB, houses int) *session.Job {
	b.Helper()
	o := reduce.Outline{Grid: reduce.GridFor(reduce.UnitInch)}
	for i := range houses {
		var err error
		o, err = o.WithLoop("", reduce.Point{X: reduce.Length(i%10) * 60 * reduce.Foot, Y: reduce.Length(i/10) * 50 * reduce.Foot},
			reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot))
		if err != nil {
			b.Fatal(err)
		}
	}
	at := time.Date(2026, 5, 4, 13, 0, 0, 0, time.UTC)
	var log []session.Event
	add := func(body session.Body) {
		log = append(log, session.Event{Seq: uint64(len(log) + 1), At: at, By: 1, Body: body})
	}
	add(session.Opened{Job: "j", Chat: "yard", Name: "Estate"})
	add(session.SetupOpened{Setup: 1})
	add(session.OutlineSet{Loops: o.Loops, Grid: o.Grid})
	add(session.RodTaken{Rod: 1, Setup: 1, Kind: reduce.Direct, By: 1})
	add(session.Read{Round: 1, Rod: 1, Station: reduce.BenchmarkNumber(1), Value: 3 * reduce.Inch})
	for i, st := range o.Stations() {
		// Up to 7/16 in either way, in no order.
		add(session.Read{Round: 1, Rod: 1, Station: st, Value: reduce.Length(i*37%15-7) * reduce.Inch / 16})
	}
	add(session.RoundEnded{Round: 1})
	add(session.DatumSet{Choice: reduce.DatumHigh})
	j, err := session.Fold(log)
	if err != nil {
		b.Fatal(err)
	}
	return j
}

// BenchmarkPlanStationRatio: the time of a station, from the readings to the
// whole plan, in a job of 5,000 stations against one of 500; in turns, each turn
// of the small job ten times, the median of at least nine.
func BenchmarkPlanStationRatio(b *testing.B) {
	small, big := estate(b, 15), estate(b, 147)
	var ratios, ours []float64
	for range max(9, b.N) {
		start := time.Now()
		for range 10 {
			planAll(b, small)
		}
		one := time.Since(start).Seconds() / 10 / 510
		start = time.Now()
		planAll(b, big)
		two := time.Since(start).Seconds() / 4998
		ratios, ours = append(ratios, two/one), append(ours, two)
	}
	slices.Sort(ratios)
	slices.Sort(ours)
	b.Logf("%.1f µs a station in the large job", 1e6*ours[len(ours)/2])
	b.ReportMetric(ratios[len(ratios)/2], "ratio")
	b.ReportMetric(1.3, "at-most")
	b.ReportMetric(0, "ns/op")
}

// planAll works out all that a plan is: heights, the levels to choose from, the
// plate's line, its bearing points and what goes under them.
func planAll(b testing.TB, j *session.Job) {
	v := j.View()
	plan, ok := v.PlatePlan()
	if !ok {
		b.Fatal("no level")
	}
	var amounts []reduce.Length
	for _, p := range plan.Points {
		if p.Known && !p.Engineer {
			amounts = append(amounts, max(p.Amount, 0))
		}
	}
	for _, n := range []int{0, len(amounts)} {
		stock := reduce.DefaultShims(j.Unit)
		if n > 0 {
			for i := range stock {
				stock[i].Plenty, stock[i].Count = false, n/4
			}
		}
		if _, err := reduce.Allot(stock, reduce.DefaultStack, j.Finest, amounts); err != nil {
			b.Fatal(err)
		}
	}
}
