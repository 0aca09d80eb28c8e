package session

import (
	"cmp"
	"slices"

	"rodcall/reduce"
)

// moment is when a spot was read, or shims were set there. Rounds count before
// events, for a reading may be mended after its round.
type moment struct {
	round int
	seq   uint64
}

func (m moment) compare(o moment) int {
	return cmp.Or(cmp.Compare(m.round, o.round), cmp.Compare(m.seq, o.seq))
}

// raised is shims set at a spot.
type raised struct {
	moment
	by reduce.Length
}

// seen is a station in a round.
type seen struct {
	station reduce.Station
	round   int
}

// unknown is what a station's elevation in a round is in the adjustment: that of
// key, and so much more.
type unknown struct {
	key  reduce.Station
	more reduce.Length
}

// hanging says what joins a round to those before it.
type hanging uint8

// What may join it, the best first.
const (
	hangsOnNothing  hanging = iota
	hangsOnPoint            // a point off the sill, or the laser undisturbed
	hangsOnSill             // stations that nobody touched
	hangsOnForeseen         // the reference, by the height that it should have
)

// record is what was read and done where, by round. A station of the sill is
// another unknown in each round, for it may have been raised, pulled down or
// covered since; a point off the sill is the same in all.
type record struct {
	job   *Job
	reads map[reduce.Station][]moment // the newest reading of each round, oldest round first
	sets  map[reduce.Station][]raised // oldest first
	walls map[int][]reduce.Station    // the stations of sets by their wall, in its order
	same  map[seen]unknown            // of those that are no unknowns of their own
	hangs []hanging                   // of each round, from the second
}

// offSill says that nobody shims, cuts or covers a station.
func offSill(s reduce.Station) bool { return !walked(s) }

// record goes through readings of all rounds, oldest first.
func (j *Job) record(readings []Reading) *record {
	r := &record{job: j}
	if j.Round == 1 && len(j.Shimmed) == 0 {
		return r
	}
	r.reads, r.sets = map[reduce.Station][]moment{}, map[reduce.Station][]raised{}
	for _, k := range j.Shimmed {
		for _, s := range k.Spots {
			at := j.resolve(s.Station)
			r.sets[at] = append(r.sets[at], raised{moment{k.Round, k.Seq}, s.Amount})
		}
	}
	r.walls = map[int][]reduce.Station{}
	for s := range r.sets {
		if s.Kind == reduce.Wall {
			r.walls[s.Number] = append(r.walls[s.Number], s)
		}
	}
	for _, wall := range r.walls {
		slices.SortFunc(wall, reduce.Compare)
	}
	for i := range readings {
		k := &readings[i]
		at := moment{k.Round, k.Seq}
		if r.sets[k.Station] != nil {
			at.seq = j.hist.took(*k) // only shims are told apart from
		}
		list, met := r.reads[k.Station]
		if !met {
			list = make([]moment, 0, j.Round)
		}
		r.reads[k.Station] = append(list, at)
	}
	for s, list := range r.reads {
		if inOrder(list) {
			continue
		}
		slices.SortFunc(list, moment.compare)
		slices.Reverse(list)
		list = slices.CompactFunc(list, func(a, b moment) bool { return a.round == b.round })
		slices.Reverse(list)
		r.reads[s] = list
	}
	if j.Round > 1 {
		r.hang(readings)
	}
	return r
}

// inOrder says that moments are of one round each, the oldest first.
func inOrder(list []moment) bool {
	for i := 1; i < len(list); i++ {
		if list[i-1].round >= list[i].round {
			return false
		}
	}
	return true
}

// key is what a station in a round is in the adjustment.
func (r *record) key(s reduce.Station, round int) unknown {
	if offSill(s) || round <= 1 {
		return unknown{key: s}
	}
	if u, ok := r.same[seen{s, round}]; ok {
		return u
	}
	s.Epoch = round - 1
	return unknown{key: s}
}

// first is what a station is in the first round in which it was read.
func (r *record) first(s reduce.Station) reduce.Station {
	if list := r.reads[s]; len(list) > 0 {
		return r.key(s, list[0].round).key
	}
	return s
}

// read is when a station was read in a round.
func (r *record) read(s reduce.Station, round int) (moment, bool) {
	for _, m := range r.reads[s] {
		if m.round == round {
			return m, true
		}
	}
	return moment{}, false
}

// lastBefore is when a station was read last in a round before one.
func (r *record) lastBefore(s reduce.Station, round int) (moment, bool) {
	for _, m := range slices.Backward(r.reads[s]) {
		if m.round < round {
			return m, true
		}
	}
	return moment{}, false
}

// setBetween adds up the shims set at a station after one moment and not after
// another; any is false where nobody set any.
func (r *record) setBetween(s reduce.Station, from, to moment) (by reduce.Length, any bool) {
	for _, k := range r.sets[s] {
		if k.compare(from) > 0 && k.compare(to) <= 0 {
			by, any = by+k.by, true
		}
	}
	return by, any
}

// stood is what the rod stood on in a round, as far as heights are compared: on
// concrete and on shims it stands on what carries the plate, and tightening
// pulls a plate down.
func (j *Job) stood(round int) string {
	switch k := j.round(round); {
	case k.Surface != "plate":
		return ""
	case k.Tight:
		return "plate, tight"
	}
	return "plate"
}

