//go:build unix

package voice

import (
	"context"
	"errors"
	"io"
	"net"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"
)

// must ends the stand-in where it cannot do what it stands for.
func must(_ any, err error) {
	if err != nil {
		panic(err)
	}
}

// TestStandIn is no test: it is what the tests below run in place of another
// program, which is this one.
func TestStandIn(*testing.T) {
	what, arg, _ := strings.Cut(os.Getenv("VOICE_STAND_IN"), " ")
	switch what {
	case "echo":
		must(io.Copy(os.Stdout, os.Stdin))
		os.Exit(0)
	case "fail":
		must(os.Stderr.WriteString("no such voice"))
		os.Exit(3)
	case "flood":
		for {
			must(os.Stdout.Write(make([]byte, 1<<10)))
		}
	case "leave":
		// The child keeps the output open, and lives on.
		child := exec.Command(os.Args[0], "-test.run=^TestStandIn$")
		child.Env = append(os.Environ(), "VOICE_STAND_IN=call "+arg)
		child.Stdout = os.Stdout
		must(nil, child.Run())
	case "call":
		c, err := net.Dial("tcp", arg)
		must(c, err)
		must(c.Read(make([]byte, 1))) // for ever
	}
}

// runStandIn runs what TestStandIn knows by that name.
func runStandIn(ctx context.Context, t *testing.T, what, input string, limit int) ([]byte, error) {
	t.Helper()
	t.Setenv("VOICE_STAND_IN", what)
	return run(ctx, []byte(input), limit, os.Args[0], "-test.run=^TestStandIn$")
}

func TestRun(t *testing.T) {
	const text = "$(three) eighths; low\n"
	if out, err := runStandIn(t.Context(), t, "echo", text, 100); err != nil || string(out) != text {
		t.Errorf("%q, %v", out, err)
	}
	if out, err := runStandIn(t.Context(), t, "fail", "", 100); err == nil || out != nil ||
		!strings.Contains(err.Error(), "exit status 3: no such voice") {
		t.Errorf("%q, %v", out, err)
	}
	if out, err := runStandIn(t.Context(), t, "flood", "", 100); err == nil || out != nil ||
		!strings.Contains(err.Error(), "more than 100 bytes") {
		t.Errorf("%q, %v", out, err)
	}
	if _, err := run(t.Context(), nil, 100, "./no-such-program"); err == nil {
		t.Error("a program that there is not ran")
	}
}

// TestRunKillsAll: where the time is up, the program dies, and with it what it
// started: the line that its child holds open is cut.
func TestRunKillsAll(t *testing.T) {
	door, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := door.Close(); err != nil {
			t.Error(err)
		}
	})
	ctx, stop := context.WithCancel(t.Context())
	lines := make(chan net.Conn, 1)
	go func() {
		line, err := door.Accept()
		if err != nil {
			t.Error(err)
		}
		stop()
		lines <- line
	}()
	if out, err := runStandIn(ctx, t, "leave "+door.Addr().String(), "", 100); !errors.Is(err, context.Canceled) || out != nil {
		t.Errorf("%q, %v", out, err)
	}
	line := <-lines
	if err := line.SetReadDeadline(time.Now().Add(time.Minute)); err != nil {
		t.Fatal(err)
	}
	if _, err := line.Read(make([]byte, 1)); errors.Is(err, os.ErrDeadlineExceeded) {
		t.Error("the child lives on")
	}
	if err := line.Close(); err != nil {
		t.Error(err)
	}
}
