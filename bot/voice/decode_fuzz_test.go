package voice

import (
	"encoding/binary"
	"errors"
	"slices"
	"testing"
	"time"
)

// seal puts the checksum into every page of a stream that needs one (RFC 3533,
// section 6): without it next to no change of a byte comes further than there.
func seal(note []byte) []byte {
	note = slices.Clone(note)
	for at := 0; at+27 <= len(note) && string(note[at:at+4]) == "OggS"; {
		segments := int(note[at+26])
		end := at + 27 + segments
		if end > len(note) {
			break
		}
		for _, n := range note[at+27 : end] {
			end += int(n)
		}
		if end > len(note) {
			break
		}
		clear(note[at+22 : at+26])
		var sum uint32
		for _, b := range note[at:end] {
			sum ^= uint32(b) << 24
			for range 8 {
				if sum&(1<<31) != 0 {
					sum = sum<<1 ^ 0x04c11db7
				} else {
					sum <<= 1
				}
			}
		}
		binary.LittleEndian.PutUint32(note[at+22:], sum)
		at = end
	}
	return note
}

// FuzzDecode decodes any bytes, as they are and with checksums put right:
// either there is sound, no more than allowed, or one of the three errors.
func FuzzDecode(f *testing.F) {
	for _, name := range []string{"note.opus", "tone.opus"} {
		f.Add(read(f, name))
	}
	f.Add([]byte("OggS"))
	const limit = 3 * time.Second
	f.Fuzz(func(t *testing.T, note []byte) {
		for _, note := range [][]byte{note, seal(note)} {
			s, err := Decode(note, limit)
			if err != nil {
				if !errors.Is(err, ErrEmpty) && !errors.Is(err, ErrLong) && !errors.Is(err, ErrBroken) {
					t.Errorf("error of no known kind: %v", err)
				}
				if s.Samples != nil {
					t.Error("sound beside an error")
				}
				continue
			}
			if s.Rate != soundRate || s.Length() <= 0 || s.Length() > limit {
				t.Errorf("%v at %d Hz", s.Length(), s.Rate)
			}
		}
	})
}
