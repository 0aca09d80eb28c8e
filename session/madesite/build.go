package madesite

import (
	"fmt"

	"rodcall/reduce"
	"rodcall/session"
)

// Built is what came of a sill that a crew shimmed by the bot's plan.
type Built struct {
	Sill   *Sill
	Signed bool
	// Refused is what the bot answered last to sign where it did not come to that.
	Refused string
	Rounds  int // walks, the first on the concrete
	// TooFar: somewhere the plan says that the gap is no work for a shim. Nothing
	// is set there.
	TooFar bool
}

// build goes on after a walk of the concrete: the high spot is the level; the
// crew shims as planned, lays the plate, tightens it and walks what is asked
// for, until the bot lets it sign or so many rounds are over.
func (d *player) build(rounds int) error {
	b := &d.Built
	b.Sill, b.Rounds = d.site.NewSill(d.p), 1
	if err := d.say(d.word("datum high", "datum alto")); err != nil {
		return err
	}
	for {
		if b.Rounds > 1 {
			if err := d.say(d.word("sign", "firma")); err != nil {
				return err
			}
			if b.Signed = d.Chat.Job.Signed != nil; b.Signed {
				return nil
			}
			b.Refused = d.reply()
		}
		if b.Rounds == rounds {
			return nil
		}
		if err := d.shim(); err != nil {
			return err
		}
		b.Sill.Lay(true)
		if err := d.nextRound(); err != nil {
			return err
		}
	}
}

// shim sets and takes out what the plan says, all of it, and says so.
func (d *player) shim() error {
	plan, ok := d.Chat.Job.View().ShimPlan()
	if !ok {
		return fmt.Errorf("no plan: %q", d.reply())
	}
	set := 0
	for _, at := range plan.Points {
		d.TooFar = d.TooFar || at.Engineer
		by := at.Fit.Makes
		switch {
		case at.Out > 0:
			by = -at.Out
		case !at.Left() || at.Short:
			continue
		}
		if !d.Sill.Shim(at.Station, by) {
			return fmt.Errorf("%s is no spot of a wall", at.Station.Name(reduce.Foot))
		}
		set++
	}
	if set == 0 {
		return nil
	}
	if err := d.say(d.word("shimmed all", "calzado todo")); err != nil {
		return err
	}
	if told := d.Chat.Job.State() == session.StateShim; !told {
		return fmt.Errorf("shims were set, and the bot was not told: %q", d.reply())
	}
	return nil
}

// nextRound begins a round on the tight plate, stands the laser up anew and
// walks what is asked for.
func (d *player) nextRound() error {
	d.Rounds++
	first := d.Rounds == 2
	texts := []string{d.word("next round", "siguiente vuelta")}
	if first {
		plate := "1 1/2"
		if d.how.Unit != reduce.UnitInch {
			plate = d.p.Plate.Nominal.Decimal(reduce.Millimetre).String() + " mm"
		}
		texts = []string{d.word("surface plate", "superficie solera"), d.word("plate ", "solera ") + plate, d.word("bolts tight", "pernos apretados")}
	}
	for _, text := range texts {
		if err := d.say(text); err != nil {
			return err
		}
	}
	if j := d.Chat.Job; j.Round != d.Rounds || j.Surface != "plate" || !j.BoltsTight {
		return fmt.Errorf("round %d on %s, want %d on the tight plate: %q", j.Round, j.Surface, d.Rounds, d.reply())
	}
	setUp, kind := len(d.Crews)+1, d.crew.Rod.Kind
	d.crew = d.site.NewCrew(setUp, kind, d.how.Unit, d.site.SetUp(setUp, d.p), d.p)
	d.Crews = append(d.Crews, d.crew)
	clear(d.right)
	clear(d.sent)
	if err := d.read([]reduce.Station{reduce.BenchmarkNumber(1)}, true); err != nil {
		return err
	}
	v := d.Chat.Job.View()
	return d.walk(v.Read + len(v.Left))
}
