package render

import (
	"bytes"
	"fmt"
	"image/png"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// anyTradeoff has any curve, choices anywhere on it, and words of any length.
func anyTradeoff(r *rapid.T) *Tradeoff {
	word := func(what string) string {
		return rapid.SampledFrom([]string{"", "fewest", "high spot c3+12 · fewest spots · least work, 1 3/16 heavy high", "punto más alto de toda la vuelta que se leyó, y aun más largo que la página misma, 12 11/16 pulg"}).Draw(r, what)
	}
	t := &Tradeoff{Title: "East house: which level?", Lines: []string{"34 stations read"}, Work: word("work"), Spots: word("spots"), Axis: word("axis"), ShutText: word("shut")}
	low := reduce.Length(rapid.Int64Range(-2_000_000_000, 2_000_000_000).Draw(r, "low"))
	step := reduce.Length(rapid.Int64Range(1, 30_000_000).Draw(r, "step"))
	n := rapid.IntRange(0, 170).Draw(r, "samples")
	for i := range n {
		t.Samples = append(t.Samples, Sample{low + reduce.Length(i)*step, reduce.Length(rapid.Int64Range(0, 1e12).Draw(r, "work")), rapid.IntRange(0, 5000).Draw(r, "spots")})
	}
	if n < 2 {
		return t
	}
	at := rapid.IntRange(0, n-1)
	for _, i := range rapid.SliceOfNDistinct(at, 1, min(6, n), func(i int) int { return i }).Draw(r, "choices") {
		t.Choices = append(t.Choices, Choice{t.Samples[i], word("name"), word("cost"), rapid.Bool().Draw(r, "beyond")})
	}
	high := t.Samples[n-1].Level
	for i := range 5 {
		t.LevelTicks = append(t.LevelTicks, Tick{low + (high-low)/4*reduce.Length(i), fmt.Sprintf("%d 15/16 heavy high", i)})
		t.WorkTicks = append(t.WorkTicks, Tick{reduce.Length(i) * 25e10, fmt.Sprintf("%d 15/16", i)})
	}
	t.SpotTicks = []int{0, 2000, 4000}
	a, b := t.Samples[at.Draw(r, "from")].Level, t.Samples[at.Draw(r, "to")].Level
	t.Shut = []Span{{min(a, b), max(a, b)}}
	return t
}

// TestTradeoffs: no word touches another, a shape or the edge, whatever the
// curve and the words; every choice has its number in the list and on the
// curve.
func TestTradeoffs(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		data := anyTradeoff(r)
		p, err := LayoutTradeoff(data)
		if err != nil {
			r.Fatal(err)
		}
		for _, f := range faults(p) {
			r.Error(f)
		}
		numbers := map[string]int{}
		for _, it := range p.Items {
			if it.Kind == KindText && it.Em == emSmall && it.Bold {
				numbers[it.Text]++
			}
		}
		for i := range data.Choices {
			if n := numbers[fmt.Sprint(i+1)]; n != 2 {
				r.Errorf("the number %d stands %d times", i+1, n)
			}
		}
	})
}

// TestTradeoffPicture: it is written as a picture of its own size.
func TestTradeoffPicture(t *testing.T) {
	data := &Tradeoff{Title: "Barn: which level?", Lines: []string{"no heights yet"}}
	for range 2 {
		p, err := LayoutTradeoff(data)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := WritePNG(&b, p); err != nil {
			t.Fatal(err)
		}
		c, err := png.DecodeConfig(&b)
		if err != nil || c.Width != 1280 || c.Height != p.Height {
			t.Errorf("%+v, %v", c, err)
		}
		data.Samples = []Sample{{0, 0, 0}, {reduce.Inch, reduce.Inch, 3}}
	}
	data.Choices = make([]Choice, maxChoices+1)
	if _, err := LayoutTradeoff(data); err == nil {
		t.Error("more choices than have room are drawn")
	}
}
