package main

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"rodcall/bot/apitest"
	"rodcall/session/store"
)

// kills is how often the program is killed: RODCALL_KILLS, else a few.
func kills(t *testing.T) int {
	text := os.Getenv("RODCALL_KILLS")
	if text == "" {
		return 20
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatalf("RODCALL_KILLS: %v", err)
	}
	return n
}

// program is rodcall serve as a process of its own.
type program struct {
	t     *testing.T
	bin   string
	db    string
	args  []string
	env   []string
	bare  bool // nothing else is in its environment
	log   *os.File
	out   io.Writer // where it prints: the log
	start int       // how often it was started
	cmd   *exec.Cmd
}

// newProgram builds the program and makes it ready to serve on a stand-in.
func newProgram(t *testing.T, srv *apitest.Server, args ...string) *program {
	t.Helper()
	dir := t.TempDir()
	bin := filepath.Join(dir, "program")
	if out, err := exec.Command("go", "build", "-o", bin, ".").CombinedOutput(); err != nil {
		t.Fatalf("build: %v\n%s", err, out)
	}
	log, err := os.Create(filepath.Join(dir, "log"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = log.Close() }) // only the child writes it
	db := filepath.Join(dir, "walk.db")
	return &program{
		t: t, bin: bin, db: db, log: log, out: log,
		// What hears and speaks on this machine has no part in a test.
		args: append([]string{"serve", "--db", db, "--api", srv.URL(), "--voice", "off", "--aloud", "off"}, args...),
		env:  []string{"RODCALL_TOKEN=" + srv.Token()},
	}
}

func (p *program) run() {
	p.t.Helper()
	p.start++
	p.cmd = exec.Command(p.bin, p.args...)
	if p.cmd.Env = p.env; !p.bare {
		p.cmd.Env = append(os.Environ(), p.env...)
	}
	p.cmd.Stdout, p.cmd.Stderr = p.out, p.out
	if err := p.cmd.Start(); err != nil {
		p.t.Fatal(err)
	}
}

// kill ends it at once, as a power cut would.
func (p *program) kill() {
	p.t.Helper()
	if err := p.cmd.Process.Kill(); err != nil {
		p.t.Fatal(err)
	}
	_ = p.cmd.Wait() // it was killed, and says so
}

// stop has it end by itself.
func (p *program) stop() {
	p.t.Helper()
	if err := p.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		p.t.Fatal(err)
	}
	if err := p.cmd.Wait(); err != nil {
		p.t.Errorf("after SIGTERM: %v", err)
	}
}

// sound has the program itself check the file.
func (p *program) sound() {
	p.t.Helper()
	out, err := exec.Command(p.bin, "check", "--db", p.db).CombinedOutput()
	if err != nil || !strings.HasPrefix(string(out), "file: sound; ") {
		p.t.Errorf("check: %v\n%s", err, out)
	}
}

var claim = regexp.MustCompile(`(?m)^  /start (\S+)$`)

func (p *program) printed() string {
	p.t.Helper()
	b, err := os.ReadFile(p.log.Name())
	if err != nil {
		p.t.Fatal(err)
	}
	return string(b)
}

// serving waits until the program that runs now says that it serves.
func (p *program) serving() {
	p.t.Helper()
	for range 400 {
		if strings.Contains(p.printed(), fmt.Sprintf("pid=%d\n", p.cmd.Process.Pid)) {
			return
		}
		time.Sleep(25 * time.Millisecond)
	}
	p.t.Fatalf("the program does not serve:\n%s", p.printed())
}

// until waits for something to be true on the stand-in.
func until(t *testing.T, srv *apitest.Server, what string, ready func() bool) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Minute)
	defer cancel()
	if err := srv.Wait(ctx, ready); err != nil {
		t.Fatalf("%s: %v", what, err)
	}
}

// walker is a person who walks in a private chat.
type walker struct {
	u    apitest.User
	c    *apitest.Chat
	said int // readings
}

func (w *walker) heard(text string) bool {
	for _, m := range w.c.FromBot() {
		if strings.Contains(m.Text, text) {
			return true
		}
	}
	return false
}

