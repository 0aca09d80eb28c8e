package render

// photosAcross and photosDown are how many photos stand on a page.
const (
	photosAcross = 2
	photosDown   = 3
)

// photoRow is the height of a row of photos with the lines under them.
func (s *sheets) photoRow() float64 { return (s.bottom() - sheetTop - s.heads() - s.em) / photosDown }

// heads is the room that a heading over the photos takes.
func (s *sheets) heads() float64 { return s.em * (1.2*leading + 0.9) }

// photos lays photos out, row by row, each as large as its place.
func (s *sheets) photos(all Photos) {
	wide := (s.width() - sheetGutter*(photosAcross-1)) / photosAcross
	under := emNote * leading
	tall := s.photoRow() - under - s.em
	s.y += s.em * 0.5
	for i, photo := range all {
		if photo.Width <= 0 || photo.Height <= 0 {
			continue
		}
		if i%photosAcross == 0 {
			s.need(s.photoRow())
		}
		k := min(wide/float64(photo.Width), tall/float64(photo.Height))
		x := sheetMargin + float64(i%photosAcross)*(wide+sheetGutter)
		box := Box{x, s.y, x + k*float64(photo.Width), s.y + k*float64(photo.Height)}
		s.page.add(Item{Kind: KindPhoto, Role: RolePhoto, Box: box, JPEG: photo.JPEG})
		s.page.text(RoleCell, InkText, emNote, false, x, box.Y1+under-emNote, shorten(photo.Caption, emNote, false, wide), "")
		if i%photosAcross == photosAcross-1 || i == len(all)-1 {
			s.y += s.photoRow()
		}
	}
}
