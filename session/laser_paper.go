package session

// SayLaser says when the laser's beam was last tested, how, and what that showed:
// "beam tested 2026-05-04: two pegs, 1/32 in in 100 ft".
func (v View) SayLaser(lang string) string {
	return v.sayLaser(lang, "paper.laser", "paper.laser.none")
}

func (v View) sayLaser(lang string, key, none Key) string {
	c := v.Job.LaserCheck
	if c == nil {
		return Say(lang, none)
	}
	return Say(lang, key, c.At.UTC().Format("2006-01-02"), Say(lang, Key("paper.laser."+c.Test)),
		v.measureIn(lang, c.Rise, v.Job.fine()), v.SayDistance(lang, c.Run))
}