// heardAs is what the recogniser of a test hears in every note.
const heardAs = "1/16 low"

// recogniser is a command that hears the same in every note, unless it was given
// the token.
func recogniser(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "recognise")
	script := "#!/bin/sh\ncat >/dev/null\n[ -z \"$" + tokenVariable + "\" ] && echo '" + heardAs + "'\n"
	if err := os.WriteFile(path, []byte(script), 0o700); err != nil { //nolint:gosec // it is to be run
		t.Fatal(err)
	}
	return path
}

// TestKilledAtRandom kills the real program with SIGKILL at random moments
// while several people walk, who type and speak. In the end every reading is there once, in order,
// and every reply was sent; how many were sent twice is shown.
func TestKilledAtRandom(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes a while")
	}
	const people = 24
	srv := apitest.New(apitest.Config{})
	defer srv.Close()
	note, err := os.ReadFile(filepath.Join("..", "..", "bot", "voice", "testdata", "note.opus"))
	if err != nil {
		t.Fatal(err)
	}
	p := newProgram(t, srv, "--voice", recogniser(t))
	p.run()
	walkers := letIn(t, srv, p, people)

	// Answers on their way for a while give kills something to hit.
	srv.Schedule(apitest.Schedule{Seed: 3, Slow: .5, Delay: 100 * time.Millisecond})
	// Everybody reads at their own pace, whether or not the program lives.
	var wg sync.WaitGroup
	stop := make(chan struct{})
	for i, w := range walkers {
		wg.Go(func() {
			dice := rand.New(rand.NewPCG(1, uint64(i)))
			for {
				select {
				case <-stop:
					return
				case <-time.After(time.Duration(700+dice.IntN(500)) * time.Millisecond):
				}
				if w.said++; w.said > maxReadings {
					return
				}
				if (w.said+i)%4 == 0 {
					w.c.Voice(w.u, note)
					continue
				}
				// A calm wall: a reading far off its neighbours would be asked back.
				w.c.Say(w.u, fmt.Sprintf("%d/16 low", 1+dice.IntN(2)))
			}
		})
	}
	dice := rand.New(rand.NewPCG(2, 2))
	n := kills(t)
	for range n {
		time.Sleep(time.Duration(20+dice.IntN(450)) * time.Millisecond)
		p.kill()
		p.run()
	}
	close(stop)
	wg.Wait()
	p.serving()
	for _, w := range walkers {
		last := stationNames(w.said)[w.said-1]
		until(t, srv, "the last reply to "+w.u.FirstName, func() bool { return w.heard(last + ": ") })
	}
	p.stop()

	readings, spoken, repeats := 0, 0, 0
	for _, w := range walkers {
		readings += w.said
		repeats += w.check(t)
		for _, m := range w.c.Messages() {
			if !m.From.IsBot && m.Voice != nil {
				spoken++
			}
		}
	}
	if spoken == 0 {
		t.Error("nobody spoke")
	}
	checkFile(t, p.db, walkers)
	p.sound()
	for _, f := range srv.Faults() {
		t.Errorf("a request was refused: %+v", f)
	}
	if strings.Contains(p.printed(), srv.Token()) {
		t.Error("the log holds the token")
	}
	t.Logf("%d kills, %d people, %d readings, %d of them spoken: none lost, none twice; %d replies sent twice", n, people, readings, spoken, repeats)
}