// thickness is what lay between the rod's foot and what carries the plate in a
// round; ok is false where it is not known.
func (j *Job) thickness(round int) (reduce.Length, bool) {
	if j.stood(round) == "" {
		return 0, true
	}
	set, ok := j.figure(FigurePlate)
	return set.Length, ok
}

// thicker is how much more lay under the rod in one round than in another; ok is
// false where that is not known.
func (j *Job) thicker(round, than int) (reduce.Length, bool) {
	if (j.stood(round) == "") == (j.stood(than) == "") {
		return 0, true
	}
	a, known := j.thickness(round)
	b, too := j.thickness(than)
	return a - b, known && too
}

// untouched says that a station read in a later round stands as it did when it
// was read last before: nobody set shims there, and the rod stood on the same.
func (r *record) untouched(s reduce.Station, round int) (from moment, ok bool) {
	now, read := r.read(s, round)
	from, before := r.lastBefore(s, round)
	if !read || !before || r.job.stood(from.round) != r.job.stood(round) {
		return from, false
	}
	_, touched := r.setBetween(s, from, now)
	return from, !touched
}

// hang finds what joins each round to those before it, and makes the stations
// that do so the unknowns that they were.
func (r *record) hang(readings []Reading) {
	j := r.job
	r.same = map[seen]unknown{}
	r.hangs = make([]hanging, j.Round+1)
	ref := j.resolve(j.Reference)
	byRound := make([][]*Reading, j.Round+1)
	for i := range readings {
		k := &readings[i]
		byRound[k.Round] = append(byRound[k.Round], k)
	}
	g := newGroups(r, byRound)
	main := g.node(ref, 1)
	if list := r.reads[ref]; len(list) > 0 {
		main = g.node(ref, list[0].round)
	}
	for n := 1; n <= j.Round; n++ {
		for _, k := range byRound[n] {
			if g.only[n] == 0 || offSill(k.Station) {
				g.join(g.rod(k.Rod), g.node(k.Station, n))
			}
		}
		hangs := func() bool {
			return slices.ContainsFunc(byRound[n], func(k *Reading) bool { return g.root(g.rod(k.Rod)) == g.root(main) })
		}
		if n == 1 {
			continue
		}
		if hangs() {
			r.hangs[n] = hangsOnPoint
			continue
		}
		for _, s := range r.may(byRound[n], n) {
			from, _ := r.untouched(s, n)
			r.alias(g, s, n, r.key(s, from.round))
			r.hangs[n] = hangsOnSill
		}
		if r.hangs[n] != hangsOnNothing {
			continue
		}
		now, read := r.read(ref, n)
		from, before := r.lastBefore(ref, n)
		more, known := j.thicker(n, from.round)
		if read && before && known {
			by, _ := r.setBetween(ref, from, now)
			u := r.key(ref, from.round)
			u.more += by + more
			r.alias(g, ref, n, u)
			r.hangs[n] = hangsOnForeseen
		}
	}
}

// may lists the stations read in a round that may join it to those before it:
// those untouched, of them those that were to be left alone where any was.
func (r *record) may(readings []*Reading, round int) []reduce.Station {
	var all, best []reduce.Station
	hang := r.job.round(round).Hang
	met := map[reduce.Station]bool{}
	for _, k := range readings {
		if met[k.Station] || offSill(k.Station) {
			continue
		}
		met[k.Station] = true
		if _, ok := r.untouched(k.Station, round); !ok {
			continue
		}
		all = append(all, k.Station)
		if slices.ContainsFunc(hang, func(s reduce.Station) bool { return r.job.resolve(s) == k.Station }) {
			best = append(best, k.Station)
		}
	}
	if len(best) > 0 {
		return best
	}
	return all
}

// alias makes a station in a round an unknown that there is.
func (r *record) alias(g *groups, s reduce.Station, round int, u unknown) {
	from, _ := r.lastBefore(s, round)
	g.join(g.node(s, round), g.node(s, from.round))
	r.same[seen{s, round}] = u
}

// groups are rods and spots that readings join. The spots of a round that one
// rod read are as good as that rod.
type groups struct {
	record *record
	only   []int // of each round, the one rod that read in it; 0 for several
	parent []int
	rods   map[int]int
	spots  map[reduce.Station]int
}

func newGroups(r *record, byRound [][]*Reading) *groups {
	g := &groups{record: r, only: make([]int, len(byRound)), rods: map[int]int{}, spots: map[reduce.Station]int{}}
	for n, list := range byRound {
		if len(list) > 0 && !slices.ContainsFunc(list, func(k *Reading) bool { return k.Rod != list[0].Rod }) {
			g.only[n] = list[0].Rod
		}
	}
	return g
}

func (g *groups) fresh() int {
	g.parent = append(g.parent, len(g.parent))
	return len(g.parent) - 1
}

func (g *groups) rod(id int) int {
	if _, ok := g.rods[id]; !ok {
		g.rods[id] = g.fresh()
	}
	return g.rods[id]
}

// node is that of a station in a round.
func (g *groups) node(s reduce.Station, round int) int {
	if !offSill(s) && g.only[round] != 0 {
		return g.rod(g.only[round])
	}
	key := g.record.key(s, round).key
	if _, ok := g.spots[key]; !ok {
		g.spots[key] = g.fresh()
	}
	return g.spots[key]
}

func (g *groups) root(i int) int {
	for g.parent[i] != i {
		g.parent[i] = g.parent[g.parent[i]]
		i = g.parent[i]
	}
	return i
}

func (g *groups) join(a, b int) { g.parent[g.root(a)] = g.root(b) }
