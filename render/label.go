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
	nameW, wordW       float64
	w, h               float64
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
		l.name = shorten(m.Name, emSmall, true, 160)
	}
	l.nameW, l.wordW = textWidth(l.name, emSmall, true), textWidth(l.word, emSmall, false)
	l.w = l.nameW + l.wordW
	if l.name != "" && l.word != "" {
		l.w += nameGap
	}
	if l.w > 0 {
		l.h = emSmall
	}
	if l.amount != "" {
		l.w = max(l.w, textWidth(l.amount, emAmount, true))
		l.h += emAmount
	}
	return l
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
	y, line := b.Y0, l.nameW+l.wordW
	if l.name != "" && l.word != "" {
		line += nameGap
	}
	if line > 0 {
		x := along(line)
		p.text(RoleCornerName, InkText, emSmall, true, x, y, l.name, m.Name)
		p.text(RoleWord, inkOf(m.Status), emSmall, false, x+line-l.wordW, y, l.word, m.Name)
		y += emSmall
	}
	p.text(RoleAmount, inkOf(m.Status), emAmount, true, along(textWidth(l.amount, emAmount, true)), y, l.amount, m.Name)
}
