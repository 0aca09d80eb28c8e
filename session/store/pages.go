package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
)

// This file reads the pages of a bbolt file by itself, with every length held
// against what is there: bbolt trusts them, and a damaged one can end the program
// that reads it. Offsets and flags are those of bbolt's format, version 2.
const (
	pageHead    = 16 // id 8, flags 2, count 2, overflow 4
	elementSize = 16 // branch: pos 4, key size 4, page 8; leaf: flags 4, pos 4, key size 4, value size 4
	bucketHead  = 16 // root page 8, sequence 8

	flagBranch = 0x01
	flagLeaf   = 0x02
	flagMeta   = 0x04
	flagFree   = 0x10

	leafBucket = 0x01 // the value is a bucket

	boltMagic   = 0xED0CDAED
	boltVersion = 2
)

// pages is a bbolt file, read page by page.
type pages struct {
	file *os.File
	size int    // of a page, 0 before it is known
	long int64  // the file's length, 0 before it is known
	all  uint64 // how many there are
	root uint64 // of the bucket of buckets
	free uint64 // of the list of free pages; all ones for none
	// seen are pages that were read: none belongs to two places.
	seen map[uint64]bool
}

// openPages opens a file of the newest state that its two heads tell.
func openPages(path string) (p *pages, err error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	if err == nil {
		err = noFile(path, info, true)
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	p = &pages{file: f, seen: map[uint64]bool{}}
	if err := p.heads(); err != nil {
		return nil, errors.Join(&ForeignError{Path: path, Why: "this is no rodcall file", Err: err}, f.Close())
	}
	return p, nil
}

// heads reads the two pages that say where all begins, and takes the newer.
func (p *pages) heads() error {
	if p.long == 0 {
		info, err := p.file.Stat()
		if err != nil {
			return err
		}
		p.long = info.Size()
	}
	newest, found := uint64(0), false
	// A page is as large as the machine's that made it.
	least, most := 1<<10, 1<<16
	if p.size != 0 {
		least, most = p.size, p.size
	}
	const head = pageHead + 64
	both := make([]byte, most+head)
	n, _ := p.file.ReadAt(both, 0) // what cannot be read is no head
	for size := least; size <= most; size *= 2 {
		for i := range 2 {
			if i*size+head > n {
				continue
			}
			b := both[i*size:]
			m := b[pageHead:]
			if u16(b[8:])&flagMeta == 0 || u32(m) != boltMagic || u32(m[4:]) != boltVersion || u32(m[8:]) != uint32(size) || fnv(m[:56]) != u64(m[56:]) {
				continue
			}
			if txid := u64(m[48:]); !found || txid >= newest {
				newest, found = txid, true
				p.size, p.root, p.free, p.all = size, u64(m[16:]), u64(m[32:]), u64(m[40:])
			}
		}
	}
	if !found {
		return errors.New("neither of its heads is whole")
	}
	if have := uint64(p.long) / uint64(p.size); have < p.all { //nolint:gosec // a file's size
		p.all = have
	}
	return nil
}

// freeList looks at the head of the list of free pages. A writing transaction of
// bbolt's gives all pages of the old list back, as many as stand there: a damaged
// one can say four thousand million.
func (p *pages) freeList() error {
	if p.free == ^uint64(0) {
		return nil
	}
	head := make([]byte, pageHead)
	if p.free < 2 || p.free >= p.all {
		return fmt.Errorf("page %d is not in the file", p.free)
	}
	if _, err := p.file.ReadAt(head, int64(p.free)*int64(p.size)); err != nil { //nolint:gosec // smaller than the file
		return fmt.Errorf("page %d: %w", p.free, err)
	}
	if u64(head) != p.free || u16(head[8:]) != flagFree || p.free+uint64(u32(head[12:])) >= p.all {
		return fmt.Errorf("page %d is no list of free pages", p.free)
	}
	return nil
}

func u16(b []byte) uint16 { return binary.NativeEndian.Uint16(b) }
func u32(b []byte) uint32 { return binary.NativeEndian.Uint32(b) }
func u64(b []byte) uint64 { return binary.NativeEndian.Uint64(b) }

// fnv is the FNV-1a hash, which a head ends with.
func fnv(b []byte) uint64 {
	h := uint64(14695981039346656037)
	for _, c := range b {
		h = (h ^ uint64(c)) * 1099511628211
	}
	return h
}

func (p *pages) close() error { return p.file.Close() }

// page reads a page with what follows it.
func (p *pages) page(id uint64) ([]byte, error) {
	head := make([]byte, pageHead)
	if id < 2 || id >= p.all {
		return nil, fmt.Errorf("page %d is not in the file", id)
	}
	if p.seen[id] {
		return nil, fmt.Errorf("page %d is led to twice", id)
	}
	p.seen[id] = true
	if _, err := p.file.ReadAt(head, int64(id)*int64(p.size)); err != nil { //nolint:gosec // smaller than the file
		return nil, fmt.Errorf("page %d: %w", id, err)
	}
	more := uint64(u32(head[12:]))
	switch {
	case u64(head) != id:
		return nil, fmt.Errorf("page %d says that it is page %d", id, u64(head))
	case id+more >= p.all:
		return nil, fmt.Errorf("page %d says that it goes on for %d pages", id, more)
	}
	b := make([]byte, (1+int(more))*p.size)                                                                        //nolint:gosec // bounded above
	if _, err := io.ReadFull(io.NewSectionReader(p.file, int64(id)*int64(p.size), int64(len(b))), b); err != nil { //nolint:gosec // bounded above
		return nil, fmt.Errorf("page %d: %w", id, err)
	}
	return b, nil
}

// row is a row of a bucket; a bucket within it has no value.
type pageRow struct {
	key, value []byte
	bucket     bool
}

// rows calls row for each row of a bucket whose root page is id, and bad for each
// page that cannot be read, going on with the next.
func (p *pages) rows(id uint64, row func(pageRow), bad func(error)) {
	b, err := p.page(id)
	if err != nil {
		bad(err)
		return
	}
	p.of(b, fmt.Sprintf("page %d", id), row, bad)
}

// of does what rows does for a page in hand.
func (p *pages) of(b []byte, name string, row func(pageRow), bad func(error)) {
	flags, count := u16(b[8:]), int(u16(b[10:]))
	if flags != flagBranch && flags != flagLeaf {
		bad(fmt.Errorf("%s is neither branch nor leaf", name))
		return
	}
	if pageHead+count*elementSize > len(b) {
		bad(fmt.Errorf("%s says that it has %d rows", name, count))
		return
	}
	var last []byte
	for i := range count {
		at := pageHead + i*elementSize
		e := b[at:]
		pos, ksize, vsize := uint64(u32(e)), uint64(u32(e[4:])), uint64(0)
		if flags == flagLeaf {
			pos, ksize, vsize = uint64(u32(e[4:])), uint64(u32(e[8:])), uint64(u32(e[12:]))
		}
		from := uint64(at) + pos //nolint:gosec // an index
		if from+ksize+vsize > uint64(len(b)) {
			bad(fmt.Errorf("%s, row %d is longer than the page", name, i))
			return
		}
		key := b[from : from+ksize]
		if i > 0 && string(key) <= string(last) {
			bad(fmt.Errorf("%s, row %d is out of order", name, i))
			return
		}
		last = key
		if flags == flagBranch {
			p.rows(u64(e[8:]), row, bad)
			continue
		}
		row(pageRow{key, b[from+ksize : from+ksize+vsize], u32(e)&leafBucket != 0})
	}
}

// bucket calls row for each row of a bucket that lies in the bucket of buckets,
// and returns its sequence.
func (p *pages) bucket(r pageRow, row func(pageRow), bad func(error)) (sequence uint64) {
	name := fmt.Sprintf("bucket %q", r.key)
	if !r.bucket || len(r.value) < bucketHead {
		bad(fmt.Errorf("%s is none", name))
		return 0
	}
	sequence = u64(r.value[8:])
	if root := u64(r.value); root != 0 {
		p.rows(root, row, bad)
	} else if inline := r.value[bucketHead:]; len(inline) >= pageHead && u16(inline[8:]) == flagLeaf {
		p.of(inline, name, row, bad)
	} else {
		bad(fmt.Errorf("%s cannot be read", name))
	}
	return sequence
}

// Inspect reads every page of a file's state and calls found for each that does
// not fit: one that bbolt must not be given to read. The error says that the file
// cannot be read at all, or is none.
func Inspect(path string, found func(Fault)) (err error) {
	p, err := openPages(path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, p.close()) }()
	bad := func(err error) { found(Fault{Err: err}) }
	p.rows(p.root, func(r pageRow) {
		p.bucket(r, func(in pageRow) {
			if in.bucket {
				bad(fmt.Errorf("bucket %q holds a bucket", r.key))
			}
		}, bad)
	}, bad)
	if p.free == ^uint64(0) {
		return nil
	}
	b, err := p.page(p.free)
	if err != nil {
		bad(fmt.Errorf("the list of free pages: %w", err))
		return nil
	}
	count := uint64(u16(b[10:]))
	if count == 0xFFFF { // it did not fit, and stands first in the list
		count = 1 + u64(b[pageHead:])
	}
	if u16(b[8:]) != flagFree || count > uint64(len(b)-pageHead)/8 {
		bad(errors.New("the list of free pages is none"))
	}
	return nil
}
