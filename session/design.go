package session

import "slices"

// setDesign takes a step or a fall, or takes back all of one kind.
func (j *Job) setDesign(b DesignSet) {
	if b.Clear {
		j.Design = slices.DeleteFunc(slices.Clone(j.Design), func(k DesignSet) bool { return k.Fall == b.Fall })
		return
	}
	j.Design = append(slices.Clip(j.Design), b)
}
