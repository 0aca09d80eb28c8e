package session

import (
	"slices"

	"rodcall/reduce"
)

// nextWalk lists what a round that begins now asks for, in walking order: what
// was moved or is to be, its neighbours on the wall, what has no height or no
// plain verdict, and a check on each wall; on a plate each corner too, and all
// that shims were set at. Without a point off the sill, hang lists those of them
// that were to be left alone.
func (v View) nextWalk(surface string) (walk, hang []reduce.Station) {
	wanted := map[reduce.Station]bool{}
	moved := map[reduce.Station]bool{}
	left := map[reduce.Station]bool{}
	for _, s := range v.Left {
		left[s] = true
	}
	for _, s := range v.Stations {
		if !walked(s.Station) || !v.Job.placed(s.Station) {
			continue
		}
		at := s.Station
		moved[at] = s.Touched || s.Verdict == reduce.Raise || s.Verdict == reduce.Lower ||
			surface == "plate" && (len(v.adjusted.record.sets[at]) > 0 || v.rose(s))
		wanted[at] = moved[at] || s.Verdict == reduce.Unsure || left[at] || s.Round == 0 ||
			surface == "plate" && at.IsCorner()
	}
	point := false
	for _, s := range v.Stations {
		point = point || offSill(s.Station) && s.Elevation != nil
	}
	if ref := v.Job.resolve(v.Job.Reference); !point && walked(ref) && v.Job.placed(ref) {
		wanted[ref] = true
	}
	for _, row := range v.rows() {
		for i, s := range row {
			if moved[s] {
				wanted[row[(i+len(row)-1)%len(row)]] = true
				wanted[row[(i+1)%len(row)]] = true
			}
		}
	}
	for _, wall := range v.byWall() {
		var can []reduce.Station
		checked := false
		for _, s := range wall {
			checked = checked || wanted[s] && !moved[s]
			if !moved[s] && !wanted[s] {
				can = append(can, s)
			}
		}
		if !checked && len(can) > 0 {
			wanted[can[len(can)/2]] = true
		}
	}
	for _, s := range v.Stations {
		if !wanted[s.Station] {
			continue
		}
		walk = append(walk, s.Station)
		if !point && !moved[s.Station] && s.Elevation != nil && s.Verdict != reduce.Unsure {
			hang = append(hang, s.Station)
		}
	}
	return walk, hang
}

// rose says that a station stood higher in one round than in another on what
// carries the plate, told or not.
func (v View) rose(s StationView) bool {
	var first *reduce.Length
	for _, r := range s.Rounds {
		switch {
		case r.Elevation == nil || v.Job.stood(r.Round) != "":
		case first == nil:
			first = r.Elevation
		case (*r.Elevation - *first).Abs() > surpriseReach*v.Job.noise():
			return true
		}
	}
	return false
}

// rows are the stations of each loop in walking order, or those of a free walk.
func (v View) rows() [][]reduce.Station {
	loops := map[string][]reduce.Station{}
	var names []string
	for _, s := range v.Stations {
		if s.Station.Kind != reduce.Wall || !v.Job.placed(s.Station) {
			continue
		}
		if _, met := loops[s.Loop]; !met {
			names = append(names, s.Loop)
		}
		loops[s.Loop] = append(loops[s.Loop], s.Station)
	}
	var out [][]reduce.Station
	for _, n := range names {
		out = append(out, loops[n])
	}
	return out
}

// byWall are the stations of each wall, its first corner among them.
func (v View) byWall() [][]reduce.Station {
	var out [][]reduce.Station
	for _, row := range v.rows() {
		for len(row) > 0 {
			n := slices.IndexFunc(row, func(s reduce.Station) bool { return s.Number != row[0].Number })
			if n < 0 {
				n = len(row)
			}
			out, row = append(out, row[:n]), row[n:]
		}
	}
	return out
}
