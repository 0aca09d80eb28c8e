package reduce

import (
	"maps"
	"slices"
)

// LevelBook is a survey as level notes by height of instrument and by rise and
// fall, its misclosures spread as books do.
type LevelBook struct {
	Runs []Run
	Left []int // rods that nothing ties to a height
}

// Run is a line of levels: pages of which each starts at a station of the one
// before. The first starts at a station of known height.
type Run struct {
	Notes []Note
	Pages int // how many: one for each rod in each set-up
	// Sums at the foot of the columns.
	BackSum, ForeSum, RiseSum, FallSum Length
	// First and Last elevation in the column, before any correction.
	First, Last Length
	// Misclosure is Last less the height known before the run, nil where the
	// run ends at no such station.
	Misclosure *Length
}

// Agrees is the arithmetic check at the foot: Σ BS − Σ FS = Σ rise − Σ fall =
// last − first. It says that the book was added up rightly, not that its
// readings are right.
func (r Run) Agrees() bool {
	d := r.Last - r.First
	return r.BackSum-r.ForeSum == d && r.RiseSum-r.FallSum == d
}

// Note is a line of the book. At a turning point it holds the foresight of one
// page and the backsight of the next. Readings stand as on a rod whose number
// falls as the spot rises; those of the other kind are entered with the other
// sign (Turned), so that elevation = HI − reading on every line.
type Note struct {
	Station Station
	// SetUp and Rod of the intermediate sight or foresight; on the first line
	// of a run, of the backsight.
	SetUp, Rod int
	Turned     bool
	BS, IS, FS *Length
	HI         *Length // beside a backsight
	// Rise or fall from the sight before, on the same page; nil on the first
	// line of a run.
	Rise, Fall *Length
	Elevation  Length
	// Correction of the k-th page of n is −k/n of the misclosure, for each of
	// its intermediate sights as for its foresight; rounded to 0.001 mm.
	Correction Length
}

// Adjusted elevation.
func (n Note) Adjusted() Length { return n.Elevation + n.Correction }

// page is what one rod read, each station once.
type page struct {
	setUp  int
	rod    Rod
	sights []Observation // values turned
}

// find is the place of the first sight that will do, or -1.
func (p page) find(good func(Station) bool) int {
	for i, s := range p.sights {
		if good(s.Station) {
			return i
		}
	}
	return -1
}

// pages of a survey, in the order of its set-ups and their rods.
func pages(s *Survey) []page {
	var out []page
	at := map[int]int{}
	for _, u := range s.SetUps {
		for _, r := range u.Rods {
			at[r.ID] = len(out)
			out = append(out, page{setUp: u.ID, rod: r})
		}
	}
	for _, o := range s.Observations {
		p := &out[at[o.Rod]]
		if p.rod.Rises() {
			o.Value = -o.Value
		}
		if p.find(func(st Station) bool { return st == o.Station }) < 0 {
			p.sights = append(p.sights, o)
		}
	}
	return slices.DeleteFunc(out, func(p page) bool { return len(p.sights) == 1 })
}

// NewLevelBook writes a survey as level notes. Each rod of each set-up is a
// page. Of several readings of a station on one page the first is entered; the
// others are check shots and stand beside the book. A page of a single sight
// gives no height and is left out. A page starts at the first
// station that it shares with the page before; where it shares none, a new run
// starts at a station of which a height is known by then. It returns an error
// as Solve does for rods that stand in two set-ups or in none.
func NewLevelBook(s Survey) (LevelBook, error) {
	if _, err := tie(&s); err != nil {
		return LevelBook{}, err
	}
	var b LevelBook
	heights := maps.Clone(s.heights())
	left := pages(&s)
	for len(left) > 0 {
		start, back := -1, -1
		for i, p := range left {
			if back = p.find(func(st Station) bool { _, ok := heights[st]; return ok }); back >= 0 {
				start = i
				break
			}
		}
		if start < 0 {
			break
		}
		w := &writer{heights: heights}
		w.open(left[start], back)
		left = append(left[:start:start], left[start+1:]...)
		for len(left) > start {
			next := left[start]
			i := next.find(w.turns)
			if i < 0 {
				break
			}
			w.turn(next, i)
			left = append(left[:start:start], left[start+1:]...)
		}
		b.Runs = append(b.Runs, w.close())
	}
	for _, p := range left {
		if len(p.sights) > 0 {
			b.Left = append(b.Left, p.rod.ID)
		}
	}
	return b, nil
}
