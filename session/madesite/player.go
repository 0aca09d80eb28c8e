package madesite

import (
	"fmt"
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/phrase"
)

// Play says how a walk is played.
type Play struct {
	Kinds   []reduce.RodKind // one for each set-up; the laser is moved between
	Unit    reduce.Unit
	Lang    string // "en" or "es"
	Outline string // as sent: "40x28"
	// Design are the lines that are sent behind it: steps and falls.
	Design []string
	// Outages are the shares of messages at which the process dies and reads
	// everything back, at which what came of a message is lost and it is heard
	// again, and at which the crew has no signal and sends the next few lines
	// as one.
	Restarts, Losses, NoSignal float64
	// Disturb, where it is given, may let a set-up's laser be bumped or sink, and
	// its receiver slip. Shots are counted from the benchmark's, shot 0.
	Disturb func(setUp int, l *Laser, c *Crew)
	// Checks sends a check shot of the benchmark at the end of each set-up.
	Checks bool
	// Rounds, where it is not 0, has the crew build the sill after its walk, in so
	// many rounds at most.
	Rounds int
	// Tapping: readings are sent by the keys of the keyboard wherever these lead
	// to what the rod shows.
	Tapping bool
}

// Played is what came of a walk.
type Played struct {
	Chat    *Chat
	Crews   []*Crew
	Misread map[reduce.Station]reduce.SlipKind // sent wrong at first
	Asked   int                                // questions answered
	Doubted map[reduce.Station]bool            // stations whose reading was asked back as unlikely
	Reshot  int                                // re-shots taken in a search for a bump
	Stopped int                                // searches that stopped: the laser was set up anew
	Batches int
	Again   int // restarts and messages heard again
	Taps    []Taps
	Built
}

// player is a walk under way.
type player struct {
	Played
	site  *Site
	how   Play
	p     Parameters
	c     *Chance
	crew  *Crew
	right map[reduce.Station]reduce.Length // what the present rod showed last
	keys  map[string]phrase.Meaning        // what keys said, with this kind of rod
	sent  map[reduce.Station]bool          // in this set-up: asked for once more, it is shot again
}

// Play plays a whole walk of the site through session.Hear, and answers what is
// asked truthfully. Two readings are never exchanged: the crew reads one spot at
// a time. The walk is cut into as many parts as there are set-ups,
// each tied by Tied. It returns an error where the walk does not come to its
// end, or something is not as an engine may count on.
func (s *Site) Play(how Play, p Parameters) (Played, error) {
	d := &player{
		Played: Played{Chat: NewChat(how.Lang), Misread: map[reduce.Station]reduce.SlipKind{}, Doubted: map[reduce.Station]bool{}},
		site:   s, how: how, p: p, c: NewChance(s.Seed, forWalk<<16), right: map[reduce.Station]reduce.Length{}, sent: map[reduce.Station]bool{},
		keys: map[string]phrase.Meaning{},
	}
	err := d.play()
	if err != nil {
		sent := d.Chat.Sent
		err = fmt.Errorf("site %d, after %q: %w", s.Seed, sent[max(0, len(sent)-6):], err)
	}
	return d.Played, err
}

func (d *player) word(en, es string) string {
	if d.how.Lang == "es" {
		return es
	}
	return en
}

func (d *player) play() error {
	unit := map[reduce.Unit]string{
		reduce.UnitInch: d.word("inches", "pulgadas"), reduce.UnitFoot: d.word("units ft", "unidades ft"), reduce.UnitMillimetre: "units mm",
	}[d.how.Unit]
	for _, text := range append([]string{d.word("new", "nueva") + " " + d.word("East house", "Casa este"), unit, d.how.Outline}, d.how.Design...) {
		if err := d.say(text); err != nil {
			return err
		}
	}
	walk := d.site.Outline.Stations()
	if d.Chat.Job == nil || !slices.Equal(d.Chat.Job.Outline.Stations(), walk) {
		return fmt.Errorf("%q gave another outline than the site's", d.how.Outline)
	}
	for n, kind := range d.how.Kinds {
		if n > 0 {
			if err := d.say(d.word("moved", "movimos el laser")); err != nil {
				return err
			}
		}
		rod := d.word(kind.String()+" rod", map[reduce.RodKind]string{reduce.Direct: "regla directa", reduce.Standard: "regla estandar"}[kind])
		if err := d.say(rod); err != nil {
			return err
		}
		d.crew = d.site.NewCrew(n+1, kind, d.how.Unit, d.site.SetUp(n+1, d.p), d.p)
		if d.how.Disturb != nil {
			d.how.Disturb(n+1, &d.crew.laser, d.crew)
		}
		d.Crews = append(d.Crews, d.crew)
		clear(d.right)
		clear(d.sent)
		clear(d.keys)
		first := []reduce.Station{reduce.BenchmarkNumber(1)}
		if n > 0 {
			first = d.site.Tied()
		}
		for _, st := range first {
			if err := d.read([]reduce.Station{st}, true); err != nil {
				return err
			}
		}
		// The corner across belongs to the first half: it is to tie the second.
		until := min(len(walk), len(walk)*(n+1)/len(d.how.Kinds)+1)
		if err := d.walk(until); err != nil {
			return err
		}
		if !d.how.Checks {
			continue
		}
		bm := reduce.BenchmarkNumber(1)
		delete(d.right, bm)
		v, ok := d.see(bm)
		if !ok {
			return fmt.Errorf("the rod does not reach at %s", d.name(bm))
		}
		if err := d.say(d.word("check ", "revisa ") + d.name(bm) + " " + d.crew.Say(d.how.Lang, v)); err != nil {
			return err
		}
		if err := d.walk(until); err != nil {
			return err
		}
	}
	if err := d.end(); err != nil || d.how.Rounds == 0 {
		return err
	}
	return d.build(d.how.Rounds)
}

