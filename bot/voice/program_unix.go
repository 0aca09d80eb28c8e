//go:build unix

package voice

import (
	"os/exec"
	"syscall"
)

// ownGroup has a program run in a process group of its own, and has all of the
// group killed where its context ends.
func ownGroup(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
}
