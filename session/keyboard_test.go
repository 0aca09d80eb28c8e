package session_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// keyContext is what a key is read against.
func keyContext(tb *table) phrase.Context {
	j := tb.job()
	return phrase.Context{Rod: j.Rods[0].Kind, Unit: j.Unit, Finest: j.Finest, Outline: j.Outline, Asked: tb.talks["ann"].Asked}
}

// board is what the keys of a phone say: values in their order, and what leads
// elsewhere.
type board struct {
	values []reduce.Length
	leads  []string
	level  bool
	others []phrase.CommandName
}

// mustRead holds the keys against what Parse makes of them: a key is a reading of
// the station asked for, or a command; rows have at most four; numbers rise from
// key to key.
func mustRead(t rapid.TB, tb *table) (b board) {
	c := keyContext(tb)
	for n, row := range tb.keys {
		if len(row) > 4 {
			t.Fatalf("%q: more than four in a row", row)
		}
		for _, k := range row {
			m := phrase.Parse(c, k)
			switch {
			case m.Kind == phrase.Reading && n == len(tb.keys)-1:
				if m.Value != 0 {
					t.Fatalf("%q stands beside the commands", k)
				}
				b.level = true
			case m.Kind == phrase.Reading:
				if m.Station != c.Asked || m.Value%c.Finest != 0 || len(b.values) > 0 && m.Value <= b.values[len(b.values)-1] {
					t.Fatalf("key %q reads %v at %v, behind %v", k, m.Value, m.Station, b.values)
				}
				b.values = append(b.values, m.Value)
			case m.Kind == phrase.Command && m.Arg != nil:
				if m.Command != phrase.CmdMore {
					t.Fatalf("key %q is %v", k, m.Command)
				}
				b.leads = append(b.leads, k)
			case m.Kind == phrase.Command:
				b.others = append(b.others, m.Command)
			default:
				t.Fatalf("key %q is %v", k, m.Kind)
			}
		}
	}
	b.level = b.level || slices.Contains(b.values, 0)
	return b
}

// TestKeysReadBack: in both languages, all units and with either rod, whatever
// was read, every key is read as what it says; the likely values are at most
// eight in two rows of four; and every value within 2 in of them is at most three
// taps away, none of which stores anything but the last.
func TestKeysReadBack(whole *testing.T) {
	rapid.Check(whole, func(t *rapid.T) {
		lang := rapid.SampledFrom([]string{"english", "español"}).Draw(t, "language")
		unit := rapid.SampledFrom([]string{"in", "ft", "mm"}).Draw(t, "unit")
		rod := rapid.SampledFrom([]string{"direct rod", "standard rod"}).Draw(t, "rod")
		tb := newTable(whole)
		for _, text := range []string{"new House", lang, "units " + unit, "40x28", rod} {
			tb.say("ann", text)
		}
		var u reduce.Unit
		if err := u.UnmarshalText([]byte(unit)); err != nil {
			t.Fatal(err)
		}
		start := 0
		if rod == "standard rod" {
			start = 900
			if b := mustRead(t, tb); len(b.leads) != 8 || len(b.values) > 0 {
				t.Fatalf("before anything is read: %q", tb.keys)
			}
		} else if b := mustRead(t, tb); len(b.values) != 8 || !b.level {
			t.Fatalf("before anything is read: %q", tb.keys)
		}
		for range rapid.IntRange(1, 4).Draw(t, "read") {
			v := reduce.Length(start+rapid.IntRange(-40, 40).Draw(t, "value")) * u.Finest()
			tb.say("ann", sentAs(u, rod, v))
			tb.tapSame()
		}
		b := mustRead(t, tb)
		if len(b.values) != 8 || len(tb.keys) != 3 {
			t.Fatalf("%q", tb.keys)
		}
		if rod == "direct rod" && !b.level {
			t.Fatalf("no key for 0: %q", tb.keys)
		}
		for _, c := range []phrase.CommandName{phrase.CmdMore, phrase.CmdUndo, phrase.CmdSkip} {
			if !slices.Contains(b.others, c) {
				t.Fatalf("no %v: %q", c, tb.keys)
			}
		}
		middle := (b.values[3] + b.values[4]) / 2
		reached := map[reduce.Length]bool{}
		for _, v := range b.values {
			reached[v] = true
		}
		reached[0] = reached[0] || b.level
		offer := tb.talks["ann"].Question
		tb.say("ann", key(t, tb, phrase.CmdMore))
		for _, lead := range mustRead(t, tb).leads {
			tb.say("ann", lead)
			for _, v := range mustRead(t, tb).values {
				reached[v] = true
			}
			if len(tb.last.Events) > 0 || !reflect.DeepEqual(tb.talks["ann"].Question, offer) {
				t.Fatalf("%q did something", lead)
			}
		}
		kind := tb.job().Rods[0].Kind
		// What is predicted is within two steps of their middle.
		for v := (middle - 2*reduce.Inch + 2*u.Finest()).RoundTo(u.Finest()); v < middle+2*reduce.Inch-2*u.Finest(); v += u.Finest() {
			if kind.Reaches(v) && !reached[v] {
				t.Fatalf("no three taps lead to %v from %v", v, b.values)
			}
		}
		// Any other message brings the likely ones back.
		tb.say("ann", "hello")
		if again := mustRead(t, tb); !slices.Equal(again.values, b.values) {
			t.Fatalf("%v, before %v", again.values, b.values)
		}
	})
}

