package engine

import (
	"context"
	"errors"
	"runtime/debug"

	"rodcall/session"
	"rodcall/session/store"
)

// listens is how many voice notes and photos are fetched and heard at a time,
// over all chats: each is kept in memory meanwhile.
const listens = 8

// listen has the adapter hear a voice note. The chat waits, and no other.
func (e *Engine) listen(in Incoming, l session.Listening) (*session.Heard, error) {
	p, ok := e.cfg.Port.(Listener)
	if !ok {
		return &session.Heard{Fail: session.HeardNoEngine}, nil
	}
	var heard session.Heard
	err := e.outside("a voice note", func(ctx context.Context) (err error) {
		heard, err = p.Listen(ctx, in, l)
		return err
	})
	if err == nil {
		e.cfg.Meter.Listened(heard.Fail)
	}
	return &heard, err
}

// fetchPhoto has the adapter fetch a photo.
func (e *Engine) fetchPhoto(in Incoming) ([]byte, *session.Photo, error) {
	p, ok := e.cfg.Port.(Fetcher)
	if !ok {
		return nil, &session.Photo{Fail: session.PhotoBusy}, nil
	}
	var jpeg []byte
	var fail session.PhotoFail
	err := e.outside("a photo", func(ctx context.Context) (err error) {
		jpeg, fail, err = p.FetchPhoto(ctx, in)
		return err
	})
	switch {
	case err != nil:
		return nil, nil, err
	case fail == "" && len(jpeg) > store.MaxPhoto:
		fail = session.PhotoLarge
	case fail == "" && len(jpeg) == 0:
		fail = session.PhotoBroken
	}
	if fail != "" {
		return nil, &session.Photo{Fail: fail}, nil
	}
	return jpeg, &session.Photo{Hash: session.HashOf(jpeg), Size: len(jpeg)}, nil
}

// outside asks the adapter for what is not in an update, until it answers or
// the engine closes. Then the message stays in the inbox and is heard on the
// next start.
func (e *Engine) outside(what string, ask func(context.Context) error) error {
	for attempt := 0; ; attempt++ {
		err := e.outsideOnce(ask)
		var panicked *PanicError
		switch {
		case err == nil:
			return nil
		case e.isClosing():
			return ErrClosed
		case errors.As(err, &panicked):
			return err
		}
		e.log.Warn("cannot get at what was sent; it will be tried again", "what", what, "attempt", attempt+1, "err", err)
		if !e.pause(backoff(attempt, sendRetry, sendRetryMost)) {
			return ErrClosed
		}
	}
}

func (e *Engine) outsideOnce(ask func(context.Context) error) (err error) {
	select {
	case e.ears <- struct{}{}:
	case <-e.closing:
		return ErrClosed
	}
	defer func() { <-e.ears }()
	defer func() {
		if p := recover(); p != nil {
			err = &PanicError{p, debug.Stack()}
		}
	}()
	return ask(e.hearCtx)
}
