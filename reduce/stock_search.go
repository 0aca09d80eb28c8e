package reduce

import (
	"cmp"
	"maps"
	"math/big"
	"slices"
)

// Bounds of the search for the best way to deal shims out: so many linear
// programs, over so many different stacks. Beyond maxWays only the stacks with
// the fewest shims are looked at, maxWays in all.
const (
	maxNodes = 100
	maxWays  = 200
)

// way is one stack that makes what spots want.
type way struct {
	group  int
	column int
	stack  []Length
	uses   []int // how many of each limited size
}

// dealing is the question how often each way is taken. Spots that want the same
// are one group, so its size is that of the sizes on hand and of the different
// amounts, whatever the number of spots.
type dealing struct {
	wants  []Length // by group, ascending
	spots  []int    // how many spots a group has
	ways   [][]way  // by group: fewest shims first, then largest first
	list   []way    // all of them, by column
	limits []int    // by limited size
	cut    bool     // some ways were left out
}

func newDealing(s *Stacker, most int, limit map[Length]int, alike map[Length][]int) *dealing {
	d := &dealing{wants: slices.Sorted(maps.Keys(alike))}
	limited := slices.Sorted(maps.Keys(limit))
	for _, size := range limited {
		d.limits = append(d.limits, limit[size])
	}
	for g, want := range d.wants {
		d.spots = append(d.spots, len(alike[want]))
		var ways []way
		s.every(want, most, 0, nil, func(stack []Length) {
			w := way{group: g, stack: slices.Clone(stack), uses: make([]int, len(limited))}
			for _, size := range stack {
				if j, ok := slices.BinarySearch(limited, size); ok {
					w.uses[j]++
				}
			}
			ways = append(ways, w)
		})
		slices.SortStableFunc(ways, func(a, b way) int {
			return cmp.Or(cmp.Compare(len(a.stack), len(b.stack)), slices.Compare(b.stack, a.stack))
		})
		d.ways = append(d.ways, undominated(ways))
	}
	d.shorten()
	return d
}

// every calls take with each stack of up to most shims that makes a sum, in
// sizes from the from-th on, largest first.
func (s *Stacker) every(sum Length, most, from int, stack []Length, take func([]Length)) {
	if sum == 0 {
		take(stack)
		return
	}
	if n, ok := s.pieces[sum]; !ok || n > most {
		return
	}
	for i := from; i < len(s.sizes); i++ {
		if s.sizes[i] <= sum {
			s.every(sum-s.sizes[i], most-1, i, append(stack, s.sizes[i]), take)
		}
	}
}

// undominated leaves out each way that takes no fewer shims than one before it,
// and no fewer of any limited size.
func undominated(ways []way) []way {
	var out []way
	for _, w := range ways {
		if !slices.ContainsFunc(out, func(k way) bool {
			for j := range k.uses {
				if k.uses[j] > w.uses[j] {
					return false
				}
			}
			return true
		}) {
			out = append(out, w)
		}
	}
	return out
}

// shorten numbers the ways, and cuts the longer ones off where there are too
// many.
func (d *dealing) shorten() {
	n := 0
	for _, ways := range d.ways {
		n += len(ways)
	}
	for n > maxWays {
		long := 0
		for g := range d.ways {
			if len(d.ways[g]) > len(d.ways[long]) {
				long = g
			}
		}
		if len(d.ways[long]) == 1 {
			break
		}
		d.ways[long] = d.ways[long][:len(d.ways[long])-1]
		n, d.cut = n-1, true
	}
	for _, ways := range d.ways {
		for i := range ways {
			ways[i].column = len(d.list)
			d.list = append(d.list, ways[i])
		}
	}
}

// dealt is how often each way is taken.
type dealt struct {
	times  []int // by column
	made   int
	atMost int
	fewest bool
	worth  int64
}

// worth of taking a way once: a spot made counts for more than all shims that
// any plan lays.
func (d *dealing) worth(w way) int64 {
	all := int64(1)
	for _, n := range d.spots {
		all += MaxStack * int64(n)
	}
	return all - int64(len(w.stack))
}

