package picture

import (
	"bytes"
	"encoding/binary"
	"image"
)

// The parts of a JPEG (ITU-T T.81, B.1.1.3) and of Exif in it (CIPA DC-008-2012,
// 4.5.4 and 4.6) that lead to the orientation.
const (
	markerStart    = 0xd8
	markerScan     = 0xda
	markerExif     = 0xe1
	tagOrientation = 0x0112
	typeShort      = 3
	mostSegments   = 200
)

// orientation gives how a camera was held, 1 to 8 as Exif numbers it; 1, upright,
// when a picture does not say so in so many words.
func orientation(raw []byte) int {
	if len(raw) < 2 || raw[0] != 0xff || raw[1] != markerStart {
		return 1
	}
	rest := raw[2:]
	for range mostSegments {
		for len(rest) > 1 && rest[0] == 0xff && rest[1] == 0xff { // fill
			rest = rest[1:]
		}
		if len(rest) < 4 || rest[0] != 0xff || rest[1] == markerScan {
			return 1
		}
		length := int(binary.BigEndian.Uint16(rest[2:]))
		if length < 2 || len(rest) < 2+length {
			return 1
		}
		if exif, ok := bytes.CutPrefix(rest[4:2+length], []byte("Exif\x00\x00")); ok && rest[1] == markerExif {
			return orientationOfTIFF(exif)
		}
		rest = rest[2+length:]
	}
	return 1
}

// orientationOfTIFF looks in the first directory of tags (TIFF 6.0, section 2).
func orientationOfTIFF(t []byte) int {
	if len(t) < 8 {
		return 1
	}
	var order binary.ByteOrder
	switch string(t[:4]) {
	case "II\x2a\x00":
		order = binary.LittleEndian
	case "MM\x00\x2a":
		order = binary.BigEndian
	default:
		return 1
	}
	at := uint64(order.Uint32(t[4:]))
	if at+2 > uint64(len(t)) {
		return 1
	}
	entries := t[at+2:]
	for range order.Uint16(t[at:]) {
		if len(entries) < 12 {
			return 1
		}
		if order.Uint16(entries) == tagOrientation {
			value := int(order.Uint16(entries[8:]))
			if order.Uint16(entries[2:]) != typeShort || order.Uint32(entries[4:]) != 1 || value < 1 || value > 8 {
				return 1
			}
			return value
		}
		entries = entries[12:]
	}
	return 1
}

// upright turns and mirrors a picture so that it is seen as it was taken. Exif
// says where the first row and the first column of what is stored belong
// (CIPA DC-008-2012, 4.6.4): 6 is "the first row at the right, the first column
// at the top".
func upright(m *image.RGBA, orientation int) *image.RGBA {
	if orientation == 1 {
		return m
	}
	w, h := m.Rect.Dx(), m.Rect.Dy()
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	if orientation >= 5 {
		out = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	for row := range h {
		for column := range w {
			var x, y int
			switch orientation {
			case 2:
				x, y = w-1-column, row
			case 3:
				x, y = w-1-column, h-1-row
			case 4:
				x, y = column, h-1-row
			case 5:
				x, y = row, column
			case 6:
				x, y = h-1-row, column
			case 7:
				x, y = h-1-row, w-1-column
			case 8:
				x, y = row, w-1-column
			}
			copy(out.Pix[out.PixOffset(x, y):], m.Pix[m.PixOffset(column, row):][:4])
		}
	}
	return out
}
