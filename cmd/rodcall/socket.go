package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"os"
	"time"

	"rodcall/session/engine"
	"rodcall/session/store"
)

// socketOf is where a running serve is asked for a copy of its file, which it
// keeps locked. Whoever may read the file may use it, and nobody else.
func socketOf(db string) string { return db + ".sock" }

// offerCopies answers on the file's socket until the returned function is
// called. Where there can be no socket, the operator is told.
func offerCopies(log *slog.Logger, file *store.Store) (end func()) {
	path := socketOf(file.Path())
	// The file is locked by this process: a socket that is there was left behind.
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		log.Warn("there is no copying while this runs", "err", err)
		return func() {}
	}
	l, err := net.Listen("unix", path)
	if err == nil {
		err = os.Chmod(path, 0o600)
	}
	if err != nil {
		if l != nil {
			_ = l.Close()
		}
		log.Warn("there is no copying while this runs", "err", err)
		return func() {}
	}
	server := &http.Server{
		ReadHeaderTimeout: 5 * time.Second,
		ErrorLog:          slog.NewLogLogger(log.Handler(), slog.LevelWarn),
		Handler: http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Trailer", copiedTrailer)
			n, err := file.Copy(w)
			if err != nil {
				log.Error("a copy of the file was not written to its end", "err", err)
				return
			}
			w.Header().Set(copiedTrailer, fmt.Sprint(n))
		}),
	}
	done := make(chan struct{})
	go func() {
		defer engine.Crash(log)
		defer close(done)
		if err := server.Serve(l); !errors.Is(err, http.ErrServerClosed) {
			log.Warn("there is no copying any more", "err", err)
		}
	}()
	return func() {
		ctx, cancel := context.WithTimeout(context.Background(), closeIn)
		defer cancel()
		if err := server.Shutdown(ctx); err != nil {
			log.Warn("a copy of the file was cut off", "err", err)
			_ = server.Close()
		}
		<-done
	}
}

// copiedTrailer tells the reader of a copy how long the whole is.
const copiedTrailer = "X-Copied"

// askForCopy writes what a running serve copies of its file.
func askForCopy(ctx context.Context, db string, w io.Writer) error {
	client := &http.Client{Transport: &http.Transport{
		DialContext: func(ctx context.Context, _, _ string) (net.Conn, error) {
			return (&net.Dialer{}).DialContext(ctx, "unix", socketOf(db))
		},
	}}
	defer client.CloseIdleConnections()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://rodcall/copy", nil)
	if err != nil {
		return err
	}
	resp, err := client.Do(req)
	if err != nil {
		if at := (*url.Error)(nil); errors.As(err, &at) {
			err = at.Err // its address is nobody's
		}
		return failure("end the other rodcall, then try again", "%s is in use, by a rodcall that gives no copies of it: %w", db, err)
	}
	n, err := io.Copy(w, resp.Body)
	err = errors.Join(err, resp.Body.Close())
	if err == nil && resp.Trailer.Get(copiedTrailer) != fmt.Sprint(n) {
		err = errors.New("it was cut off")
	}
	if err != nil {
		return fmt.Errorf("take a copy of %s: %w", db, err)
	}
	return nil
}
