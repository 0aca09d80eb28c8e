package report

import (
	"github.com/shopspring/decimal"

	"rodcall/reduce"
	"rodcall/session"
)

// planDoc is what the plate needs to lie at the datum: null before one is
// chosen.
type planDoc struct {
	Points   []pointDoc `json:"points"`    // bearing points in walking order
	Stock    []shimDoc  `json:"stock"`     // on hand now, as told less what was laid since
	StockSet bool       `json:"stock_set"` // false: nobody told of any, the sizes are ours
	Most     int        `json:"stack_at_most"`
	Used     []shimDoc  `json:"used"` // by what is still to be set
	Lack     []shimDoc  `json:"lack"` // with these too every point could be made
	Spares   int        `json:"spares"`
	Buy      []shimDoc  `json:"buy"`
	Grout    groutDoc   `json:"grout"`
}

type pointDoc struct {
	Name     string          `json:"name"`
	Kinds    []string        `json:"kinds"`
	Concrete *reduce.Length  `json:"concrete"` // above the datum: read, or between two that were
	Target   *reduce.Length  `json:"target"`   // of the plate's underside
	Amount   *reduce.Length  `json:"amount"`   // target less concrete; − is to be taken out, or ground off
	Stack    []reduce.Length `json:"stack"`    // largest first: planned, or laid where set
	Short    bool            `json:"short"`    // the stock does not reach
	Set      bool            `json:"set"`      // since the spots that amount comes of were read
	Laid     *reduce.Length  `json:"laid"`     // what lies there of all rounds; null where none does
	Out      *reduce.Length  `json:"out"`      // how much of it is to be taken out again; null for none
	Engineer bool            `json:"engineer"`
}

// shimDoc is shims of a size; a null count is plenty.
type shimDoc struct {
	Size  reduce.Length `json:"size"`
	Count *int          `json:"count"`
}

type groutDoc struct {
	Width  reduce.Length   `json:"plate_width"`
	Litres decimal.Decimal `json:"litres"` // under the plate, without waste
	Waste  int             `json:"waste"`  // per cent
	Bag    decimal.Decimal `json:"bag"`    // litres that a bag makes
	BagSet bool            `json:"bag_set"`
	Bags   int64           `json:"bags"`
}

var kindNames = []struct {
	kind reduce.BearingKind
	name string
}{
	{reduce.BearSpot, "station"}, {reduce.BearEnd, "end"}, {reduce.BearSplice, "splice"}, {reduce.BearBolt, "bolt"},
	{reduce.BearPost, "post"}, {reduce.BearJoist, "joist"}, {reduce.BearAlone, "alone"},
}

// planOf is the plan, and the stacks of the stations in it.
func planOf(v session.View) (*planDoc, map[reduce.Station][]string) {
	p, ok := v.ShimPlan()
	if !ok {
		return nil, nil
	}
	out := &planDoc{
		Points: []pointDoc{}, Stock: shimsOf(p.Stock), StockSet: !p.StockOurs, Most: p.Most, Used: shimsOf(p.Dealt.Used),
		Lack: shimsOf(p.Dealt.Lack), Spares: p.Spares, Buy: shimsOf(p.Buy),
		Grout: groutDoc{p.PlateWidth, p.Grout.Shift(-6).Round(6), reduce.DefaultGroutWaste, decimal.New(p.Bag, -3), !p.BagOurs, p.Bags},
	}
	stacks := map[reduce.Station][]string{}
	for _, b := range p.Points {
		d := pointDoc{Name: v.Job.StationName(b.Station), Kinds: []string{}, Stack: []reduce.Length{}, Short: b.Short, Set: b.Set, Engineer: b.Engineer}
		for _, k := range kindNames {
			if b.Kinds&k.kind != 0 {
				d.Kinds = append(d.Kinds, k.name)
			}
		}
		if b.Known {
			d.Concrete, d.Target, d.Amount = &b.Concrete, &b.Target, &b.Amount
		}
		if b.Lies != 0 {
			d.Laid = &b.Lies
		}
		if b.Out > 0 {
			d.Out = &b.Out
		}
		for _, size := range b.Stack() {
			d.Stack = append(d.Stack, size)
			stacks[b.Station] = append(stacks[b.Station], size.String())
		}
		out.Points = append(out.Points, d)
	}
	return out, stacks
}

// laidDoc is what lies at one spot, of all rounds.
type laidDoc struct {
	Name   string          `json:"name"`
	Amount reduce.Length   `json:"amount"`
	Pieces []reduce.Length `json:"pieces"` // largest first; empty where they were not told
}

// laidOf is the record of what was laid, whatever is planned now.
func laidOf(j *session.Job) []laidDoc {
	out := []laidDoc{}
	for _, l := range j.Laid() {
		out = append(out, laidDoc{j.StationName(l.Station), l.Amount, append([]reduce.Length{}, l.Pieces...)})
	}
	return out
}

func shimsOf(list []reduce.Shim) []shimDoc {
	out := []shimDoc{}
	for _, s := range list {
		d := shimDoc{Size: s.Size}
		if !s.Plenty {
			d.Count = &s.Count
		}
		out = append(out, d)
	}
	return out
}
