package term

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"time"

	"rodcall/session/engine"
	"rodcall/session/store"
)

// Options of Play and of Chat.
type Options struct {
	DB       string // the file; made where there is none
	Pictures string // folder for the pictures; see Play and Chat for ""
	In       io.Reader
	Out      io.Writer
	Hear     engine.Hear  // session.Hear if nil
	Log      *slog.Logger // nothing is logged if nil
	// Now is the clock of Chat, time.Now if nil. Play has its own.
	Now func() time.Time
}

// desk is an open file with an engine on it.
type desk struct {
	o     Options
	store *store.Store
	eng   *engine.Engine
	port  *port
	phone *phone
	now   func() time.Time
	lost  error // the last message that could not be heard
}

// openDesk opens everything, and waits until what was left from before is
// heard and sent.
func openDesk(ctx context.Context, o Options, now func(*phone) time.Time) (*desk, error) {
	d := &desk{o: o, port: &port{out: o.Out, pictures: o.Pictures}}
	if err := d.open(ctx, now); err != nil {
		return nil, err
	}
	return d, nil
}

func (d *desk) open(ctx context.Context, now func(*phone) time.Time) error {
	s, err := store.Open(d.o.DB, store.Options{})
	if err != nil {
		return err
	}
	var cursor []byte
	err = s.View(func(tx *store.Tx) error { cursor = tx.Cursor(); return nil })
	if err == nil {
		d.phone, err = newPhone(cursor)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("open %s: %w", d.o.DB, err), s.Close())
	}
	p := d.phone
	d.now = func() time.Time { return now(p) }
	d.port.phone = p
	d.eng, err = engine.Start(engine.Config{
		Store: s, Port: d.port, Hear: d.o.Hear, Log: d.o.Log, Now: d.now,
		Alert: func(err error) { d.lost = err },
	})
	if err != nil {
		return errors.Join(err, s.Close())
	}
	d.store = s
	return d.settle(ctx)
}

// settle waits until everything is heard and sent.
func (d *desk) settle(ctx context.Context) error {
	if err := d.eng.Wait(ctx); err != nil {
		return err
	}
	d.port.mu.Lock()
	defer d.port.mu.Unlock()
	if d.port.err != nil {
		return fmt.Errorf("show a reply: %w", d.port.err)
	}
	if err := d.lost; err != nil {
		d.lost = nil
		return fmt.Errorf("%w; it is kept in %s", err, d.o.DB)
	}
	return nil
}

// deliver gives an update to the engine and waits for all that comes of it.
func (d *desk) deliver(ctx context.Context, u engine.Update) error {
	cursor, err := d.phone.cursor()
	if err != nil {
		return err
	}
	if err := d.eng.Receive([]engine.Update{u}, cursor); err != nil {
		return err
	}
	return d.settle(ctx)
}

// closeIn is how long what was begun may take to end.
const closeIn = 10 * time.Second

// close keeps what the phone shows, and closes everything.
func (d *desk) close() error {
	cursor, err := d.phone.cursor()
	if err == nil {
		err = d.eng.Receive(nil, cursor)
	}
	ctx, cancel := context.WithTimeout(context.Background(), closeIn)
	defer cancel()
	return errors.Join(err, d.eng.Close(ctx), d.store.Close())
}