// node is a part of the search: ways taken at least so often, and at most.
type node struct {
	low, high []int // by column; high -1: no bound
}

// search is branch and bound on the linear program of the ways: a bound in whole
// numbers, for all worths are, and the best way so far from rounding each
// program's solution down and filling it up. It looks at maxNodes programs.
func (d *dealing) search() dealt {
	root := node{make([]int, len(d.list)), make([]int, len(d.list))}
	for i := range root.high {
		root.high[i] = -1
	}
	best := d.fill(make([]int, len(d.list)))
	open := []node{root}
	nodes, top := 0, int64(0)
	for len(open) > 0 && nodes < maxNodes {
		at := open[len(open)-1]
		open = open[:len(open)-1]
		nodes++
		p := d.program(at)
		if p == nil {
			continue
		}
		bound := p.solve()
		for i, w := range d.list {
			bound += int64(at.low[i]) * d.worth(w)
		}
		if nodes == 1 {
			top = bound
		}
		if bound <= best.worth {
			continue
		}
		times, part := p.whole(len(d.list))
		for i := range times {
			times[i] += at.low[i]
		}
		if found := d.fill(slices.Clone(times)); found.worth > best.worth {
			best = found
		}
		if part < 0 || bound <= best.worth {
			continue
		}
		fewer := node{at.low, slices.Clone(at.high)}
		fewer.high[part] = times[part]
		more := node{slices.Clone(at.low), at.high}
		more.low[part] = times[part] + 1
		open = append(open, fewer, more)
	}
	spots := 0
	for _, n := range d.spots {
		spots += n
	}
	best.atMost, best.fewest = best.made, len(open) == 0 && !d.cut
	if !best.fewest {
		// What the shims of all spots cost is less than what one spot is worth.
		one := d.worth(way{})
		best.atMost = min(spots, max(best.made, int((top+one-1)/one)))
		if d.cut {
			best.atMost = spots
		}
	}
	return best
}

// fill takes ways as often as there are spots and shims left for them, those
// with the fewest shims first.
func (d *dealing) fill(times []int) dealt {
	out := dealt{times: times}
	spots, limits := slices.Clone(d.spots), slices.Clone(d.limits)
	take := func(i, n int) {
		w := d.list[i]
		spots[w.group] -= n
		for j, u := range w.uses {
			limits[j] -= n * u
		}
		out.made += n
		out.worth += int64(n) * d.worth(w)
	}
	for i, n := range times {
		take(i, n)
	}
	order := make([]int, len(d.list))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(len(d.list[a].stack), len(d.list[b].stack)) })
	for _, i := range order {
		n := spots[d.list[i].group]
		for j, u := range d.list[i].uses {
			if u > 0 {
				n = min(n, limits[j]/u)
			}
		}
		take(i, n)
		times[i] += n
	}
	return out
}

// program is what is left of the question in a node, nil where its least is too
// much already.
func (d *dealing) program(at node) *linear {
	spots, limits := slices.Clone(d.spots), slices.Clone(d.limits)
	for i, w := range d.list {
		spots[w.group] -= at.low[i]
		for j, u := range w.uses {
			limits[j] -= at.low[i] * u
		}
	}
	if slices.Min(spots) < 0 || len(limits) > 0 && slices.Min(limits) < 0 {
		return nil
	}
	p := newLinear(len(d.list))
	for i, w := range d.list {
		p.worth[i].SetInt64(d.worth(w))
	}
	for g, n := range spots {
		row := p.atMost(n)
		for _, w := range d.ways[g] {
			row[w.column].SetInt64(1)
		}
	}
	for j, n := range limits {
		row := p.atMost(n)
		for i, w := range d.list {
			row[i].SetInt64(int64(w.uses[j]))
		}
	}
	for i, h := range at.high {
		if h >= 0 {
			if h < at.low[i] {
				return nil
			}
			p.atMost(h - at.low[i])[i].SetInt64(1)
		}
	}
	return p
}

