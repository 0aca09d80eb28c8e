package reduce

import "testing"

// TestSplitMix64 checks the first numbers of seed 1234567, as widely published
// for this generator; from memory.
func TestSplitMix64(t *testing.T) {
	s := splitMix64(1234567)
	for i, want := range []uint64{6457827717110365317, 3203168211198807973, 9817491932198370423} {
		if got := s.next(); got != want {
			t.Errorf("number %d: %d, want %d", i+1, got, want)
		}
	}
}
