package reduce_test

import (
	"testing"

	"rodcall/reduce"
)

// TestBearingOnSpots: in a metric job the marks, every metre, are not where the
// joists are, every 400 mm. Where asked for, the plate bears on both; a joist
// that is nearer to a mark than points are merged bears there.
func TestBearingOnSpots(t *testing.T) {
	o, err := reduce.Outline{Grid: reduce.GridFor(reduce.UnitMillimetre)}.WithLoop("", reduce.Point{}, reduce.Rectangle(3*reduce.Metre, 2*reduce.Metre))
	if err != nil {
		t.Fatal(err)
	}
	var spots []reduce.PlateSpot
	for _, s := range o.Stations() {
		spots = append(spots, reduce.PlateSpot{Station: s, Deviation: -reduce.Centimetre, Read: true})
	}
	opt := reduce.PlateDefaults(reduce.UnitMillimetre)
	opt.Spots = true
	opt.Bolts = []reduce.Station{reduce.Along(1, 1100*reduce.Millimetre)} // a point at 1025: merged
	for _, c := range []struct {
		station reduce.Station
		kinds   reduce.BearingKind
	}{
		{reduce.Corner(1), reduce.BearEnd | reduce.BearSpot | reduce.BearJoist},
		{reduce.Along(1, 400*reduce.Millimetre), reduce.BearJoist},
		{reduce.Along(1, 800*reduce.Millimetre), reduce.BearJoist},
		{reduce.Along(1, reduce.Metre), reduce.BearSpot | reduce.BearBolt},
		{reduce.Along(1, 1175*reduce.Millimetre), reduce.BearBolt | reduce.BearJoist},
		{reduce.Along(1, 1600*reduce.Millimetre), reduce.BearJoist},
		{reduce.Along(1, 2*reduce.Metre), reduce.BearSpot | reduce.BearJoist},
	} {
		plan := reduce.PlanPlate(&o, spots, nil, opt)
		found := false
		for i, p := range plan.Points {
			if p.Station == c.station {
				found = p.Kinds == c.kinds && p.Amount == reduce.Centimetre
			}
			if i > 0 && reduce.Compare(plan.Points[i-1].Station, p.Station) >= 0 {
				t.Errorf("%v stands before %v", plan.Points[i-1].Station, p.Station)
			}
		}
		if !found {
			t.Errorf("no %s of kinds %b in %+v", c.station.Name(reduce.Metre), c.kinds, plan.Points[:8])
		}
	}
}
