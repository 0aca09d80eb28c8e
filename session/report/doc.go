// Package report shows a job: as export, as summary, as notes, and as a scene
// to draw. It is pure: the time that stands on a drawing is given to it.
package report