// anew stands the laser up again, undisturbed, as a crew does who hears that a
// search for a bump stopped; bm and c1 join it to what was read.
func (d *player) anew() error {
	d.Stopped++
	setUp, kind := 100+d.Stopped, d.crew.Rod.Kind
	if err := d.say(d.word("moved", "movimos el laser")); err != nil {
		return err
	}
	d.crew = d.site.NewCrew(setUp, kind, d.how.Unit, d.site.SetUp(setUp, d.p), d.p)
	d.Crews = append(d.Crews, d.crew)
	clear(d.right)
	clear(d.sent)
	for _, st := range []reduce.Station{reduce.BenchmarkNumber(1), reduce.Corner(1)} {
		if err := d.read([]reduce.Station{st}, true); err != nil {
			return err
		}
	}
	return nil
}

// stops counts the searches for a bump that stopped and left readings in doubt.
func (d *player) stops() int {
	n := 0
	for _, e := range d.Chat.Events() {
		if b, ok := e.Body.(session.SetupSplit); ok && len(b.Doubt) > 0 {
			n++
		}
	}
	return n
}

// walk reads what is asked for until so many stations of the walk are read.
func (d *player) walk(until int) error {
	for turns := 0; ; turns++ {
		if d.how.Disturb != nil && d.stops() > d.Stopped {
			if err := d.anew(); err != nil {
				return err
			}
		}
		if d.Chat.Job.Header().Read >= until {
			return nil
		}
		if turns > 4*until {
			return fmt.Errorf("%d of %d stations read after %d turns", d.Chat.Job.Header().Read, until, turns)
		}
		asked := d.Chat.Talk.Asked
		if asked.IsZero() {
			return fmt.Errorf("nothing is asked for, and %d are left", d.Chat.Job.Header().Left)
		}
		next := []reduce.Station{asked}
		if d.how.NoSignal == 0 {
			if err := d.read(next, d.c.Below(2) == 0); err != nil {
				return err
			}
			continue
		}
		v := d.Chat.Job.View()
		if i := slices.Index(v.Left, asked); i >= 0 && d.c.Happens(d.how.NoSignal) {
			d.Batches++
			next = v.Left[i:min(len(v.Left), i+2+d.c.Below(4), i+until-v.Read)]
			d.Chat.Now = d.Chat.Now.Add(5 * 60e9)
		}
		if err := d.read(next, len(next) > 1 || d.c.Below(2) == 0); err != nil {
			return err
		}
	}
}

// read reads stations and sends them as one message, a line each.
func (d *player) read(stations []reduce.Station, named bool) error {
	if d.how.Tapping && len(stations) == 1 {
		return d.tap(stations[0])
	}
	var lines []string
	for i, st := range stations {
		if d.sent[st] {
			delete(d.right, st)
		}
		d.sent[st] = true
		right, ok := d.see(st)
		if !ok {
			return fmt.Errorf("the rod does not reach at %s", d.name(st))
		}
		sent := right
		if kind := d.crew.Mistake(); kind != 0 && kind != reduce.SwappedTwo {
			next := right
			if i := slices.Index(d.site.Outline.Stations(), st); i >= 0 && i+1 < len(d.site.Outline.Stations()) {
				next, _ = d.see(d.site.Outline.Stations()[i+1])
			}
			if wrong, ok := d.crew.Wrong(kind, right, next); ok {
				sent = wrong
				d.Misread[st] = kind
			}
		}
		line := d.crew.Say(d.how.Lang, sent)
		if named || i > 0 {
			line = d.name(st) + " " + line
		}
		lines = append(lines, line)
	}
	return d.say(strings.Join(lines, "\n"))
}

