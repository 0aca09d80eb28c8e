package voice

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// wavFile is a WAVE file of 16-bit PCM with more than one channel.
func wavFile(rate, channels int, samples []int16) []byte {
	var b bytes.Buffer
	if err := WriteWAV(&b, Sound{samples, rate}); err != nil {
		panic(err)
	}
	file := b.Bytes()
	binary.LittleEndian.PutUint16(file[22:], uint16(channels))
	return file
}

func TestWAVThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := Sound{rapid.SliceOfN(rapid.Int16(), 1, 200).Draw(t, "samples"), soundRate}
		var b bytes.Buffer
		if err := WriteWAV(&b, want); err != nil {
			t.Fatal(err)
		}
		got, err := ReadWAV(&b)
		if err != nil || got.Rate != want.Rate || !slices.Equal(got.Samples, want.Samples) {
			t.Fatalf("%v, %v; want %v", got, err, want)
		}
	})
}

// TestWAVBytes holds what is written against the layout of a WAVE file as
// Microsoft and IBM published it (Multimedia Programming Interface and Data
// Specifications 1.0, 1991; from memory), byte by byte.
func TestWAVBytes(t *testing.T) {
	want := "RIFF\x28\x00\x00\x00WAVEfmt \x10\x00\x00\x00\x01\x00\x01\x00\x80\x3e\x00\x00\x00\x7d\x00\x00\x02\x00\x10\x00data\x04\x00\x00\x00\x01\x00\xff\xff"
	if got := wavFile(soundRate, 1, []int16{1, -1}); string(got) != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestReadWAVRates reads a tone at other rates, and holds it against the same
// tone worked out at 16 kHz: what is left between is 40 dB below it. A tone
// that 16 kHz cannot hold is gone.
func TestReadWAVRates(t *testing.T) {
	for _, rate := range []int{8000, 11025, 16000, 22050, 44100, 48000} {
		for _, channels := range []int{1, 2} {
			for _, hz := range []float64{300, 3000, 10000} {
				if hz > float64(rate)/2 {
					continue
				}
				in := make([]int16, rate/5*channels)
				for i := range in {
					in[i] = clip(10000 * math.Sin(2*math.Pi*hz*float64(i/channels)/float64(rate)))
				}
				got, err := ReadWAV(bytes.NewReader(wavFile(rate, channels, in)))
				if err != nil {
					t.Fatal(err)
				}
				if n := soundRate / 5; got.Rate != soundRate || len(got.Samples) < n-1 || len(got.Samples) > n+1 {
					t.Fatalf("%d Hz: %d samples at %d Hz", rate, len(got.Samples), got.Rate)
				}
				var off, all float64
				// At the ends the sound begins and stops, which is no tone.
				for i := 400; i < len(got.Samples)-400; i++ {
					want := 10000 * math.Sin(2*math.Pi*hz*float64(i)/soundRate)
					all += want * want
					if hz > soundRate/2 {
						want = 0
					}
					off += (float64(got.Samples[i]) - want) * (float64(got.Samples[i]) - want)
				}
				if db := 10 * math.Log10(off/all); db > -40 {
					t.Errorf("%.0f Hz read at %d Hz, %d channels: %.1f dB off", hz, rate, channels, db)
				}
			}
		}
	}
}

// TestReadWAVRefuses reads files that are none, or of another kind.
func TestReadWAVRefuses(t *testing.T) {
	whole := wavFile(soundRate, 1, make([]int16, 100))
	changed := func(at int, b byte) []byte {
		f := slices.Clone(whole)
		f[at] = b
		return f
	}
	for name, file := range map[string][]byte{
		"nothing": nil, "no WAVE": changed(8, 'X'), "floats": changed(20, 3), "no channel": changed(22, 0),
		"three channels": changed(22, 3), "96 kHz": wavFile(96000, 1, make([]int16, 10)), "4 kHz": wavFile(4000, 1, make([]int16, 10)),
		"8 bits": changed(34, 8), "no format": slices.Concat(whole[:12], whole[36:]), "no samples": whole[:36], "no format's end": whole[:30],
	} {
		if s, err := ReadWAV(bytes.NewReader(file)); err == nil || s.Samples != nil {
			t.Errorf("%s: %d samples, error %v", name, len(s.Samples), err)
		}
	}
	if _, err := ReadWAV(bytes.NewReader(whole[:44])); !errors.Is(err, ErrEmpty) {
		t.Errorf("no sample: %v, want %v", err, ErrEmpty)
	}
	// A program that writes into a pipe does not know how long the sound will
	// be, and claims the longest; there may be other parts before the sound.
	pipe := slices.Concat(whole[:36], []byte("LIST\x03\x00\x00\x00abc\x00"), whole[36:])
	binary.LittleEndian.PutUint32(pipe[36+12+4:], 0x7ffff000)
	if s, err := ReadWAV(bytes.NewReader(pipe)); err != nil || len(s.Samples) != 100 {
		t.Errorf("from a pipe: %d samples, %v", len(s.Samples), err)
	}
}

// TestReadWAVAnything: no bytes bring it down.
func TestReadWAVAnything(t *testing.T) {
	whole := wavFile(22050, 1, make([]int16, 30))
	rapid.Check(t, func(t *rapid.T) {
		file := slices.Clone(whole)
		for range rapid.IntRange(0, 8).Draw(t, "changes") {
			file[rapid.IntRange(0, len(file)-1).Draw(t, "at")] = rapid.Byte().Draw(t, "byte")
		}
		file = file[:rapid.IntRange(0, len(file)).Draw(t, "length")]
		if s, err := ReadWAV(bytes.NewReader(file)); err == nil && s.Rate != soundRate {
			t.Fatalf("rate %d", s.Rate)
		}
	})
}
