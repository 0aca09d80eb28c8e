package session_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestUndoTakesBackOneThing: whatever was sent, corrected, edited, taken out and
// put back, each undo makes it as it was before the newest of these things that
// stands, one after the other, down to nothing. A text of several lines is as many
// things, an edit is one.
func TestUndoTakesBackOneThing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		tb := newTable(t)
		for _, s := range []string{"new East house", "16x12", "direct rod"} {
			tb.say("ann", s)
		}
		stands := func() map[string]string { // what the rod showed, by station
			out := map[string]string{"tolerance": tb.job().Tolerance.String(), "spacing": tb.job().Outline.Grid.Spacing.String()}
			for _, n := range tb.job().Notes {
				out["kept"] += n.Text + "; "
			}
			for _, r := range tb.job().Readings() {
				if !r.Void {
					out[tb.job().StationName(r.Station)] = r.Value.String()
				}
			}
			return out
		}
		var was []map[string]string // before each thing that stands
		texts := map[int][]string{} // what each message of readings first was
		set := map[int]bool{}       // messages that set something
		var said []string
		value := func() string { return fmt.Sprintf("-%d/16", rapid.IntRange(1, 9).Draw(rt, "value")) }
		undo := func() {
			said = append(said, "undo")
			tb.say("ann", "undo")
			want := was[len(was)-1]
			was = was[:len(was)-1]
			if got := stands(); !maps.Equal(got, want) {
				rt.Fatalf("after %s:\n%v, want\n%v", strings.Join(said, " | "), got, want)
			}
		}
		for range rapid.IntRange(2, 9).Draw(rt, "things") {
			setting := func() string {
				n := rapid.IntRange(1, 9).Draw(rt, "figure")
				return fmt.Sprintf(rapid.SampledFrom([]string{"tolerance %d/16", "spacing %d", "note c1 it is %d", "no beam c4+%d"}).Draw(rt, "setting"), n)
			}
			switch rapid.IntRange(0, 7).Draw(rt, "what") {
			case 5, 6:
				before, line := stands(), setting()
				if tb.say("ann", line); len(tb.last.Events) > 0 {
					was = append(was, before)
				}
				set[tb.next] = true
				said = append(said, line)
			case 7:
				if len(set) == 0 {
					continue
				}
				id := rapid.SampledFrom(slices.Sorted(maps.Keys(set))).Draw(rt, "message")
				before, line := stands(), setting()
				if tb.edit("ann", id, line); len(tb.last.Events) > 0 {
					was = append(was, before)
				}
				said = append(said, fmt.Sprintf("edit %d: %s", id, line))
			case 0, 1: // lines, each of which is a thing
				if len(stands()) > 9 {
					continue // among more than ten an unlikely one is asked back
				}
				var lines []string
				for range rapid.IntRange(1, 3).Draw(rt, "lines") {
					line := value()
					if len(lines) > 0 && rapid.Bool().Draw(rt, "named") {
						line = "c2 " + line
					}
					lines = append(lines, line)
				}
				before := stands()
				tb.say("ann", strings.Join(lines, "\n"))
				texts[tb.next] = lines
				rs := tb.job().Readings()
				for _, r := range rs[len(rs)-len(lines):] {
					was = append(was, before)
					before = maps.Clone(before)
					before[tb.job().StationName(r.Station)] = r.Value.String()
				}
				said = append(said, strings.Join(lines, `\n`))
			case 2, 3:
				if len(texts) == 0 {
					continue
				}
				id := rapid.SampledFrom(slices.Sorted(maps.Keys(texts))).Draw(rt, "message")
				lines := slices.Clone(texts[id][:rapid.IntRange(1, len(texts[id])).Draw(rt, "left")])
				for i := range lines {
					if rapid.Bool().Draw(rt, "changed") {
						head, _, named := strings.Cut(lines[i], " ")
						if lines[i] = value(); named {
							lines[i] = head + " " + lines[i]
						}
					}
				}
				before := stands()
				tb.edit("ann", id, strings.Join(lines, "\n"))
				if len(tb.last.Events) > 0 {
					was = append(was, before)
				}
				said = append(said, fmt.Sprintf("edit %d: %s", id, strings.Join(lines, `\n`)))
			case 4:
				if len(was) > 0 {
					undo()
				}
			}
		}
		for len(was) > 0 {
			undo()
		}
	})
}
