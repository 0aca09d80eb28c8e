package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"runtime/debug"
	"strconv"
	"sync/atomic"
	"time"

	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// Format is the newest format of a file that this program knows, and the one
// it writes; minReader is the oldest that a program must know to open what it
// writes.
const (
	Format    = 2
	minReader = 2
)

var (
	bucketMeta     = []byte("meta")
	bucketInbox    = []byte("inbox")
	bucketSeen     = []byte("seen")
	bucketLog      = []byte("log")
	bucketHeader   = []byte("header")
	bucketChat     = []byte("chat")
	bucketTalk     = []byte("talk")
	bucketOutbox   = []byte("outbox")
	bucketLive     = []byte("live")
	bucketParked   = []byte("parked")
	bucketSent     = []byte("sent")
	bucketHeard    = []byte("heard")
	bucketPeople   = []byte("people")
	bucketPlatform = []byte("platform")
	bucketDead     = []byte("dead")
	bucketAccess   = []byte("access")
	bucketPhotos   = []byte("photos")

	buckets = [][]byte{
		bucketMeta, bucketInbox, bucketSeen, bucketLog, bucketHeader, bucketChat, bucketTalk, bucketOutbox,
		bucketLive, bucketParked, bucketSent, bucketHeard, bucketPeople, bucketPlatform, bucketDead, bucketAccess, bucketPhotos,
	}

	keyFormat    = []byte("format")
	keyMinReader = []byte("min_reader")
	keyCursor    = []byte("cursor")
)

// Options of Open.
type Options struct {
	// Timeout is how long to wait for another process to let go of the file;
	// 0 is one second.
	Timeout time.Duration
	// ReadOnly opens a file that exists, together with other readers, and
	// changes nothing.
	ReadOnly bool
}

// Store is an open file. Its methods may be called from several goroutines;
// there is one writing transaction at a time.
type Store struct {
	db   *bbolt.DB
	file *os.File    // db's own
	mine os.FileInfo // of file
	page int         // its pages' size in bytes
	path string
	// sweep is where the next look for update ids to forget begins; only
	// writing transactions touch it.
	sweep []byte
	left  int    // the number of the newest one, 0 where there was none yet
	kept  string // see Kept
	// broken is why nothing is written any more, nil where it is. stuck says that
	// locks of the file are held for good: there is no reading either, nor closing.
	broken atomic.Pointer[error]
	stuck  atomic.Bool
	// fault, in tests, fails a transaction just before it would be durable.
	fault func() error
}

// Open opens the file, and makes it where there is none.
func Open(path string, o Options) (*Store, error) {
	if o.Timeout <= 0 {
		o.Timeout = time.Second
	}
	if info, err := os.Stat(path); err == nil {
		if err := noFile(path, info, o.ReadOnly); err != nil {
			return nil, err
		}
	}
	db, file, err := open(path, o)
	if err != nil {
		return nil, err
	}
	mine, err := file.Stat()
	if err != nil {
		return nil, errors.Join(err, db.Close())
	}
	s := &Store{db: db, file: file, mine: mine, path: path, page: db.Info().PageSize}
	// What a damaged page makes of bbolt is caught: the file is not ours to read.
	if err := guarded(func() error { return s.prepare(path, o.ReadOnly) }); err != nil {
		return nil, errors.Join(s.damaged(err), db.Close())
	}
	return s, nil
}

// noFile says whether what is at a path cannot be a file of ours, whatever it holds.
// An empty one is made into one where it is not only read.
func noFile(path string, info fs.FileInfo, onlyRead bool) error {
	switch {
	case info.IsDir():
		return &ForeignError{Path: path, Why: "this is a folder"}
	case onlyRead && info.Mode().IsRegular() && info.Size() == 0:
		return &ForeignError{Path: path, Why: "the file is empty"}
	}
	return nil
}

