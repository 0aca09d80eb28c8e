package session

import (
	"math"

	"rodcall/reduce"
)

// noise is the standard deviation of one reading of this job by the error
// budget: receiver and resolution. The lean of a rod is smaller than either.
func (j *Job) noise() reduce.Length {
	b := j.ErrorBudget()
	receiver := float64(b.Receiver) / 1.96               // a limit that holds 95 times in 100
	step := float64(b.Resolution) / math.Sqrt(12)        // even within a step
	return reduce.Length(math.Hypot(receiver, step)) + 1 // over zero
}
