package voice

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os/exec"
	"strings"
	"time"
)

// ErrNoEngine says that a program that is needed is not on this machine. The
// error that wraps it names the program.
var ErrNoEngine = errors.New("no engine")

// findProgram looks a program up in PATH.
func findProgram(name string) (string, error) {
	path, err := exec.LookPath(name)
	if err != nil {
		return "", fmt.Errorf("%w: %w", ErrNoEngine, err)
	}
	return path, nil
}

// run runs a program with input on its standard input, and returns what it
// wrote to its standard output, at most limit bytes: more is an error. When ctx
// ends, the program and all that it started are killed. No shell has a part in
// it.
func run(ctx context.Context, input []byte, limit int, path string, args ...string) ([]byte, error) {
	return runWith(ctx, nil, input, limit, path, args...)
}

// runWith is run with further variables in the program's environment.
func runWith(ctx context.Context, variables []string, input []byte, limit int, path string, args ...string) ([]byte, error) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	cmd := exec.CommandContext(ctx, path, args...)
	ownGroup(cmd)
	// A grandchild that got away must not keep us waiting for its end of a pipe.
	cmd.WaitDelay = time.Second
	cmd.Stdin = bytes.NewReader(input)
	if len(variables) > 0 {
		cmd.Env = append(cmd.Environ(), variables...)
	}
	out := &bounded{limit: limit, full: stop}
	said := &bounded{limit: 4 << 10, full: func() {}}
	cmd.Stdout, cmd.Stderr = out, said
	err := cmd.Run()
	switch {
	case out.over:
		return nil, fmt.Errorf("%s wrote more than %d bytes", path, limit)
	case ctx.Err() != nil:
		return nil, fmt.Errorf("%s: %w", path, ctx.Err())
	case err != nil:
		return nil, fmt.Errorf("%s: %w: %s", path, err, strings.TrimSpace(said.kept.String()))
	}
	return out.kept.Bytes(), nil
}

// bounded keeps the first limit bytes written to it; where there are more it
// calls full and throws the rest away.
type bounded struct {
	kept  bytes.Buffer
	limit int
	over  bool
	full  func()
}

// Write never fails, so that a talkative program does not die of it.
func (b *bounded) Write(p []byte) (int, error) {
	room := b.limit - b.kept.Len()
	if len(p) > room && !b.over {
		b.over = true
		b.full()
	}
	b.kept.Write(p[:min(len(p), room)])
	return len(p), nil
}
