package reduce

import "slices"

// Where anchor bolts stand along a piece of plate: one within 12 in of each end
// and none nearer to it than seven diameters, 3 1/2 in for a bolt of 1/2 in, and
// no fewer than two (IRC R403.1.6, as the American Wood Council's answers to
// questions give it). BoltSpacing, 6 ft, is the most between two.
const (
	boltEnd     = 12 * Inch
	boltNearest = 7 * Inch / 2
	BoltSpacing = 6 * Foot
)

// BoltsEvery are the places of anchor bolts at most every apart (> 0) where
// nobody has said where they are: 12 in from each end of a piece of plate, or a
// quarter of a short one, and evenly between. Pieces end at the corners and at
// ends, the splices and steps, in any order. A piece too short for two bolts
// that keep their distance from its ends has none, and a foundation with over
// 100,000 has none at all. The drawings and the local code say where bolts must
// be; this only says where shims will want to go.
func BoltsEvery(o *Outline, every Length, ends []Station) []Station {
	if every <= 0 {
		return nil
	}
	cuts := map[int][]Length{}
	for _, s := range ends {
		if _, _, ok := o.Position(s); ok && s.Kind == Wall && s.Past > 0 {
			cuts[s.Number] = append(cuts[s.Number], s.Past)
		}
	}
	var out []Station
	for _, l := range o.Loops {
		for k := range l.Corners {
			n := l.First + k
			w, _ := o.WallLength(n)
			slices.Sort(cuts[n])
			from := Length(0)
			for _, to := range append(cuts[n], w) {
				if (to-from)/every > Length(maxBearings-len(out)) {
					return nil
				}
				for _, at := range boltsAlong(to-from, every) {
					out = append(out, Along(n, from+at))
				}
				from = to
			}
		}
	}
	return out
}

// boltsAlong are the places of bolts from the start of one piece.
func boltsAlong(piece, every Length) []Length {
	end := min(boltEnd, max(boltNearest, piece/4))
	between := piece - 2*end
	if between <= 0 {
		return nil
	}
	n := (between + every - 1) / every
	out := make([]Length, 0, n+1)
	for i := range n + 1 {
		out = append(out, end+between*i/n)
	}
	return out
}
