package session_test

import (
	"slices"
	"testing"
	"time"

	"rodcall/reduce"
	"rodcall/session"
)

// stationsEach is the stations of a house of 40 x 28 ft.
const stationsEach = 34

// estate is a job of so many houses of 40 x 28 ft in one set-up with a benchmark:
// walked, with a level chosen, and so many shims of each size; 0 for plenty.
func estate(b testing.TB, houses, shims int) *session.Job {
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
	if shims > 0 {
		stock := session.StockSet{Sizes: reduce.DefaultShims(reduce.UnitInch)}
		for i := range stock.Sizes {
			stock.Sizes[i].Plenty, stock.Sizes[i].Count = false, shims
		}
		add(stock)
	}
	j, err := session.Fold(log)
	if err != nil {
		b.Fatal(err)
	}
	return j
}

// BenchmarkPlanStationRatio: the time of a station, from the readings to the
// whole plan, in a job of 5,000 stations against one of 500; in turns, each turn
// of the small job ten times, the median of at least nine. With plenty of shims
// and with a stock that does not go round: the worse of the two counts.
func BenchmarkPlanStationRatio(b *testing.B) {
	const few, many = 15, 147 // houses
	worst := 0.0
	for _, stock := range []struct {
		name  string
		count int // of each size for each house, 0 for plenty
	}{{"plenty of shims", 0}, {"too few shims", 20}} {
		small, big := estate(b, few, few*stock.count), estate(b, many, many*stock.count)
		var ratios, ours []float64
		for range max(9, b.N) {
			start := time.Now()
			for range 10 {
				planAll(b, small)
			}
			one := time.Since(start).Seconds() / 10 / (few * stationsEach)
			start = time.Now()
			planAll(b, big)
			two := time.Since(start).Seconds() / (many * stationsEach)
			ratios, ours = append(ratios, two/one), append(ours, two)
		}
		slices.Sort(ratios)
		slices.Sort(ours)
		b.Logf("%s: %.2f; %.0f µs a station in the large job", stock.name, ratios[len(ratios)/2], 1e6*ours[len(ours)/2])
		worst = max(worst, ratios[len(ratios)/2])
	}
	b.ReportMetric(worst, "ratio")
	b.ReportMetric(1.3, "at-most")
	b.ReportMetric(0, "ns/op")
}

// planAll works out all that a plan is: heights, the levels to choose from, the
// plate's line, its bearing points and what goes under them.
func planAll(b testing.TB, j *session.Job) {
	v := j.View()
	plan, ok := v.ShimPlan()
	if !ok || len(v.Choices()) < 4 || len(plan.Points) <= len(v.Stations) {
		b.Fatal("no plan")
	}
}