// see is what the rod showed at a station, looked at once until it is asked for
// again.
func (d *player) see(st reduce.Station) (reduce.Length, bool) {
	if v, ok := d.right[st]; ok {
		return v, true
	}
	v, ok := d.crew.See(st)
	if ok {
		d.right[st] = v
	}
	return v, ok
}

func (d *player) name(st reduce.Station) string { return st.Name(d.site.Outline.Grid.Mark) }

// say sends a text through the outages, and answers what is asked back.
func (d *player) say(text string) error {
	lost := 0
	if d.c.Happens(d.how.Losses) {
		lost = 1
	}
	if err := d.Chat.Say(text, lost); err != nil {
		return err
	}
	if d.c.Happens(d.how.Restarts) {
		lost++
		if err := d.Chat.Restart(); err != nil {
			return err
		}
	}
	d.Again += lost
	return d.answer()
}

// answer answers questions while they are asked. Offers are left alone.
func (d *player) answer() error {
	for range 60 {
		q := d.Chat.Talk.Question
		if q == nil || q.Kind == "offer" || q.Kind == "surface" {
			return nil
		}
		if q.Kind == "reshoot" {
			d.Reshot++
			delete(d.right, q.Station)
			v, ok := d.see(q.Station)
			if !ok {
				return fmt.Errorf("the rod does not reach at %s", d.name(q.Station))
			}
			if err := d.Chat.Say(d.name(q.Station)+" "+d.crew.Say(d.how.Lang, v), 0); err != nil {
				return err
			}
			continue
		}
		d.Asked++
		if q.Kind == "surprise" && d.stands(q.Station) {
			// It is so, says the last button.
			if err := d.Chat.Tap(q.Buttons[len(q.Buttons)-1]); err != nil {
				return err
			}
			continue
		}
		if q.Kind == "doubt" {
			d.Doubted[q.Station] = true
		}
		before := q.Number
		if b, ok := d.choose(q); ok {
			if err := d.Chat.Tap(b); err != nil {
				return err
			}
		} else if right, seen := d.right[q.Station]; seen {
			// No answer offered is what the rod shows: say it.
			if err := d.Chat.Say(d.name(q.Station)+" "+d.crew.Say(d.how.Lang, right), 0); err != nil {
				return err
			}
		} else {
			return fmt.Errorf("no true answer among %+v to %q", q.Buttons, d.reply())
		}
		if after := d.Chat.Talk.Question; after != nil && after.Number == before {
			return fmt.Errorf("still asked after the answer: %q", d.reply())
		}
	}
	return fmt.Errorf("asked on and on: %q", d.reply())
}

// stands says that what was sent last of a station is what the rod showed.
func (d *player) stands(st reduce.Station) bool {
	all := d.Chat.Job.Readings()
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].Station == st {
			return all[i].Value == d.right[st]
		}
	}
	return false
}

func (d *player) reply() string {
	var all []string
	for _, r := range d.Chat.Replies {
		all = append(all, r.Text)
	}
	return strings.Join(all, "\n")
}

// choose is the button that says what the rod showed: first of those that speak
// of the station asked about.
func (d *player) choose(q *session.Question) (session.Button, bool) {
	asked := q.Station
	if asked.IsZero() {
		asked = d.Chat.Talk.Asked
	}
	c := phrase.Context{
		Rod: d.crew.Rod.Kind, Unit: d.how.Unit, Finest: d.how.Unit.Finest(), Outline: &d.site.Outline, Asked: asked,
	}
	var other *session.Button
	for i, b := range q.Buttons {
		m := phrase.Parse(c, b.Text)
		st, v, reads := m.Station, m.Value, m.Kind == phrase.Reading
		if arg, ok := m.Arg.(phrase.ReadingArg); ok {
			st, v, reads = arg.Station, arg.Value, true
		}
		if right, seen := d.right[st]; !reads || !seen || right != v {
			continue
		}
		if st == q.Station {
			return b, true
		}
		if other == nil {
			other = &q.Buttons[i]
		}
	}
	if other != nil {
		return *other, true
	}
	return session.Button{}, false
}

// end ends the walk where the last reading has not.
func (d *player) end() error {
	if v := d.Chat.Job.View(); len(v.Left) > 0 || len(v.Untied) > 0 {
		return fmt.Errorf("left %v, untied %v", v.Left, v.Untied)
	}
	return nil
}
