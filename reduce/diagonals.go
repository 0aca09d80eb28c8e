package reduce

// Diagonal is how far apart two opposite corners of a loop are by the outline.
type Diagonal struct {
	From, To Station
	Length   Length
}

// Diagonals are those of the loops that have four corners, two each, in the order
// of the loops: what a tape should show where the walls stand as they were told.
func (o *Outline) Diagonals() []Diagonal {
	var out []Diagonal
	for _, l := range o.Loops {
		if c := l.Corners; len(c) == 4 {
			for i := range 2 {
				out = append(out, Diagonal{Corner(l.First + i), Corner(l.First + i + 2), hypot(c[i+2].X-c[i].X, c[i+2].Y-c[i].Y)})
			}
		}
	}
	return out
}
