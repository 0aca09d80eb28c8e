package session

import (
	"slices"
	"strings"

	"rodcall/reduce"
)

// echo says what was understood, as a height where there is one; before is the
// reading of the same rod that it replaces, nil for none.
func (h *hearing) echo(s reduce.Station, rod Rod, value reduce.Length, before *reduce.Length) string {
	name, shown := h.name(s), h.rodText(rod, value)
	ref := h.job.resolve(h.job.Reference)
	if s == ref && h.job.Round == 1 {
		toDatum := ""
		if move, ok := h.moveAt(s, rod, value); ok {
			toDatum = " " + h.say("echo.reference.move", move)
		}
		switch {
		case before == nil:
			return h.say("echo.reference", name, shown) + toDatum
		case slices.ContainsFunc(h.job.present(), func(r Reading) bool { return r.Station != ref }):
			return h.say("echo.reference.moved", name, shown, h.rodText(rod, *before)) + toDatum
		}
		return h.say("echo.reference.again", name, shown, h.rodText(rod, *before)) + toDatum
	}
	e, ok := h.job.sight(rod.ID, value, s)
	if !ok {
		was := ""
		if before != nil {
			was = h.say("echo.before", h.rodText(rod, *before))
		}
		return h.say("echo.untied", name, shown, h.name(ref), was)
	}
	// Where the rod's number is not the height, both are said, so that a slip
	// of the thumb shows.
	tail := ""
	if rod.Kind == reduce.Standard || rod.Flipped || e-h.job.design.At(s) != value {
		tail = h.say("echo.rod", shown)
	}
	if before != nil {
		was, _ := h.job.sight(rod.ID, *before, s)
		tail += h.say("echo.before", h.heightAt(s, was))
	}
	if move, ok := h.moveAt(s, rod, value); ok {
		return h.say("echo.move", name, h.heightAt(s, e), h.of(s), move) + tail
	}
	return h.say("echo.height", name, h.heightAt(s, e), h.of(s)) + tail
}

// asHeard marks an echo of what was spoken as heard.
func (h *hearing) asHeard(s reduce.Station, echo string) string {
	if h.heard == nil {
		return echo
	}
	return h.say("heard.echo", h.name(s), strings.TrimPrefix(echo, h.name(s)+": "))
}

// echoPast says what was understood of a reading of an earlier round.
func (h *hearing) echoPast(s reduce.Station, rod Rod, value reduce.Length, before *reduce.Length, round int) string {
	name, shown, ref := h.nameIn(s, round), h.rodText(rod, value), h.job.resolve(h.job.Reference)
	e, tied := h.job.sight(rod.ID, value, s)
	tail := ""
	if before != nil {
		was := h.rodText(rod, *before)
		if s == ref {
			return h.say("echo.reference.moved", name, shown, was)
		}
		if e, tied := h.job.sight(rod.ID, *before, s); tied {
			was = h.heightAt(s, e)
		}
		tail = h.say("echo.before", was)
	}
	if !tied {
		return h.say("echo.untied", name, shown, h.name(ref), tail)
	}
	if rod.Kind == reduce.Standard || rod.Flipped || e-h.job.design.At(s) != value {
		tail = h.say("echo.rod", shown) + tail
	}
	return h.say("echo.height", name, h.heightAt(s, e), h.of(s)) + tail
}

// tying is what a reading may tie to the reference, as it was before.
type tying struct {
	levels reduce.Levels
	may    bool
}

// mayTie says whether a reading with this rod at this station may tie a rod
// that is not tied yet: this one, or another that was read there.
func (h *hearing) mayTie(rod Rod, s reduce.Station) tying {
	now := h.job.adjustment()
	loose := func(id int) bool { return !now.ties(id) }
	may := loose(rod.ID)
	for _, r := range h.job.Rods {
		if may || r.ID == rod.ID {
			continue
		}
		read := len(h.job.counting(slot{h.job.Round, r.ID, s, false}))+len(h.job.counting(slot{h.job.Round, r.ID, s, true})) > 0
		may = read && loose(r.ID)
	}
	if !may {
		return tying{}
	}
	return tying{h.job.levelsNow(), true}
}

// tied says which rods a reading at a station has tied to the reference, and
// the heights that came of it.
func (h *hearing) tied(was tying, s reduce.Station) []string {
	if !was.may {
		return nil
	}
	now := h.job.levelsNow()
	var lines []string
	told := map[reduce.Station]bool{} // a point that two rods read is told once
	for _, rod := range h.job.Rods {
		_, had := was.levels.Constants[rod.ID]
		if _, has := now.Constants[rod.ID]; had || !has {
			continue
		}
		heights := h.newHeights(rod.ID, s, was.levels, now, told)
		switch {
		case s == h.job.resolve(h.job.Reference) && heights != "":
			lines = append(lines, h.say("tied.reference", heights))
		case s == h.job.resolve(h.job.Reference):
		case heights == "":
			lines = append(lines, h.say("tied", rod.ID, h.name(s)))
		default:
			lines = append(lines, h.say("tied.heights", rod.ID, h.name(s), heights))
		}
	}
	return lines
}

// newHeights lists the stations that a rod read and that have a height only
// now, other than s and what was told.
func (h *hearing) newHeights(rod int, s reduce.Station, was, now reduce.Levels, told map[reduce.Station]bool) string {
	var stations []reduce.Station
	for _, r := range h.job.present() {
		_, had := was.Elevations[r.Station]
		if r.Rod == rod && r.Station != s && !had && !told[r.Station] {
			told[r.Station] = true
			stations = append(stations, r.Station)
		}
	}
	slices.SortFunc(stations, reduce.Compare)
	var out []string
	for _, k := range stations {
		out = append(out, h.name(k)+" "+h.heightAt(k, now.Elevations[k]))
	}
	return strings.Join(shorten(out, maxListed, func(n int) string { return h.say("more", n) }), ", ")
}
