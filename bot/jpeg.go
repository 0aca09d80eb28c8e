package bot

import (
	"encoding/binary"

	"rodcall/session/report"
)

// Markers of a JPEG file, ITU-T T.81, annex B.
const (
	markerStart   = 0xd8
	markerScan    = 0xda
	markerComment = 0xfe
	markerApp1    = 0xe1 // Exif, XMP
	markerApp14   = 0xee // Adobe: how colours are coded
	markerApp15   = 0xef
)

// bare is a JPEG file without what says where, when and with what it was taken,
// and without comments: a picture that is sent as a file holds all that. Which
// way up it was held stays. What is no JPEG file is returned as it is.
func bare(picture []byte) []byte {
	if len(picture) < 4 || picture[0] != 0xff || picture[1] != markerStart {
		return picture
	}
	out := make([]byte, 2, len(picture))
	copy(out, picture)
	held := report.Orientation(picture)
	for rest := picture[2:]; ; {
		if len(rest) < 4 || rest[0] != 0xff {
			return picture
		}
		marker, size := rest[1], 2+int(binary.BigEndian.Uint16(rest[2:]))
		if marker == markerScan {
			return append(out, rest...)
		}
		if size > len(rest) {
			return picture
		}
		if marker == markerApp1 && held != 1 {
			out = append(out, report.OrientationSegment(held)...)
			held = 1 // said once
		}
		if marker != markerComment && (marker < markerApp1 || marker > markerApp15 || marker == markerApp14) {
			out = append(out, rest[:size]...)
		}
		rest = rest[size:]
	}
}
