package reduce

// StationKind says what sort of spot a station is.
type StationKind uint8

// The kinds, in the order in which stations are listed.
const (
	Wall      StationKind = iota + 1 // a corner, or a spot past one along its wall
	Pier                             // p1 …: a pier or pad
	Benchmark                        // bm, bm2 …: a hard point off the sill
	Turning                          // t1 …: a turning point
)

// Station names a spot where the rod is read. It is comparable; the zero
// Station is no station. Past is 0 except along a wall.
type Station struct {
	Kind   StationKind
	Number int    // c3+8: 3
	Past   Length // c3+8: 8 ft
}

// Corner, PierAt and the rest build stations.
func Corner(n int) Station             { return Station{Kind: Wall, Number: n} }
func Along(n int, past Length) Station { return Station{Kind: Wall, Number: n, Past: past} }
func PierNumber(n int) Station         { return Station{Kind: Pier, Number: n} }
func BenchmarkNumber(n int) Station    { return Station{Kind: Benchmark, Number: n} }
func TurningNumber(n int) Station      { return Station{Kind: Turning, Number: n} }
func (s Station) IsZero() bool         { return s == Station{} }
func (s Station) IsCorner() bool       { return s.Kind == Wall && s.Past == 0 }

// Name is the station's full name, "c3+8"; the distance past the corner is in
// mark (Foot or Metre).
func (s Station) Name(mark Length) string { return s.name(mark) }

// ParseStation reads a full name as Name writes it, and nothing else.
func ParseStation(name string, mark Length) (Station, error) { return parseStation(name, mark) }
