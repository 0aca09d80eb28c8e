package bot

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"time"
)

const (
	// fetchTimeout is how long one attempt to fetch a file may take.
	fetchTimeout = 12 * time.Second
	// fetchTries is how often it is tried, and fetchWait how long to wait before
	// the first time again: whoever sent it waits for an answer.
	fetchTries = 3
	fetchWait  = time.Second
	// fetchWaitMost is the longest wait that a platform can ask for.
	fetchWaitMost = 10 * time.Second
)

// What keeps a file from being fetched.
var (
	errLarge = errors.New("the file is larger than is fetched")
	errGone  = errors.New("the platform does not give the file")
)

// fetch fetches a file that somebody sent, of at most so many bytes. It is an
// error that wraps errLarge or errGone, or what went wrong the last time.
func (b *Bot) fetch(ctx context.Context, id string, limit int64) ([]byte, error) {
	for try, wait := 1, b.pause; ; try, wait = try+1, 2*wait {
		body, err := b.fetchOnce(ctx, id, limit)
		if err == nil || errors.Is(err, errLarge) || errors.Is(err, errGone) || ctx.Err() != nil || try == fetchTries {
			return body, b.redacted(err)
		}
		var r *refusal
		if errors.As(err, &r) {
			wait = min(max(wait, r.After), fetchWaitMost)
		}
		b.log.Info("a file was not fetched; trying again", "after", wait, "err", b.redacted(err))
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(wait):
		}
	}
}

func (b *Bot) fetchOnce(ctx context.Context, id string, limit int64) ([]byte, error) {
	ctx, cancel := context.WithTimeout(ctx, b.patience)
	defer cancel()
	var file struct {
		Path string `json:"file_path"`
		Size int64  `json:"file_size"`
	}
	err := b.ask(ctx, b.client, "getFile", map[string]any{"file_id": id}, &file)
	var r *refusal
	switch {
	case errors.As(err, &r) && r.Code == http.StatusBadRequest && strings.Contains(r.Description, "too big"):
		return nil, fmt.Errorf("%w: %w", errLarge, err)
	case errors.As(err, &r) && r.Code >= 400 && r.Code < 500 && r.Code != http.StatusTooManyRequests:
		return nil, fmt.Errorf("%w: %w", errGone, err)
	case err != nil:
		return nil, err
	case file.Size > limit:
		return nil, fmt.Errorf("%w: %d bytes", errLarge, file.Size)
	case file.Path == "":
		return nil, fmt.Errorf("%w: it has no path", errGone)
	}
	return b.download(ctx, file.Path, limit)
}

// download reads a file by its path, whatever was said of its size.
func (b *Bot) download(ctx context.Context, path string, limit int64) ([]byte, error) {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, b.cfg.API+"/file/bot"+b.cfg.Token+"/"+path, http.NoBody)
	if err != nil {
		return nil, err
	}
	// A place that it is passed on to would learn where it comes from, and so the
	// token.
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	resp, err := client.Do(req)
	if err != nil {
		return nil, err
	}
	defer func() { _ = resp.Body.Close() }()
	switch {
	case resp.StatusCode == http.StatusTooManyRequests || resp.StatusCode >= 500:
		return nil, fmt.Errorf("download: status %d", resp.StatusCode)
	case resp.StatusCode != http.StatusOK:
		return nil, fmt.Errorf("%w: status %d", errGone, resp.StatusCode)
	case resp.ContentLength > limit:
		return nil, fmt.Errorf("%w: %d bytes", errLarge, resp.ContentLength)
	}
	body, err := io.ReadAll(io.LimitReader(resp.Body, limit+1))
	switch {
	case err != nil:
		return nil, fmt.Errorf("download: %w", err)
	case int64(len(body)) > limit:
		return nil, errLarge
	}
	return body, nil
}
