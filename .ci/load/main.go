// Command load plays crews against the real program, on a stand-in for the
// platform, and prints what they had to wait for:
//
//	go run ./.ci/load -crews 10,100,1000 -for 60s
//	go run ./.ci/load -crews 100 -finished 100000
//
// Each crew opens a job and walks its walls: it reads, waits for the answer,
// walks on for a while, and reads again. A table comes out, a line a number of
// crews: readings a second, how long from a message until its answer was taken
// by the platform (half of them, 99 of 100, the longest), the memory that the
// program held, and by how much its file grew.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"

	"rodcall/bot/apitest"
	"rodcall/session/store"
	"rodcall/session/store/filled"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Stdout); err != nil {
		fmt.Fprintf(os.Stderr, "error: %v\n", err)
		os.Exit(1) //nolint:gocritic // nothing is left to undo
	}
}

// options are what is to be played.
type options struct {
	crews    []int
	lasts    time.Duration
	pace     time.Duration // from one reading of a crew to its next
	finished int           // jobs that the file holds at first
	rates    bool          // the platform's rates, and ours under them
}

func run(ctx context.Context, out io.Writer) error {
	list := flag.String("crews", "10,100,1000", "how many crews, one run each")
	lasts := flag.Duration("for", 30*time.Second, "how long they walk")
	pace := flag.Duration("pace", 15*time.Second, "from one reading of a crew to its next")
	finished := flag.Int("finished", 0, "finished jobs in the file")
	rates := flag.Bool("rates", true, "keep to the platform's rates")
	flag.Parse()
	o := options{lasts: *lasts, pace: *pace, finished: *finished, rates: *rates}
	for text := range strings.SplitSeq(*list, ",") {
		n, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil || n < 1 {
			return fmt.Errorf("-crews %q: want numbers, like 10,100", *list)
		}
		o.crews = append(o.crews, n)
	}
	dir, err := os.MkdirTemp("", "rodcall-load-")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	bin := filepath.Join(dir, "rodcall")
	if out, err := exec.CommandContext(ctx, "go", "build", "-o", bin, "./cmd/rodcall").CombinedOutput(); err != nil {
		return fmt.Errorf("build: %w\n%s", err, out)
	}
	if _, err := fmt.Fprintf(out, "a reading a crew every %v for %v, %d finished jobs in the file, rates %s\n\n%s\n%s\n",
		o.pace, o.lasts, o.finished, map[bool]string{true: "kept", false: "lifted"}[o.rates],
		"| crews | readings | a second | half answered within | 99 of 100 | longest | memory | file grew |",
		"| --- | --- | --- | --- | --- | --- | --- | --- |"); err != nil {
		return err
	}
	for _, n := range o.crews {
		r, err := play(ctx, dir, bin, n, o)
		if err != nil {
			return fmt.Errorf("%d crews: %w", n, err)
		}
		if _, err := fmt.Fprintln(out, r); err != nil {
			return err
		}
	}
	return nil
}

// result is what a run came to.
type result struct {
	crews  int
	waits  []time.Duration // from message to answer, ascending
	lasted time.Duration
	memory int64 // bytes at the end
	grew   int64 // bytes
}

func (r result) String() string {
	at := func(share float64) time.Duration {
		return r.waits[min(len(r.waits)-1, int(share*float64(len(r.waits))))].Round(100 * time.Microsecond)
	}
	if len(r.waits) == 0 {
		return fmt.Sprintf("| %d | 0 |", r.crews)
	}
	return fmt.Sprintf("| %d | %d | %.1f | %v | %v | %v | %.0f MB | %.1f MB |", r.crews, len(r.waits),
		float64(len(r.waits))/r.lasted.Seconds(), at(.5), at(.99), r.waits[len(r.waits)-1].Round(100*time.Microsecond),
		float64(r.memory)/(1<<20), float64(r.grew)/(1<<20))
}

// play has a number of crews walk.
func play(ctx context.Context, dir, bin string, crews int, o options) (r result, err error) {
	db := filepath.Join(dir, fmt.Sprintf("walk-%d.db", crews))
	if err := fill(db, o.finished); err != nil {
		return r, err
	}
	srv := apitest.New(apitest.Config{})
	defer srv.Close()
	// All are let in without rates, else that would take half an hour.
	p, err := serve(bin, db, srv, false)
	if err != nil {
		return r, err
	}
	all, err := letIn(ctx, srv, p, crews)
	if err = errors.Join(err, p.end()); err != nil {
		return r, err
	}
	if p, err = serve(bin, db, srv, o.rates); err != nil {
		return r, err
	}
	defer func() { err = errors.Join(err, p.end()) }()
	if o.rates {
		srv.SetRates(apitest.PlatformRates())
	}
	before, err := os.Stat(db)
	if err != nil {
		return r, err
	}
	began := time.Now()
	until, cancel := context.WithTimeout(ctx, o.lasts)
	defer cancel()
	var (
		mu   sync.Mutex
		work sync.WaitGroup
	)
	for i, c := range all {
		work.Go(func() {
			waits := c.walk(until, o.pace, uint64(i)) //nolint:gosec // counts crews
			mu.Lock()
			defer mu.Unlock()
			r.waits = append(r.waits, waits...)
		})
	}
	work.Wait()
	r.crews, r.lasted = crews, time.Since(began)
	slices.Sort(r.waits)
	if r.memory, err = p.memory(); err != nil {
		return r, err
	}
	after, err := os.Stat(db)
	if err != nil {
		return r, err
	}
	r.grew = after.Size() - before.Size()
	if faults := srv.Faults(); len(faults) > 0 {
		return r, fmt.Errorf("the platform refused %d requests; the first: %+v", len(faults), faults[0])
	}
	return r, ctx.Err()
}