// open turns what bbolt makes of a file into words for the operator. A file
// cut short makes it fault on memory beyond the file's end: that is caught.
func open(path string, o Options) (db *bbolt.DB, f *os.File, err error) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		if p := recover(); p != nil {
			db, f, err = nil, nil, &DamagedError{Path: path, Why: fmt.Sprint(p)}
		}
	}()
	db, err = bbolt.Open(path, 0o600, &bbolt.Options{
		OpenFile: func(name string, flag int, perm os.FileMode) (_ *os.File, err error) {
			f, err = os.OpenFile(name, flag, perm)
			return f, err
		},
		Timeout:      o.Timeout,
		ReadOnly:     o.ReadOnly,
		FreelistType: bbolt.FreelistMapType,
		NoStatistics: true,
	})
	switch {
	case err == nil:
	case errors.Is(err, berrors.ErrTimeout):
		return nil, nil, &BusyError{Path: path}
	case errors.Is(err, berrors.ErrInvalid), errors.Is(err, berrors.ErrVersionMismatch), errors.Is(err, berrors.ErrChecksum):
		return nil, nil, &ForeignError{Path: path, Why: "this is no rodcall file", Err: err}
	default:
		var pe *fs.PathError
		if errors.As(err, &pe) {
			return nil, nil, err // says "open PATH: why" by itself
		}
		// bbolt makes a file of four pages, and has no error of its own for
		// one that ends before the third.
		if info, serr := os.Stat(path); serr == nil && info.Mode().IsRegular() && info.Size() < int64(4*os.Getpagesize()) {
			return nil, nil, &DamagedError{Path: path, Why: fmt.Sprintf("it was cut short at %d bytes", info.Size()), Err: err}
		}
		return nil, nil, fmt.Errorf("open %s: %w", path, err)
	}
	if err := sameStill(path, f); err != nil {
		return nil, nil, errors.Join(err, db.Close())
	}
	size := int64(0)
	if err := db.View(func(tx *bbolt.Tx) error { size = tx.Size(); return nil }); err != nil {
		return nil, nil, errors.Join(fmt.Errorf("open %s: %w", path, err), db.Close())
	}
	if info, err := os.Stat(path); err == nil && info.Size() < size {
		return nil, nil, errors.Join(&DamagedError{Path: path, Size: size, Why: fmt.Sprintf("it was cut short at %d of %d bytes", info.Size(), size)}, db.Close())
	}
	return db, f, nil
}

// sameStill says whether a file is the one at its path: while its lock was waited
// for another may have taken its place, and this one would be written in vain.
func sameStill(path string, f *os.File) error {
	mine, err := f.Stat()
	if err != nil {
		return fmt.Errorf("open %s: %w", path, err)
	}
	if now, err := os.Stat(path); err != nil || !os.SameFile(mine, now) {
		return fmt.Errorf("open %s: another file took its place just now; try again", path)
	}
	return nil
}

// prepare reads what the file says of itself, and sets up a new one.
func (s *Store) prepare(path string, readOnly bool) error {
	empty, format := false, Format
	err := s.db.View(func(tx *bbolt.Tx) error {
		meta := tx.Bucket(bucketMeta)
		if meta == nil || meta.Get(keyFormat) == nil {
			first, _ := tx.Cursor().First()
			empty = first == nil
			if empty && !readOnly {
				return nil
			}
			why := "this is a database of another program"
			if empty {
				why = "the file holds nothing yet"
			}
			return &ForeignError{Path: path, Why: why}
		}
		var err error
		format, err = strconv.Atoi(string(meta.Get(keyFormat)))
		if err != nil || format < 1 {
			return &ForeignError{Path: path, Why: "this is a database of another program", Err: err}
		}
		reader, err := strconv.Atoi(string(meta.Get(keyMinReader)))
		if err != nil {
			return &ForeignError{Path: path, Why: "this is a database of another program", Err: err}
		}
		if reader > Format {
			return &NewerError{Path: path, Format: format, MinReader: reader}
		}
		if readOnly {
			for _, b := range partsOf(format) {
				if tx.Bucket(b) == nil {
					return &DamagedError{Path: path, Why: fmt.Sprintf("the part %q is missing", b)}
				}
			}
		}
		return nil
	})
	if err != nil || readOnly {
		return err
	}
	if err := s.migrate(format); err != nil {
		return err
	}
	err = s.db.Update(func(tx *bbolt.Tx) error {
		for _, b := range buckets {
			if _, err := tx.CreateBucketIfNotExists(b); err != nil {
				return fmt.Errorf("open %s: %w", path, err)
			}
		}
		if !empty {
			return nil
		}
		return mark(tx, Format, minReader)
	})
	if err != nil || !empty {
		return err
	}
	syncFolder(path)
	return nil
}

// Close closes the file. It waits for transactions to end, but for those that a
// damaged page caught: then only the end of the program closes it.
func (s *Store) Close() error {
	if s.stuck.Load() {
		return nil
	}
	return s.db.Close()
}

// Path is where the file is, as it was given to Open.
func (s *Store) Path() string { return s.path }
