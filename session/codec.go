package session

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"time"
)

// Version of the envelope written now. Older ones are read up-cast; none is
// ever rewritten.
const Version = 1

// Hash is the SHA-256 of an event's bytes as stored.
type Hash [sha256.Size]byte

// String is the hash in hex.
func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// MarshalText writes hex.
func (h Hash) MarshalText() ([]byte, error) { return hex.AppendEncode(nil, h[:]), nil }

// UnmarshalText reads 64 hex digits in lower case.
func (h *Hash) UnmarshalText(b []byte) error {
	if hex.DecodedLen(len(b)) != len(h) {
		return fmt.Errorf("hash of %d digits: want %d", len(b), hex.EncodedLen(len(h)))
	}
	_, err := hex.Decode(h[:], b)
	return err
}

// HashOf is the hash of an event's bytes as stored.
func HashOf(stored []byte) Hash { return sha256.Sum256(stored) }

// envelope is an event as it is stored, around its Body or around the bytes of it.
type envelope[B any] struct {
	V    int       `json:"v"`
	Seq  uint64    `json:"seq"`
	At   time.Time `json:"at"`
	By   PersonID  `json:"by"`
	Msg  string    `json:"msg,omitempty"`
	Line int       `json:"line,omitempty"`
	Prev Hash      `json:"prev"`
	Kind string    `json:"kind"`
	Body B         `json:"body"`
}

// bodies lists every kind of event once.
var bodies = func() map[string]reflect.Type {
	m := map[string]reflect.Type{}
	for _, b := range []Body{
		Opened{}, OutlineSet{}, UnitsSet{}, SetupOpened{}, RodTaken{}, RodTested{}, RodFlipped{},
		ReferenceSet{}, Read{}, Voided{}, Restored{}, NoBeam{}, RoundEnded{}, DatumSet{}, ToleranceSet{},
		SurfaceSet{}, BoltsSet{}, KnownSet{}, WeightsSet{}, LaserPlaced{}, BudgetSet{}, LaserChecked{},
		SetupSplit{}, CheckEverySet{}, DesignSet{}, PlanSet{}, PlacesSet{}, StockSet{}, Shimmed{}, RoundOpened{},
		Signed{}, Firmed{}, Noted{}, CountSet{}, LanguageSet{},
	} {
		m[b.kind()] = reflect.TypeOf(b)
	}
	return m
}()

// Encode is an event as it is stored, prev being the hash of the one before
// it (zero for the first).
func Encode(e Event, prev Hash) ([]byte, error) {
	if e.Body == nil {
		return nil, errors.New("event without a body")
	}
	b, err := marshal(&envelope[any]{Version, e.Seq, e.At.UTC(), e.By, e.Message, e.Line, prev, e.Body.kind(), e.Body})
	if err != nil {
		return nil, fmt.Errorf("encode %s event: %w", e.Body.kind(), err)
	}
	return b, nil
}

// Decode reads an event as stored, and the hash it carries of the one before
// it. Bytes that Encode would not have written are an error: what decodes
// encodes to the same bytes.
func Decode(stored []byte) (Event, Hash, error) {
	var v envelope[json.RawMessage]
	if err := unmarshal(stored, &v); err != nil {
		return Event{}, Hash{}, fmt.Errorf("decode event: %w", err)
	}
	if v.V != Version {
		return Event{}, Hash{}, fmt.Errorf("event version %d: this program reads %d", v.V, Version)
	}
	t, ok := bodies[v.Kind]
	if !ok {
		return Event{}, Hash{}, fmt.Errorf("event kind %q is unknown", v.Kind)
	}
	p := reflect.New(t)
	if err := unmarshal(v.Body, p.Interface()); err != nil {
		return Event{}, Hash{}, fmt.Errorf("decode %s event: %w", v.Kind, err)
	}
	e := Event{v.Seq, v.At, v.By, v.Msg, v.Line, p.Elem().Interface().(Body)}
	again, err := Encode(e, v.Prev)
	if err != nil {
		return Event{}, Hash{}, err
	}
	if !bytes.Equal(again, stored) {
		return Event{}, Hash{}, fmt.Errorf("event %d is not in its stored form", v.Seq)
	}
	return e, v.Prev, nil
}

func marshal(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}

func unmarshal(b []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	return d.Decode(v)
}
