package reduce_test

import (
	"encoding/json"
	"testing"

	"rodcall/reduce"
)

// TestStationsAsStored: halves came later; a station without one is stored as it
// ever was, and each reads back as itself.
func TestStationsAsStored(t *testing.T) {
	for _, c := range []struct{ name, stored string }{
		{"c3+8", `{"Kind":1,"Number":3,"Past":"2438.4"}`},
		{"bm2", `{"Kind":3,"Number":2,"Past":"0"}`},
		{"c5 top", `{"Kind":1,"Half":1,"Number":5,"Past":"0"}`},
		{"c3+8 bottom", `{"Kind":1,"Half":2,"Number":3,"Past":"2438.4"}`},
	} {
		s := at(t, c.name)
		b, err := json.Marshal(s)
		if err != nil || string(b) != c.stored {
			t.Errorf("%s is stored as %s (%v), want %s", c.name, b, err, c.stored)
		}
		var back reduce.Station
		if err := json.Unmarshal(b, &back); err != nil || back != s {
			t.Errorf("%s reads back as %v (%v)", c.name, back, err)
		}
	}
}

// TestHalvesResolve: a half of a wall's end is a half of the corner there; piers
// and points off the walk have none.
func TestHalvesResolve(t *testing.T) {
	o := house(t)
	if s, err := o.Resolve(at(t, "c3+40 top")); err != nil || s != at(t, "c4 top") {
		t.Errorf("c3+40 top is %v (%v)", s, err)
	}
	p, loop, ok := o.Position(at(t, "c6 bottom"))
	if q, _, _ := o.Position(at(t, "c6")); p != q || loop != "garage" || !ok {
		t.Errorf("c6 bottom stands at %v", p)
	}
	for _, s := range []reduce.Station{reduce.PierNumber(1).At(reduce.Top), reduce.BenchmarkNumber(1).At(reduce.Top), reduce.Corner(1).At(3)} {
		if _, err := o.Resolve(s); err == nil {
			t.Errorf("%+v is a station", s)
		}
	}
	for _, name := range []string{"p1 top", "bm bottom", "c5 topp", "c5  top", "c5 top bottom", "c5 middle", "top"} {
		if s, err := reduce.ParseStation(name, reduce.Foot); err == nil {
			t.Errorf("%q is read as %+v", name, s)
		}
	}
}
