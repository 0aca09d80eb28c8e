package reduce

// writer writes one run. The page at hand is open: its foresight is not chosen
// before the next page, or the end of the run, says what it is.
type writer struct {
	heights map[Station]Length // known before the run
	run     Run
	page    page
	back    int    // the open page's backsight
	hi      Length // and its height of instrument
	last    Length // the sight before, on this page
	numbers []int  // of each note: its page, from 1, 0 on the first line
}

// open starts the run at a station of known height.
func (w *writer) open(p page, back int) {
	st := p.sights[back].Station
	w.run.First = w.heights[st]
	w.run.Notes = append(w.run.Notes, Note{
		Station: st, SetUp: p.setUp, Rod: p.rod.ID, Turned: p.rod.Rises(), Elevation: w.run.First,
	})
	w.numbers = append(w.numbers, 0)
	w.begin(p, back)
}

// begin enters a page's backsight on the last line.
func (w *writer) begin(p page, back int) {
	n := &w.run.Notes[len(w.run.Notes)-1]
	bs := p.sights[back].Value
	w.page, w.back, w.hi, w.last = p, back, n.Elevation+bs, bs
	hi := w.hi
	n.BS, n.HI = &bs, &hi
	w.run.BackSum += bs
	w.run.Pages++
}

// turns says whether the open page can end at a station for the next to start
// there.
func (w *writer) turns(st Station) bool {
	_, known := w.heights[st]
	i := w.page.find(func(s Station) bool { return s == st })
	return !known && i >= 0 && i != w.back
}

// turn ends the open page at the station where the next starts.
func (w *writer) turn(next page, back int) {
	st := next.sights[back].Station
	w.finish(w.page.find(func(s Station) bool { return s == st }))
	w.begin(next, back)
}

// finish enters the open page's sights, the foresight last.
func (w *writer) finish(fore int) {
	for i, s := range w.page.sights {
		if i != fore && i != w.back {
			w.enter(s, false)
		}
	}
	if fore >= 0 {
		w.enter(w.page.sights[fore], true)
	}
}

// enter writes a line.
func (w *writer) enter(s Observation, fore bool) {
	v := s.Value
	n := Note{
		Station: s.Station, SetUp: w.page.setUp, Rod: w.page.rod.ID, Turned: w.page.rod.Rises(),
		Elevation: w.hi - v,
	}
	if fore {
		n.FS = &v
		w.run.ForeSum += v
	} else {
		n.IS = &v
	}
	if d := w.last - v; d >= 0 {
		n.Rise = &d
		w.run.RiseSum += d
	} else {
		d = -d
		n.Fall = &d
		w.run.FallSum += d
	}
	w.last = v
	w.run.Notes = append(w.run.Notes, n)
	w.numbers = append(w.numbers, w.run.Pages)
}

// close ends the run: at a station known before it where its last page has
// one, else at the last sight. Heights that the run gives are known from now
// on, as corrected.
func (w *writer) close() Run {
	fore, known := len(w.page.sights)-1, false
	for i, s := range w.page.sights {
		if _, ok := w.heights[s.Station]; ok && i != w.back {
			fore, known = i, true
		}
	}
	if fore == w.back {
		fore-- // the backsight was read last
	}
	w.finish(fore)
	r := &w.run
	end := r.Notes[len(r.Notes)-1]
	r.Last = end.Elevation
	if known {
		m := r.Last - w.heights[end.Station]
		r.Misclosure = &m
		for i := range r.Notes {
			c := -m
			if k := w.numbers[i]; k < r.Pages {
				c = micrometres(-float64(m) * float64(k) / float64(r.Pages))
			}
			r.Notes[i].Correction = c
		}
	}
	for _, n := range r.Notes {
		if _, ok := w.heights[n.Station]; !ok {
			w.heights[n.Station] = n.Adjusted()
		}
	}
	return *r
}