// linear is a linear program, to make Σ worth·x as large as can be with
// rows·x ≤ limits and x ≥ 0, where no limit is below 0. It is solved by the
// simplex method in whole numbers: each pivot multiplies through by its entry and
// divides by the one before, which leaves no remainder (J. Edmonds, "Systems of
// distinct representatives and linear algebra", 1967; from memory). Bland's rule
// picks the entries, so that it ends (R. G. Bland, 1977; from memory).
type linear struct {
	rows   [][]*big.Int // the last column is the limit
	worth  []*big.Int   // the last is less what the solution is worth
	free   []int        // the variable of each column; from len(free) on those of the rows
	basic  []int        // the variable of each row
	common *big.Int     // what all entries are multiplied by
}

func newLinear(columns int) *linear {
	p := &linear{worth: zeros(columns + 1), common: big.NewInt(1)}
	for i := range columns {
		p.free = append(p.free, i)
	}
	return p
}

func zeros(n int) []*big.Int {
	out := make([]*big.Int, n)
	for i := range out {
		out[i] = new(big.Int)
	}
	return out
}

// atMost adds a row, all 0, with its limit.
func (p *linear) atMost(limit int) []*big.Int {
	row := zeros(len(p.free) + 1)
	row[len(p.free)].SetInt64(int64(limit))
	p.basic = append(p.basic, len(p.free)+len(p.rows))
	p.rows = append(p.rows, row)
	return row
}

// solve leaves the best solution in p and returns what it is worth, rounded down.
func (p *linear) solve() int64 {
	last := len(p.free)
	var x, y big.Int
	for {
		in := -1
		for j, v := range p.free {
			if p.worth[j].Sign() > 0 && (in < 0 || v < p.free[in]) {
				in = j
			}
		}
		if in < 0 {
			worth := new(big.Int).Neg(p.worth[last])
			return worth.Div(worth, p.common).Int64()
		}
		out := -1
		for i, row := range p.rows {
			if row[in].Sign() <= 0 {
				continue
			}
			if out < 0 {
				out = i
				continue
			}
			x.Mul(row[last], p.rows[out][in])
			y.Mul(p.rows[out][last], row[in])
			if c := x.Cmp(&y); c < 0 || c == 0 && p.basic[i] < p.basic[out] {
				out = i
			}
		}
		// Each way takes a spot, so every column has a row that bounds it.
		p.pivot(out, in)
	}
}

func (p *linear) pivot(out, in int) {
	from := p.rows[out]
	by := new(big.Int).Set(from[in])
	same := by.Cmp(p.common) == 0
	var touched []int // a column where from has nothing changes only by the common factor
	for j := range from {
		if j != in && (!same || from[j].Sign() != 0) {
			touched = append(touched, j)
		}
	}
	var x big.Int
	turn := func(row []*big.Int) {
		times := new(big.Int).Set(row[in])
		if same && times.Sign() == 0 {
			return
		}
		for _, j := range touched {
			row[j].Mul(row[j], by)
			if times.Sign() != 0 && from[j].Sign() != 0 {
				row[j].Sub(row[j], x.Mul(times, from[j]))
			}
			if row[j].Sign() != 0 {
				row[j].Quo(row[j], p.common)
			}
		}
		row[in].Neg(times)
	}
	for i, row := range p.rows {
		if i != out {
			turn(row)
		}
	}
	turn(p.worth)
	from[in].Set(p.common)
	p.common = by
	p.free[in], p.basic[out] = p.basic[out], p.free[in]
}

// whole is the solution rounded down, and the variable that is farthest from a
// whole number, -1 where all are whole.
func (p *linear) whole(columns int) (times []int, part int) {
	times, part = make([]int, columns), -1
	last := len(p.free)
	var q, r, off, most big.Int
	for i, v := range p.basic {
		if v >= columns {
			continue
		}
		q.QuoRem(p.rows[i][last], p.common, &r)
		times[v] = int(q.Int64())
		if r.Sign() == 0 {
			continue
		}
		off.Sub(p.common, &r)
		if off.Cmp(&r) > 0 {
			off.Set(&r)
		}
		if part < 0 || off.Cmp(&most) > 0 {
			part = v
			most.Set(&off)
		}
	}
	return times, part
}