// fill makes a file that has been in use.
func fill(db string, jobs int) error {
	if jobs == 0 {
		return nil
	}
	s, err := store.Open(db, store.Options{})
	if err != nil {
		return err
	}
	return errors.Join(filled.Jobs(s, jobs, nil), s.Close())
}

// program is rodcall serve, running.
type program struct {
	cmd *exec.Cmd
	log string
}

func serve(bin, db string, srv *apitest.Server, rates bool) (*program, error) {
	path := db + ".log"
	log, err := os.Create(path)
	if err != nil {
		return nil, err
	}
	// One owner invites all.
	args := []string{"serve", "--db", db, "--api", srv.URL(), "--voice", "off", "--aloud", "off", "--per-sender", "0"}
	if !rates {
		args = append(args, "--per-second", "0")
	}
	p := &program{cmd: exec.Command(bin, args...), log: path}
	p.cmd.Env = append(os.Environ(), "RODCALL_TOKEN="+srv.Token())
	p.cmd.Stdout, p.cmd.Stderr = log, log
	return p, errors.Join(p.cmd.Start(), log.Close())
}

func (p *program) end() error {
	if err := p.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		return err
	}
	return p.cmd.Wait()
}

// memory is what the program holds of the machine's, in bytes.
func (p *program) memory() (int64, error) {
	b, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	if err != nil {
		return 0, err
	}
	m := regexp.MustCompile(`RssAnon:\s+([0-9]+) kB`).FindSubmatch(b)
	if m == nil {
		return 0, errors.New("the system does not say how much memory a program holds")
	}
	kb, err := strconv.ParseInt(string(m[1]), 10, 64)
	return kb << 10, err
}

// crew is one person who walks with a rod.
type crew struct {
	u apitest.User
	c *apitest.Chat
}

var (
	// anything is any answer, next the one to a reading.
	anything, next = regexp.MustCompile(``), regexp.MustCompile(`Next: `)

	claim  = regexp.MustCompile(`(?m)^  /start (\S+)$`)
	invite = regexp.MustCompile(`start=(\S+)`)
)

// letIn has one person claim the bot and let the others in; each opens a job and
// reads its first station.
func letIn(ctx context.Context, srv *apitest.Server, p *program, n int) ([]crew, error) {
	var code string
	for code == "" {
		b, err := os.ReadFile(p.log)
		if err != nil {
			return nil, err
		}
		if m := claim.FindSubmatch(b); m != nil {
			code = string(m[1])
		} else if err := pause(ctx, 20*time.Millisecond); err != nil {
			return nil, err
		}
	}
	var all []crew
	for i := range n {
		c := crew{u: srv.User("crew" + strconv.Itoa(i))}
		c.c = srv.Private(c.u)
		if i > 0 {
			text, err := all[0].ask(ctx, "/invite", invite)
			if err != nil {
				return nil, err
			}
			code = invite.FindStringSubmatch(text)[1]
		}
		for _, text := range []string{"/start " + code, "new House " + strconv.Itoa(i), "400x300", "direct rod", "on"} {
			if _, err := c.ask(ctx, text, anything); err != nil {
				return nil, err
			}
		}
		all = append(all, c)
	}
	return all, nil
}

// ask sends a text and waits for the bot's next message like the one wanted:
// something may have two.
func (c crew) ask(ctx context.Context, text string, want *regexp.Regexp) (string, error) {
	had, began := len(c.c.FromBot()), time.Now()
	c.c.Say(c.u, text)
	for {
		for _, m := range c.c.FromBot()[had:] {
			if want.MatchString(m.Text) {
				return m.Text, nil
			}
		}
		// Looking is work too: who waits long is looked at to 2 in 100.
		if err := pause(ctx, max(500*time.Microsecond, time.Since(began)/50)); err != nil {
			return "", fmt.Errorf("no answer to %q: %w", text, err)
		}
	}
}

func pause(ctx context.Context, d time.Duration) error {
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-time.After(d):
		return nil
	}
}

// walk reads station after station until ctx ends, and returns how long each
// answer took. An answer that is still to come then is waited for.
func (c crew) walk(ctx context.Context, pace time.Duration, seed uint64) []time.Duration {
	chance := rand.New(rand.NewPCG(seed, 1))
	var waits []time.Duration
	// Not all crews begin at once.
	if pause(ctx, time.Duration(chance.Float64()*float64(pace))) != nil {
		return nil
	}
	last := context.WithoutCancel(ctx)
	for {
		last, cancel := context.WithTimeout(last, 5*time.Minute)
		began := time.Now()
		_, err := c.ask(last, []string{"1/8 low", "on", "1/16 high", "1/16 low"}[chance.IntN(4)], next)
		cancel()
		if err != nil {
			return append(waits, 5*time.Minute)
		}
		took := time.Since(began)
		waits = append(waits, took)
		if pause(ctx, max(0, pace-took)) != nil {
			return waits
		}
	}
}