// letIn has one person claim the bot, and invite the others; each opens a job.
func letIn(t *testing.T, srv *apitest.Server, p *program, people int) []*walker {
	t.Helper()
	var code string
	for range 200 {
		if m := claim.FindStringSubmatch(p.printed()); m != nil {
			code = m[1]
			break
		}
		time.Sleep(50 * time.Millisecond)
	}
	if code == "" {
		t.Fatalf("no claim code:\n%s", p.printed())
	}
	link := regexp.MustCompile(`start=(\S+)`)
	var out []*walker
	for i := range people {
		u := srv.User("walker" + strconv.Itoa(i))
		w := &walker{u: u, c: srv.Private(u)}
		if i > 0 {
			owner := out[0]
			n := len(owner.c.FromBot())
			owner.c.Say(owner.u, "/invite")
			until(t, srv, "an invitation", func() bool { return len(owner.c.FromBot()) > n })
			code = link.FindStringSubmatch(owner.c.FromBot()[n].Text)[1]
		}
		w.c.Say(u, "/start "+code)
		until(t, srv, "a welcome", func() bool { return len(w.c.FromBot()) == 1 })
		out = append(out, w)
	}
	for _, w := range out {
		for _, text := range []string{"new House of " + w.u.FirstName, walls, "direct rod"} {
			w.c.Say(w.u, text)
		}
		w.c.Say(w.u, "on")
		w.said++
	}
	return out
}

// walls have more marks than anybody reads here.
const (
	walls       = "400x300"
	maxReadings = 340
)

// stationNames are the first n stations of those walls, by hand: 100 marks on
// a wall of 400 ft, 75 on one of 300.
func stationNames(n int) (out []string) {
	for c, marks := range []int{100, 75, 100, 75} {
		for k := range marks {
			name := fmt.Sprintf("c%d+%d", c+1, 4*k)
			if k == 0 {
				name = fmt.Sprintf("c%d", c+1)
			}
			if out = append(out, name); len(out) == n {
				return out
			}
		}
	}
	return out
}

// check looks at the replies to one person: each station's, in order. It
// counts those that came again.
func (w *walker) check(t *testing.T) (repeats int) {
	t.Helper()
	names := stationNames(w.said)
	next := 0
	for _, m := range w.c.FromBot() {
		name, _, echo := strings.Cut(m.Text, ": ")
		switch {
		case !echo || !strings.HasPrefix(name, "c") || strings.Contains(name, " "):
		case next < len(names) && name == names[next]:
			next++
		case next > 0 && name == names[next-1]:
			repeats++
		default:
			t.Errorf("%s: after %d replies %q", w.u.FirstName, next, m.Text)
			return repeats
		}
	}
	if next != len(names) {
		t.Errorf("%s: %d replies to %d readings", w.u.FirstName, next, len(names))
	}
	return repeats
}

// checkFile looks at what is stored: each reading once, in order, and whole
// chains.
func checkFile(t *testing.T, db string, walkers []*walker) {
	t.Helper()
	s, err := store.Open(db, store.Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close() //nolint:errcheck // it was only read
	err = s.View(func(tx *store.Tx) error {
		headers, err := tx.Headers()
		if err != nil {
			return err
		}
		if len(headers) != len(walkers) {
			t.Errorf("%d jobs, want %d", len(headers), len(walkers))
		}
		for _, h := range headers {
			j, err := tx.Job(h.ID)
			if err != nil {
				return err
			}
			if err := tx.Verify(h.ID); err != nil {
				t.Errorf("chain of %s: %v", h.Name, err)
			}
			for _, w := range walkers {
				if h.Name != "House of "+w.u.FirstName {
					continue
				}
				var got []string
				for _, r := range j.Readings() {
					got = append(got, j.StationName(r.Station)+" "+r.Said)
				}
				if want := w.told(); strings.Join(got, "\n") != strings.Join(want, "\n") {
					t.Errorf("%s: %d readings are stored, %d were sent; or their order differs", h.Name, len(got), len(want))
				}
			}
		}
		if dead, err := tx.Dead(10); err != nil || len(dead) > 0 {
			t.Errorf("%d dead letters (%v)", len(dead), err)
		}
		if parked, err := tx.Parked(10); err != nil || len(parked) > 0 {
			t.Errorf("%d parked replies (%v)", len(parked), err)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// told are the readings that a person sent, with the stations they are for.
func (w *walker) told() (out []string) {
	names := stationNames(w.said)
	for _, m := range w.c.Messages() {
		if !m.From.IsBot && m.Voice != nil {
			m.Text = heardAs
		}
		if !m.From.IsBot && (m.Text == "on" || strings.HasSuffix(m.Text, " low")) {
			out = append(out, names[len(out)]+" "+m.Text)
		}
	}
	return out
}
