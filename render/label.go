package render

// Sizes of letters, in em pixels.
const (
	emTitle  = 40
	emText   = 26 // facts under the title, key
	emSmall  = 24
	emAmount = 36
)

// label is what is written at a mark: a line with the corner's name and the
// word, and under it the amount.
type label struct {
	mark               int // in Scene.Marks
	name, word, amount string
	note               string // a line of its own above the others
	nameW, wordW       float64
	amountW, noteW     float64
	w, h               float64
	flat               bool // all on one line
	side               side
	home               side           // the rail it goes to where there is no room beside the mark
	cost               [sides]float64 // of leading it to each side
	base               float64        // where its leader would like to run along the rail
	lane               float64        // where it does
	tier               int            // 0 is nearest to the plan
	at                 Pt             // middle of its box
	align              side           // to which its lines are set flush, if any
	path               []Pt           // its leader; a label beside its mark has none
}

const nameGap = 8 // between a corner's name and the word

func newLabel(m *Mark, i int) label {
	l := label{mark: i, word: shorten(m.Word, emSmall, false, 260), amount: shorten(m.Amount, emAmount, true, 320)}
	if m.Corner || m.Pier {
		l.name = shorten(m.Name, emSmall, true, 240)
	}
	l.nameW, l.wordW = textWidth(l.name, emSmall, true), textWidth(l.word, emSmall, false)
	l.amountW = textWidth(l.amount, emAmount, true)
	l.note = shorten(m.Note, emSmall, false, 260)
	l.noteW = textWidth(l.note, emSmall, false)
	l.shape(false)
	return l
}

// line is the width of the name and the word.
func (l *label) line() float64 {
	if l.name != "" && l.word != "" {
		return l.nameW + nameGap + l.wordW
	}
	return l.nameW + l.wordW
}

// shape measures the label in two lines or, flat, in one.
func (l *label) shape(flat bool) {
	l.w, l.h, l.flat = l.line(), 0, flat && l.line() > 0 && l.amount != ""
	switch {
	case l.flat:
		l.w, l.h = l.w+nameGap+l.amountW, emAmount
	case l.w > 0:
		l.h = emSmall
	}
	if l.amount != "" && !l.flat {
		l.w, l.h = max(l.w, l.amountW), l.h+emAmount
	}
	if l.note != "" {
		l.w, l.h = max(l.w, l.noteW), l.h+emSmall
	}
}

func (l *label) empty() bool { return l.h == 0 }

func (l *label) box() Box {
	return Box{l.at.X - l.w/2, l.at.Y - l.h/2, l.at.X + l.w/2, l.at.Y + l.h/2}
}

// draw writes the label, flush to the side where its leader ends.
func (l *label) draw(p *Page, m *Mark) {
	b := l.box()
	along := func(w float64) float64 {
		switch l.align {
		case sideRight:
			return b.X1 - w
		case sideLeft:
			return b.X0
		case sideTop, sideBottom, sideNone:
		}
		return l.at.X - w/2
	}
	y, line := b.Y0, l.line()
	if l.note != "" {
		p.text(RoleWord, InkText, emSmall, false, along(l.noteW), y, l.note, m.Name)
		y += emSmall
	}
	words := func(x, y float64) {
		p.text(RoleCornerName, InkText, emSmall, true, x, y, l.name, m.Name)
		p.text(RoleWord, inkOf(m.Status), emSmall, false, x+line-l.wordW, y, l.word, m.Name)
	}
	if l.flat { // on one baseline
		w := line + nameGap + l.amountW
		words(along(w), y+rise*(emAmount-emSmall))
		p.text(RoleAmount, inkOf(m.Status), emAmount, true, along(w)+w-l.amountW, y, l.amount, m.Name)
		return
	}
	if line > 0 {
		words(along(line), y)
		y += emSmall
	}
	p.text(RoleAmount, inkOf(m.Status), emAmount, true, along(l.amountW), y, l.amount, m.Name)
}
