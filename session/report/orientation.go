package report

import (
	"bytes"
	"encoding/binary"
	"image"
)

// Orientation is how a photo was held, 1 to 8, as its JPEG file says; 1, upright, where
// it says nothing that can be read. Exif 2.32 (CIPA DC-008), 4.6.4, which takes the tag
// from TIFF 6.0: it tells at which side of what is seen the first row and the first
// column of the file stand.
func Orientation(jpeg []byte) int {
	for rest := after(jpeg, 2); len(rest) >= 4 && rest[0] == 0xff && rest[1] != jpegScan; {
		size := 2 + int(binary.BigEndian.Uint16(rest[2:]))
		if size > len(rest) {
			break
		}
		if tiff, ok := bytes.CutPrefix(rest[4:max(4, size)], exifHead); ok && rest[1] == jpegApp1 {
			return orientationIn(tiff)
		}
		rest = rest[size:]
	}
	return 1
}

// OrientationSegment is the part of a JPEG file that says how a photo was held, and
// nothing else: Exif with one tag.
func OrientationSegment(o int) []byte {
	b := []byte{0xff, jpegApp1, 0, 0}
	b = append(b, exifHead...)
	b = append(b, "MM\x00\x2a"...)
	b = binary.BigEndian.AppendUint32(b, 8) // where the list of tags begins
	b = binary.BigEndian.AppendUint16(b, 1) // how many there are
	b = binary.BigEndian.AppendUint16(b, tagOrientation)
	b = binary.BigEndian.AppendUint16(b, typeShort)
	b = binary.BigEndian.AppendUint32(b, 1)
	b = binary.BigEndian.AppendUint32(b, uint32(o)<<16) //nolint:gosec // 1 to 8, to the left of its field
	b = binary.BigEndian.AppendUint32(b, 0)             // no further list
	binary.BigEndian.PutUint16(b[2:], uint16(len(b)-2)) //nolint:gosec // a few bytes
	return b
}

// Markers of a JPEG file, ITU-T T.81, annex B, and what Exif is known by.
const (
	jpegScan = 0xda
	jpegApp1 = 0xe1

	tagOrientation = 0x0112
	typeShort      = 3
)

var exifHead = []byte("Exif\x00\x00")

// orientationIn looks for the tag in the first list of tags, of at most a segment's
// 65,533 bytes.
func orientationIn(tiff []byte) int {
	var order binary.ByteOrder = binary.BigEndian
	switch {
	case len(tiff) < 8:
		return 1
	case tiff[0] == 'I':
		order = binary.LittleEndian
	}
	list := after(tiff, int64(order.Uint32(tiff[4:])))
	if len(list) < 2 {
		return 1
	}
	n := int(order.Uint16(list))
	for list = list[2:]; n > 0 && len(list) >= 12; n, list = n-1, list[12:] {
		if order.Uint16(list) != tagOrientation {
			continue
		}
		if o := int(order.Uint16(list[8:])); order.Uint16(list[2:]) == typeShort && o >= 1 && o <= 8 {
			return o
		}
		return 1
	}
	return 1
}

// after is what stands behind n bytes, nothing where there are fewer.
func after(b []byte, n int64) []byte {
	if n > int64(len(b)) {
		return nil
	}
	return b[n:]
}

// lies says whether a photo lies on its side in its file.
func lies(orientation int) bool { return orientation >= 5 }

// upright is a picture as it is to be seen.
func upright(m *image.RGBA, orientation int) *image.RGBA {
	if orientation == 1 {
		return m
	}
	w, h := m.Rect.Dx(), m.Rect.Dy()
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	if lies(orientation) {
		out = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	for y := range h {
		for x := range w {
			column, row := x, y
			switch orientation {
			case 2, 3, 7, 8:
				column = w - 1 - x
			}
			switch orientation {
			case 3, 4, 6, 7:
				row = h - 1 - y
			}
			if lies(orientation) {
				column, row = row, column
			}
			copy(out.Pix[out.PixOffset(column, row):][:4], m.Pix[m.PixOffset(x, y):])
		}
	}
	return out
}
