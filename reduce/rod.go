package reduce

import "fmt"

// RodKind says how a rod counts.
type RodKind uint8

// Direct has its zero in the middle: its number rises as the spot rises.
// Standard counts up from its foot: its number falls as the spot rises.
const (
	Direct RodKind = iota + 1
	Standard
)

// String is "direct" or "standard".
func (k RodKind) String() string {
	switch k {
	case Direct:
		return "direct"
	case Standard:
		return "standard"
	}
	return fmt.Sprintf("RodKind(%d)", uint8(k))
}

// MarshalText writes String; an unknown kind is an error.
func (k RodKind) MarshalText() ([]byte, error) {
	if k != Direct && k != Standard {
		return nil, fmt.Errorf("unknown rod kind %d", uint8(k))
	}
	return []byte(k.String()), nil
}

// UnmarshalText reads "direct" or "standard".
func (k *RodKind) UnmarshalText(b []byte) error {
	switch string(b) {
	case "direct":
		*k = Direct
	case "standard":
		*k = Standard
	default:
		return fmt.Errorf("unknown rod kind %q: want direct or standard", b)
	}
	return nil
}

// Reach of a reading: a direct rod shows 12 in either way, a standard one
// 0 to 25 ft.
const (
	DirectReach   = 12 * Inch
	StandardReach = 25 * Foot
)

// Reaches says whether a rod of this kind can show the value.
func (k RodKind) Reaches(v Length) bool {
	if k == Standard {
		return v >= 0 && v <= StandardReach
	}
	return v.Abs() <= DirectReach
}

// Rod is one person with one rod and one receiver position in one set-up:
// readings that share one constant, the reading at elevation 0.
type Rod struct {
	ID      int
	Kind    RodKind
	Flipped bool // found to count the other way
}

// Rises says whether a larger number on this rod is a higher spot.
func (r Rod) Rises() bool { return (r.Kind == Direct) != r.Flipped }

// Elevation of a spot above the reference from a reading and the rod's
// constant: reading − constant where the rod's number rises with the spot,
// constant − reading where it falls.
func (r Rod) Elevation(value, constant Length) Length {
	if r.Rises() {
		return value - constant
	}
	return constant - value
}

// Observation is one reading that counts.
type Observation struct {
	Rod     int
	Station Station
	Value   Length // the rod's own number
}

// Levels is what the observations give.
type Levels struct {
	// Constants of the rods that are tied to the reference.
	Constants map[int]Length
	// Elevations of the stations that are tied to the reference.
	Elevations map[Station]Length
	// Checked stations are those with an observation that could be left out and
	// still be worked out from the others.
	Checked map[Station]bool
}
