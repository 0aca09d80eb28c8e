package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"rodcall/bot/apitest"
)

// piped is a writer that a child is given as a pipe, not as the file behind it:
// what the child may write to files then says nothing of its log.
type piped struct{ io.Writer }

// mayWrite sets up to which size the running program may write files. Beyond
// it the kernel refuses a write, and making a file longer, with EFBIG, as it
// refuses them on a full disk with ENOSPC: no space is ever had, what is there
// can be written over, and it ends as soon as the limit is lifted. Unlike a small
// file system it takes no rights. With 0 nothing at all can be written any more,
// as on a disk that was turned read-only after a fault.
func (p *program) mayWrite(bytes uint64) {
	p.t.Helper()
	var had unix.Rlimit
	if err := unix.Prlimit(p.cmd.Process.Pid, unix.RLIMIT_FSIZE, nil, &had); err != nil {
		p.t.Fatal(err)
	}
	had.Cur = min(bytes, had.Max)
	if err := unix.Prlimit(p.cmd.Process.Pid, unix.RLIMIT_FSIZE, &had, nil); err != nil {
		p.t.Fatal(err)
	}
}

// TestDiskFull takes the room from the real program while several people walk:
// first the disk is full, then nothing can be written to at all, and then it is full
// and the program is killed. Everybody is told that what they sent is not kept, the
// program lives, and once there is room it goes on by itself: in the end every
// reading is there once, in order, every reply was sent, and the file is sound.
func TestDiskFull(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes a while")
	}
	srv := apitest.New(apitest.Config{})
	defer srv.Close()
	p := newProgram(t, srv, "--per-second", "0")
	p.out = piped{p.log}
	p.run()
	walkers := letIn(t, srv, p, 6)
	walk := func(w *walker) {
		w.said++
		w.c.Say(w.u, fmt.Sprintf("%d/16 low", 1+w.said%2))
	}
	all := func(what string, done func(*walker) bool) {
		t.Helper()
		until(t, srv, what, func() bool {
			for _, w := range walkers {
				if !done(w) {
					return false
				}
			}
			return true
		})
	}
	answered := func(w *walker) bool { return w.heard(stationNames(w.said)[w.said-1] + ": ") }
	all("the first replies", answered)

	const full, readOnly, killed = "full", "read-only", "full, and killed"
	for _, trouble := range []string{full, readOnly, killed} {
		told := map[*walker]int{}
		for _, w := range walkers {
			told[w] = w.toldUnkept()
		}
		limit := uint64(0)
		if trouble != readOnly {
			is, err := os.Stat(p.db)
			if err != nil {
				t.Fatal(err)
			}
			limit = uint64(is.Size()) //nolint:gosec // a file's size
		}
		p.mayWrite(limit)
		// All read on until each of them has been told; a few free pages in the file
		// may still take some of it.
		for try := 0; ; try++ {
			unaware := 0
			for _, w := range walkers {
				if w.toldUnkept() == told[w] {
					unaware++
					walk(w)
				}
			}
			if unaware == 0 {
				break
			}
			if try == 300 {
				t.Fatalf("%s: %d were never told:\n%s", trouble, unaware, p.printed())
			}
			time.Sleep(100 * time.Millisecond)
		}
		if trouble == killed {
			p.kill()
			p.run()
			p.serving()
		} else {
			p.mayWrite(unix.RLIM_INFINITY)
		}
		all("the last reply, with room again", answered)
		for _, w := range walkers {
			// Again only where something of theirs was kept in between.
			if n := w.toldUnkept() - told[w]; n > 3 {
				t.Errorf("%s: %s was told %d times", trouble, w.u.FirstName, n)
			}
		}
	}
	p.stop()
	if n := strings.Count(p.printed(), "serving"); n != 2 {
		t.Errorf("the program began to serve %d times, want 2", n)
	}
	p.sound()
	for _, w := range walkers {
		w.check(t)
	}
	checkFile(t, p.db, walkers)
	for _, f := range srv.Faults() {
		t.Errorf("a request was refused: %+v", f)
	}
}

// toldUnkept is how often a person was told that nothing is kept.
func (w *walker) toldUnkept() (n int) {
	for _, m := range w.c.FromBot() {
		if strings.HasPrefix(m.Text, "NOT kept") {
			n++
		}
	}
	return n
}
