package session_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session"
)

// TestKeptAdjustmentHolds: whatever happens to a job, a further reading is
// reduced by the adjustment that is kept as by one made anew; and a station that
// was read once stands where that reading alone puts it, to the rounding. The stations have
// places: see basis.
func TestKeptAdjustmentHolds(t *testing.T) {
	corners, err := reduce.Trace(reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot))
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]reduce.RodKind{reduce.Direct, reduce.Standard})
		bodies := []session.Body{
			session.Opened{Job: "j1", Chat: "crew", Name: "Lot 7"}, session.SetupOpened{Setup: 1},
			session.OutlineSet{Loops: []reduce.Loop{{Name: "house", First: 1, Corners: corners}}, Grid: reduce.GridFor(reduce.UnitInch)},
			session.RodTaken{Rod: 1, Setup: 1, Kind: kind.Draw(t, "kind"), By: 1},
			session.RodTaken{Rod: 2, Setup: 1, Kind: kind.Draw(t, "kind"), By: 2},
			session.SetupOpened{Setup: 2},
			session.RodTaken{Rod: 3, Setup: 2, Kind: kind.Draw(t, "kind"), By: 1},
		}
		stations := []reduce.Station{
			reduce.Corner(1), reduce.Corner(2), reduce.Corner(3), reduce.Along(1, 4*reduce.Foot), reduce.Along(2, 8*reduce.Foot),
			reduce.Along(3, 12*reduce.Foot), reduce.Along(4, 8*reduce.Foot),
		}
		at := rapid.SampledFrom(stations)
		events := []session.Event{}
		job := session.NewJob()
		apply := func(b session.Body) {
			e := session.Event{Seq: uint64(len(events) + 1), At: time.Unix(0, 0).UTC(), By: 1, Body: b}
			if err := job.Apply(e); err != nil {
				t.Fatal(err)
			}
			events = append(events, e)
		}
		for _, b := range bodies {
			apply(b)
		}
		for range rapid.IntRange(5, 30).Draw(t, "events") {
			switch rapid.IntRange(0, 12).Draw(t, "what") {
			case 0:
				apply(session.Voided{Seqs: []uint64{uint64(rapid.IntRange(1, len(events)).Draw(t, "void"))}, Why: "undo"})
			case 1:
				apply(session.KnownSet{Station: at.Draw(t, "known"), Height: rapid.Custom(sixteenth).Draw(t, "height"), Clear: rapid.Bool().Draw(t, "clear")})
			case 2:
				apply(session.WeightsSet{Weights: rapid.SampledFrom([]string{"setups", "budget"}).Draw(t, "weights")})
			case 3:
				apply(session.LaserPlaced{Setup: 1, At: reduce.Point{X: 10 * reduce.Foot, Y: 5 * reduce.Foot}})
			case 4:
				apply(session.ReferenceSet{Station: at.Draw(t, "reference")})
			default:
				apply(session.Read{Round: 1, Rod: rapid.IntRange(1, 3).Draw(t, "rod"), Station: at.Draw(t, "station"),
					Value: rapid.Custom(sixteenth).Draw(t, "value"), Check: rapid.IntRange(0, 4).Draw(t, "check") == 0, Said: "?"})
			}
			rod, value, s := rapid.IntRange(1, 3).Draw(t, "sight by"), rapid.Custom(sixteenth).Draw(t, "sight"), at.Draw(t, "sight at")
			kept, ok := job.Sight(rod, value, s)
			again, err := session.Fold(events)
			if err != nil {
				t.Fatal(err)
			}
			anew, want := again.Sight(rod, value, s)
			// Each is rounded to a micrometre by itself.
			if (kept-anew).Abs() > 2*reduce.Micrometre || ok != want {
				t.Fatalf("after %d events %s by rod %d is %s (%t), anew %s (%t)", len(events), s.Name(reduce.Foot), rod, kept, ok, anew, want)
			}
		}
		view := job.View()
		for i, r := range view.Adjusted {
			n := 0
			for _, o := range view.Adjusted {
				if o.Station == r.Station {
					n++
				}
			}
			if _, known := view.Job.View().Levels.Elevations[r.Station]; n > 1 || !known || r.Station == job.Reference || view.Solution.Residuals[i].Redundancy > 0 {
				continue
			}
			if e, ok := job.Sight(r.Rod, r.Value, r.Station); !ok || (e-view.Levels.Elevations[r.Station]).Abs() > 2*reduce.Micrometre {
				t.Fatalf("%s stands %s, its only reading says %s", r.Station.Name(reduce.Foot), view.Levels.Elevations[r.Station], e)
			}
		}
	})
}

func sixteenth(t *rapid.T) reduce.Length {
	return reduce.Length(rapid.IntRange(0, 180).Draw(t, "sixteenths")) * reduce.Inch / 16
}
