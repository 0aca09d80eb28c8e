package voice

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

const (
	// wavPCM is the WAVE format of plain samples.
	wavPCM = 1
	// longestWAV is how many bytes of a WAVE file are read: ten minutes of
	// stereo at 48 kHz.
	longestWAV = 10 * 60 * 48000 * 2 * 2
)

// WriteWAV writes sound as a WAVE file of 16-bit PCM, mono, at its own rate.
func WriteWAV(w io.Writer, s Sound) error {
	size := 2 * len(s.Samples)
	var b bytes.Buffer
	b.Grow(44 + size)
	b.WriteString("RIFF")
	for _, part := range []any{
		uint32(36 + size), []byte("WAVEfmt "), uint32(16),
		uint16(wavPCM), uint16(1), uint32(s.Rate), uint32(2 * s.Rate), uint16(2), uint16(16),
		[]byte("data"), uint32(size), s.Samples,
	} {
		if err := binary.Write(&b, binary.LittleEndian, part); err != nil {
			return err
		}
	}
	_, err := w.Write(b.Bytes())
	return err
}

// ReadWAV reads a WAVE file of 16-bit PCM, mono or stereo, at 8 to 48 kHz, and
// brings it to mono sound of 16 kHz. A file whose sizes are not known, as a
// program writes it into a pipe, is read to its end. At most ten minutes are
// read. Errors say what the file has instead; [ErrEmpty] where it has no
// sample.
func ReadWAV(r io.Reader) (Sound, error) {
	data, err := io.ReadAll(io.LimitReader(r, longestWAV+1))
	if err != nil {
		return Sound{}, err
	}
	if len(data) > longestWAV {
		return Sound{}, ErrLong
	}
	if len(data) < 12 || string(data[:4]) != "RIFF" || string(data[8:12]) != "WAVE" {
		return Sound{}, errors.New("not a WAVE file")
	}
	var format []byte
	for at := 12; at+8 <= len(data); {
		name, size := string(data[at:at+4]), int64(binary.LittleEndian.Uint32(data[at+4:]))
		body := data[at+8:]
		body = body[:min(size, int64(len(body)))]
		switch name {
		case "fmt ":
			format = body
		case "data":
			return readPCM(format, body)
		}
		at += 8 + len(body) + len(body)%2
	}
	return Sound{}, errors.New("a WAVE file without samples")
}

// readPCM reads the samples of a WAVE file as its format says.
func readPCM(format, body []byte) (Sound, error) {
	if len(format) < 16 {
		return Sound{}, errors.New("a WAVE file without its format")
	}
	kind := binary.LittleEndian.Uint16(format)
	channels := int(binary.LittleEndian.Uint16(format[2:]))
	rate := int(binary.LittleEndian.Uint32(format[4:]))
	bits := binary.LittleEndian.Uint16(format[14:])
	if kind != wavPCM || bits != 16 || channels < 1 || channels > 2 || rate < 8000 || rate > 48000 {
		return Sound{}, fmt.Errorf("WAVE format %d, %d bits, %d channels at %d Hz: not 16-bit PCM, mono or stereo, at 8 to 48 kHz",
			kind, bits, channels, rate)
	}
	mono := make([]float64, len(body)/(2*channels))
	for i := range mono {
		for c := range channels {
			mono[i] += float64(int16(binary.LittleEndian.Uint16(body[2*(i*channels+c):])))
		}
		mono[i] /= float64(channels)
	}
	if len(mono) == 0 {
		return Sound{}, ErrEmpty
	}
	samples := resample(mono, rate)
	out := Sound{Samples: make([]int16, len(samples)), Rate: soundRate}
	for i, v := range samples {
		out.Samples[i] = clip(v)
	}
	return out, nil
}

// resample brings samples of one rate to soundRate, by a windowed sinc that
// also takes away what the new rate cannot hold (Smith, Digital Audio
// Resampling, "windowed sinc interpolation"; from memory).
func resample(in []float64, rate int) []float64 {
	if rate == soundRate {
		return in
	}
	// crossings is how many zeros of the sinc the window spans on each side.
	const crossings = 16
	step := float64(rate) / soundRate
	cut := min(1, 1/step) // of the half of the old rate
	reach := crossings / cut
	out := make([]float64, int(math.Ceil(float64(len(in))/step)))
	for i := range out {
		at := float64(i) * step
		var sum, weight float64
		for k := int(math.Ceil(at - reach)); k <= int(math.Floor(at+reach)); k++ {
			x := at - float64(k)
			w := 0.5 + 0.5*math.Cos(math.Pi*x/reach)
			if a := math.Pi * cut * x; a != 0 {
				w *= math.Sin(a) / a
			}
			weight += w
			if k >= 0 && k < len(in) {
				sum += w * in[k]
			}
		}
		out[i] = sum / weight
	}
	return out
}
