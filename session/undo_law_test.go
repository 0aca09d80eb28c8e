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
			out := map[string]string{}
			for _, r := range tb.job().Readings() {
				if !r.Void {
					out[tb.job().StationName(r.Station)] = r.Value.String()
				}
			}
			return out
		}
		var was []map[string]string // before each thing that stands
		texts := map[int][]string{} // what each message of readings first was
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
			switch rapid.IntRange(0, 4).Draw(rt, "what") {
			case 0, 1: // lines, each of which is a thing
				if len(stands()) > 7 {
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
