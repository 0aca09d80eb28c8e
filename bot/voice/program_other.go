//go:build !unix

package voice

import "os/exec"

// ownGroup does nothing where there are no process groups: the program itself
// is killed where its context ends.
func ownGroup(*exec.Cmd) {}
