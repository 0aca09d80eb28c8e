package session

import (
	"slices"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// ShimPoint is a spot that the plate bears on, and what is laid there.
type ShimPoint struct {
	reduce.BearingPoint
	Fit reduce.Fit // the stack to be laid, empty where none is
	// Short: there are not enough shims on hand for Fit.
	Short bool
	// Set: shims were set or taken out there since the spots that its amount comes
	// of were read, and it is done. Where too much was taken out last it is not.
	// Laid is how much was laid since then.
	Set  bool
	Laid reduce.Length
	// Lies is how much lies there of all rounds; Pieces are the shims that make
	// it, largest first, nil where that was not told.
	Lies   reduce.Length
	Pieces []reduce.Length
	// Out is how much of that is to be taken out again.
	Out reduce.Length

	stack         []reduce.Length // as it was laid, where that was told
	before, after int             // the stations beside it, by their places in the plan
}

// Left says that shims are still to be set there.
func (p ShimPoint) Left() bool { return !p.Set && len(p.Fit.Stack) > 0 }

// todo says that shims are still to be set or taken out there.
func (p ShimPoint) todo() bool { return p.Left() || p.Out > 0 }

// Ground is how much is still to be ground off there: what is too high and is no
// shims.
func (p ShimPoint) Ground() reduce.Length {
	if !p.Known || p.Set {
		return 0
	}
	return max(0, -p.Amount-p.Loose)
}

// outside says that a point stays farther from the level than a tolerance once
// what is planned there is laid.
func (p ShimPoint) outside(tolerance, finest reduce.Length) bool {
	return p.Known && !p.Set && !p.Engineer && !p.Short && p.Amount > 0 && p.Fit.Coarse(finest) &&
		(p.Target+p.Fit.Over()).Abs() > tolerance
}

// Missing is how much is still to be laid there, beside what was since the spots
// that its amount comes of were read; less than 0: to come out.
func (p ShimPoint) Missing() reduce.Length { return p.Amount - p.Laid }

// Stack is what was laid or is to be laid there, largest first.
func (p ShimPoint) Stack() []reduce.Length {
	if p.Set {
		return p.stack
	}
	return p.Fit.Stack
}

// ShimPlan is what the plate needs to lie at the datum: shims by spot, what they
// come to, what is to be bought, and the grout.
type ShimPlan struct {
	Plate  reduce.PlatePlan
	Points []ShimPoint // those of Plate, in their order

	Stock     []reduce.Shim // on hand now, those laid since it was told taken off
	StockOurs bool          // nobody told of any: DefaultShims
	Most      int           // shims in one stack
	Dealt     reduce.Allotment
	Spares    int // per cent
	Buy       []reduce.Shim

	PlateWidth reduce.Length
	Grout      decimal.Decimal // cubic millimetres under the plate, without waste
	Bag        int64           // millilitres that a bag makes
	BagOurs    bool
	Bags       int64 // with DefaultGroutWaste
}

// count is a figure of the plan that counts something.
func (j *Job) count(what PlanFigure, ours int64) (n int64, isOurs bool) {
	if set, ok := j.figure(what); ok {
		return set.Count, false
	}
	return ours, true
}

// stock is the shims on hand as they were told of, or ours.
func (j *Job) stock() []reduce.Shim {
	if j.Stock == nil {
		return reduce.DefaultShims(j.Unit)
	}
	return j.Stock.Sizes
}

// stockLeft is the shims on hand, less those laid since they were told of.
func (j *Job) stockLeft() []reduce.Shim {
	out := slices.Clone(j.stock())
	for _, k := range j.Shimmed {
		if k.Seq <= j.StockFrom {
			continue
		}
		for _, spot := range k.Spots {
			for _, size := range spot.Stack {
				if i := slices.IndexFunc(out, func(s reduce.Shim) bool { return s.Size == size }); i >= 0 {
					out[i].Count = max(0, out[i].Count-1)
				}
			}
		}
	}
	return out
}

// link finds for each point the stations beside it: itself where it is one. They
// may be unread. The point before the first of a loop is the last.
func (p *ShimPlan) link(o *reduce.Outline) {
	for from := 0; from < len(p.Points); {
		to := from + 1
		for to < len(p.Points) && sameLoop(o, p.Points[from].Station, p.Points[to].Station) {
			to++
		}
		at := from // a loop begins with a corner
		for i := from; i < to; i++ {
			if p.Points[i].station() {
				at = i
			}
			p.Points[i].before = at
		}
		at = from
		for i := to - 1; i >= from; i-- {
			if p.Points[i].station() {
				at = i
			}
			p.Points[i].after = at
		}
		from = to
	}
}

func sameLoop(o *reduce.Outline, a, b reduce.Station) bool {
	_, x, ok := o.Position(a)
	_, y, too := o.Position(b)
	return ok && too && x == y && a.Kind == reduce.Wall && b.Kind == reduce.Wall
}

// station says that the walk stops at a point.
func (p *ShimPoint) station() bool { return p.Kinds&(reduce.BearSpot|reduce.BearAlone) != 0 }

// mark finds the points that were shimmed since they were read: in the round in
// which the stations beside a point were last read, or a later one.
func (p *ShimPlan) mark(j *Job) {
	if len(j.Shimmed) == 0 {
		return
	}
	laid := map[reduce.Station]LaidSpot{}
	for _, l := range j.Laid() {
		laid[l.Station] = l
	}
	read := map[reduce.Station]int{}
	for k := range j.slots {
		if !j.empty[k] {
			read[k.station] = max(read[k.station], k.round)
		}
	}
	at := map[reduce.Station]int{}
	for i := range p.Points {
		b := &p.Points[i]
		at[b.Station] = i
		b.Lies, b.Pieces = laid[b.Station].Amount, laid[b.Station].Pieces
	}
	for _, k := range j.Shimmed {
		for _, spot := range k.Spots {
			i, ok := at[j.resolve(spot.Station)]
			if !ok {
				continue
			}
			b := &p.Points[i]
			last := min(read[p.Points[b.before].Station], read[p.Points[b.after].Station])
			if k.Round >= last {
				b.Laid, b.stack = b.Laid+spot.Amount, append(slices.Clip(b.stack), spot.Stack...)
				b.Set = !spot.Out || !b.Known || b.Missing().RoundTo(j.Finest) <= 0
			}
		}
	}
}

// levelHeard are the stations whose reading was heard and is not firm, where the
// level to build to hangs on it; nil where it hangs on none.
func (v View) levelHeard() []reduce.Station {
	open := v.heardAt()
	if len(open) == 0 || v.Level == nil || v.Job.DatumRound != v.Job.Round {
		return nil
	}
	on := v.DatumAt
	switch v.Datum.Choice {
	case reduce.DatumFewest, reduce.DatumLeast:
		return open
	case reduce.DatumFixed:
		on = v.Job.resolve(v.Job.Reference)
	case reduce.DatumFirst, reduce.DatumHigh, reduce.DatumStation:
	}
	return slices.DeleteFunc(open, func(s reduce.Station) bool { return s != on })
}

// ShimPlan plans the shims of the job as it now stands; ok is false before a
// datum is chosen and known, and while it hangs on a reading that was heard and
// is not firm. Spots beside such a reading are left out. Spots that were shimmed since they were read are
// done with: the stock on hand is dealt out over the others. It takes time in
// line with the bearing points.
func (v View) ShimPlan() (ShimPlan, bool) {
	plate, ok := v.PlatePlan()
	if !ok || len(v.levelHeard()) > 0 {
		return ShimPlan{}, false
	}
	j := v.Job
	p := ShimPlan{Plate: plate, Stock: j.stockLeft(), StockOurs: j.Stock == nil}
	most, _ := j.count(FigureStackMost, reduce.DefaultStack)
	spares, _ := j.count(FigureSpares, reduce.DefaultSpares)
	p.Most, p.Spares = int(most), int(spares)

	p.Points = make([]ShimPoint, len(plate.Points))
	for i, b := range plate.Points {
		p.Points[i] = ShimPoint{BearingPoint: b}
	}
	p.link(j.Outline)
	p.mark(j)
	amounts := make([]reduce.Length, len(p.Points))
	for i := range p.Points {
		b := &p.Points[i]
		if b.Known && !b.Engineer && !b.Set {
			amounts[i] = max(b.Missing(), 0)
			b.Out = max(0, min((-b.Missing()).RoundTo(j.Finest), b.Lies))
		}
	}
	dealt, err := reduce.Allot(p.Stock, p.Most, j.Finest, amounts)
	if err != nil {
		// What the crew says is held against the same bounds: a fault of this
		// program.
		return ShimPlan{}, false
	}
	p.Dealt = dealt
	for i := range p.Points {
		p.Points[i].Fit, p.Points[i].Short = dealt.Fits[i], dealt.Short[i]
	}
	if p.StockOurs {
		p.Buy = dealt.ToBuy(nil, p.Spares)
	} else {
		p.Buy = dealt.ToBuy(p.Stock, p.Spares)
	}

	p.PlateWidth = reduce.DefaultPlateWidth(j.Unit)
	if set, ok := j.figure(FigurePlateWidth); ok {
		p.PlateWidth = set.Length
	}
	for _, run := range plate.Runs {
		p.Grout = p.Grout.Add(reduce.GroutVolume(p.PlateWidth, run))
	}
	p.Bag, p.BagOurs = j.bag()
	p.Bags = reduce.GroutBags(p.Grout, reduce.DefaultGroutWaste, p.Bag)
	return p, true
}