// key is the key of a command.
func key(t rapid.TB, tb *table, name phrase.CommandName) string {
	for _, k := range slices.Concat(tb.keys...) {
		if m := phrase.Parse(keyContext(tb), k); m.Command == name && m.Arg == nil {
			return k
		}
	}
	t.Fatalf("no key for %v: %q", name, tb.keys)
	return ""
}

// tapSame answers a doubt: the reading is so.
func (tb *table) tapSame() {
	if q := tb.talks["ann"].Question; q != nil && q.Kind == "doubt" {
		tb.say("ann", q.Text)
	}
}

// sentAs is a reading as it is typed.
func sentAs(u reduce.Unit, rod string, v reduce.Length) string {
	if rod == "standard rod" {
		return u.RodFigure(v, u.Finest()) + map[reduce.Unit]string{reduce.UnitFoot: " ft", reduce.UnitMillimetre: " mm"}[u]
	}
	if v == 0 {
		return "0"
	}
	side := map[bool]string{true: "low", false: "high"}[v < 0]
	if u == reduce.UnitInch {
		return fmt.Sprintf("%d/16 %s", int64(v.Abs()/u.Finest()), side)
	}
	return fmt.Sprintf("%s %v %s", v.Abs().Decimal(map[reduce.Unit]reduce.Length{reduce.UnitFoot: reduce.Foot, reduce.UnitMillimetre: reduce.Millimetre}[u]), u, side)
}

// TestKeysAreMultiplesOfTheFinest: every amount on the keys shows as what it
// is, however coarse the finest amount; where eight of them reach far, there are
// no others.
func TestKeysAreMultiplesOfTheFinest(t *testing.T) {
	for _, c := range []struct{ unit, finest, first, last, more string }{
		{"in", "1/16", "1/4 low", "3/16 high", "more…"}, {"in", "1/8", "1/2 low", "3/8 high", "more…"}, {"in", "1/32", "1/8 low", "3/32 high", "more…"},
		{"in", "1/4", "1\" low", "3/4 high", "more…"}, {"ft", "0.1", "0.4 ft low", "0.3 ft high", "undo"}, {"ft", "0.001", "0.004 ft low", "0.003 ft high", "more…"},
		{"mm", "10", "40 mm low", "30 mm high", "undo"}, {"ft", "1", "1 ft low", "1 ft high", "undo"},
	} {
		tb := newTable(t)
		for _, text := range []string{"new House", "units " + c.unit, "finest " + c.finest, "40x28", "direct rod"} {
			tb.say("ann", text)
		}
		mustRead(t, tb)
		keys := slices.Concat(tb.keys[:len(tb.keys)-1]...)
		if last := tb.keys[len(tb.keys)-1]; keys[0] != c.first || keys[len(keys)-1] != c.last || last[0] != c.more {
			t.Errorf("%s, finest %s: %q", c.unit, c.finest, tb.keys)
		}
	}
}

// TestKeysPredict is where the likely values come from, each time seen by the
// first and the last of them.
func TestKeysPredict(t *testing.T) {
	is := func(tb *table, what, first, last string) {
		t.Helper()
		keys := slices.Concat(tb.keys[:len(tb.keys)-1]...)
		if keys[0] != first || keys[len(keys)-1] != last {
			t.Errorf("%s: %q, want %s to %s", what, tb.keys, first, last)
		}
	}
	tb := newTable(t)
	for _, text := range []string{"new House", "40x28", "direct rod", "c1 0"} {
		tb.say("ann", text)
	}
	is(tb, "beside c1", "1/4 low", "3/16 high")
	tb.say("ann", "1/2 low")
	tb.say("ann", "1/2 low")
	is(tb, "behind two readings", "3/4 low", "5/16 low")
	tb.say("ann", "c4+24 1/4 low")
	tb.say("ann", "c4+16 7/8 low")
	tb.say("ann", "c4+20")
	is(tb, "between two", "3/4 low", "5/16 low")
	tb.say("ann", "c1+4")
	is(tb, "read before", "3/4 low", "5/16 low")
	tb.say("ann", "step c2 c3 8 in lower")
	tb.say("ann", "c2+4")
	is(tb, "lower by design", "8 3/4 low", "8 5/16 low")
	tb.say("ann", "moved")
	tb.say("ann", "c1 3/4 high")
	tb.say("ann", "c1+4")
	is(tb, "in another set-up", "level", "7/16 high")

	tb = newTable(t)
	for _, text := range []string{"new House", "40x28", "standard rod", "4' 7\""} {
		tb.say("ann", text)
	}
	is(tb, "standard, beside c1", "4' 6 3/4\"", "4' 7 3/16\"")
	tb.say("ann", "bm")
	is(tb, "a point off the sill", "4' 6 3/4\"", "4' 7 3/16\"")
}

// TestKeysStay: what stands on a phone while a message carries buttons is read at
// the station that is asked for by then.
func TestKeysStay(t *testing.T) {
	tb := newTable(t)
	for _, text := range []string{"new House", "40x28", "direct rod", "0", "0"} {
		tb.say("ann", text)
	}
	before := tb.keys
	if got := tb.say("ann", "3/8"); !strings.Contains(got, "[c1+8 3/8 low]") && !strings.Contains(got, "[3/8 low]") {
		t.Fatalf("%q", got)
	}
	for _, r := range tb.last.Replies {
		if len(r.Buttons) > 0 && len(r.Keys) > 0 {
			t.Error("a message with buttons and keys")
		}
	}
	if !slices.EqualFunc(before, tb.keys, slices.Equal) {
		t.Errorf("%q, before %q", tb.keys, before)
	}
	tb.mustSay("ann", before[0][0], "c1+8: 1/4 low")
}
