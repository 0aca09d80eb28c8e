package voice

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"time"

	"github.com/pion/opus"
	"github.com/pion/opus/pkg/oggreader"
)

// What is wrong with a note. The error that [Decode] returns wraps one of
// these and its cause.
var (
	ErrEmpty  = errors.New("the note holds no sound")
	ErrLong   = errors.New("the note is too long")
	ErrBroken = errors.New("the note cannot be decoded")
)

const (
	// opusClock is the rate in which an OGG/Opus stream counts its samples,
	// whatever rate it was made of (RFC 7845, section 4).
	opusClock = 48000
	// longestPacket is how much sound one packet may hold, in samples of ours:
	// 120 ms (RFC 6716, section 3.1).
	longestPacket = soundRate * 120 / 1000
)

// Decode decodes a voice note, which is Opus in OGG (RFC 6716, RFC 7845), to
// mono sound of 16 kHz. A note that holds more sound than limit is not decoded
// further than that. A note that breaks off is not given in part: half of what
// was said can be another reading.
//
// Errors: [ErrEmpty] where there is no sound in it, [ErrLong] beyond the limit,
// [ErrBroken] with its cause where it is not one whole stream of Opus in OGG,
// of one or two channels.
func Decode(note []byte, limit time.Duration) (Sound, error) {
	if len(note) == 0 {
		return Sound{}, ErrEmpty
	}
	end, err := lastGranule(note)
	if err != nil {
		return Sound{}, fmt.Errorf("%w: %w", ErrBroken, err)
	}
	if len(note) > bytesIn(limit) {
		return Sound{}, ErrLong
	}
	samples, head, err := decodePackets(note, samplesIn(limit))
	if err != nil {
		return Sound{}, err
	}
	// The first samples only bring the decoder into its state, and the last
	// packet is filled up: both are cut off (RFC 7845, sections 4.2 and 4.4).
	skip := int(head.PreSkip) / (opusClock / soundRate)
	if end != math.MaxUint64 && end/(opusClock/soundRate) < uint64(len(samples)) {
		samples = samples[:end/(opusClock/soundRate)]
	}
	samples = samples[min(skip, len(samples)):]
	if len(samples) == 0 {
		return Sound{}, ErrEmpty
	}
	if len(samples) > samplesIn(limit) {
		return Sound{}, ErrLong
	}
	amplify(samples, float64(int16(head.OutputGain))/256)
	return Sound{Samples: samples, Rate: soundRate}, nil
}

// samplesIn is how many samples last as long as d.
func samplesIn(d time.Duration) int {
	return int(d.Seconds() * soundRate)
}

// bytesIn is more than a note of length d can have, at the highest rate that
// there is (510 kbit/s; RFC 6716, section 2.1.1), with its pages and tags.
func bytesIn(d time.Duration) int {
	return int(d.Seconds()*640e3/8) + 64<<10
}

// decodePackets decodes all packets of a note, or stops with ErrLong where they
// hold more than limit samples, whatever is cut off at both ends.
func decodePackets(note []byte, limit int) ([]int16, *oggreader.OggHeader, error) {
	broken := func(err error) ([]int16, *oggreader.OggHeader, error) {
		return nil, nil, fmt.Errorf("%w: %w", ErrBroken, err)
	}
	reader, head, err := oggreader.NewWith(bytes.NewReader(note))
	if err != nil {
		return broken(err)
	}
	if head.ChannelMap != 0 || head.Channels < 1 || head.Channels > 2 {
		return broken(fmt.Errorf("%d channels, mapped as family %d", head.Channels, head.ChannelMap))
	}
	decoder, err := opus.NewDecoderWithOutput(soundRate, 1)
	if err != nil {
		return broken(err)
	}
	// What the first packet skips and the last is filled up with counts as
	// well until it is cut off.
	limit += int(head.PreSkip)/(opusClock/soundRate) + longestPacket
	var samples []int16
	packet := make([]int16, longestPacket)
	for tags := true; ; tags = false {
		data, _, err := reader.ParseNextPacket()
		if errors.Is(err, io.EOF) {
			return samples, head, nil
		}
		if err != nil {
			return broken(err)
		}
		if tags {
			if !bytes.HasPrefix(data, []byte("OpusTags")) {
				return broken(errors.New("no OpusTags after the head"))
			}
			continue
		}
		n, err := decoder.DecodeToInt16(data, packet)
		if err != nil {
			return broken(err)
		}
		if samples = append(samples, packet[:n]...); len(samples) > limit {
			return nil, nil, ErrLong
		}
	}
}

// amplify makes samples louder by so many decibels, as the head of a stream
// may ask for (RFC 7845, section 5.1).
func amplify(samples []int16, decibels float64) {
	if decibels == 0 {
		return
	}
	factor := math.Pow(10, decibels/20)
	for i, v := range samples {
		samples[i] = clip(float64(v) * factor)
	}
}

// clip is the sample nearest to v.
func clip(v float64) int16 {
	return int16(math.Round(max(math.MinInt16, min(math.MaxInt16, v))))
}

// lastGranule walks over the pages of an OGG stream (RFC 3533, section 6) and
// returns where the last packet ends, counted at opusClock; math.MaxUint64 where
// none does. It is an error where a page belongs to another stream than the
// first, beside it or after it: the reader of packets would take both for one.
func lastGranule(note []byte) (uint64, error) {
	const header = 27
	end := uint64(math.MaxUint64)
	var serial uint32
	for at := 0; at < len(note); {
		page := note[at:]
		if len(page) < header || string(page[:4]) != "OggS" {
			return 0, fmt.Errorf("no OGG page at byte %d", at)
		}
		s := binary.LittleEndian.Uint32(page[14:])
		const begins = 2 // a flag: a stream begins here
		if at == 0 {
			serial = s
		} else if s != serial || page[5]&begins != 0 {
			return 0, errors.New("more than one stream in it")
		}
		if g := binary.LittleEndian.Uint64(page[6:]); g != math.MaxUint64 {
			end = g
		}
		segments := int(page[26])
		if len(page) < header+segments {
			return 0, io.ErrUnexpectedEOF
		}
		at += header + segments
		for _, n := range page[header : header+segments] {
			at += int(n)
		}
		if at > len(note) {
			return 0, io.ErrUnexpectedEOF
		}
	}
	return end, nil
}
