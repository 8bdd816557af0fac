package book

import (
	"encoding/binary"
	"errors"
)

// Picture files without what the camera tells of the welder: where he stood,
// which telephone he has.

// cleanJPEG keeps the segments of the picture itself, the colour profile and,
// of the rest, the turn of the picture alone (ITU-T T.81; EXIF 2.3 tag 0x0112).
func cleanJPEG(data []byte) ([]byte, error) {
	const (
		soi, sos, eoi      = 0xd8, 0xda, 0xd9
		app0, app1         = 0xe0, 0xe1
		app2, app14, app15 = 0xe2, 0xee, 0xef
		comment            = 0xfe
	)
	out := append(make([]byte, 0, len(data)), 0xff, soi)
	turn := byte(0)
	at := 2
	for {
		if at+4 > len(data) || data[at] != 0xff {
			return nil, errNoPhoto
		}
		for at+4 <= len(data) && data[at+1] == 0xff { // fill bytes
			at++
		}
		if at+4 > len(data) {
			return nil, errNoPhoto
		}
		marker := data[at+1]
		size := int(binary.BigEndian.Uint16(data[at+2:]))
		end := at + 2 + size
		if size < 2 || end > len(data) || marker == eoi {
			return nil, errNoPhoto
		}
		segment := data[at:end]
		switch {
		case marker == app1:
			if t := exifTurn(segment[4:]); t > 1 && turn == 0 {
				turn = t
				out = append(out, turnSegment(t)...)
			}
		case marker == app0, marker == app2 && isProfile(segment), marker == app14:
			out = append(out, segment...)
		case marker > app0 && marker <= app15, marker == comment:
		case marker == sos:
			out = append(out, segment...)
			next := end + scanLength(data[end:])
			out = append(out, data[end:next]...)
			if next+2 <= len(data) && data[next+1] == eoi {
				return append(out, 0xff, eoi), nil // what follows the picture is left out
			}
			at = next
			continue
		default:
			out = append(out, segment...)
		}
		at = end
	}
}

// PhotoTurn is the turn that a JPEG asks for, 2 to 8 as EXIF numbers it; 1 where
// it asks for none. From 5 on what lies across is shown upright.
func PhotoTurn(data []byte) int {
	for at := 2; at+4 <= len(data) && data[at] == 0xff && data[at+1] != 0xda; {
		end := at + 2 + int(binary.BigEndian.Uint16(data[at+2:]))
		if end < at+4 || end > len(data) {
			break
		}
		if t := exifTurn(data[at+4 : end]); data[at+1] == 0xe1 && t > 0 {
			return int(t)
		}
		at = end
	}
	return 1
}

// scanLength is the length of the compressed picture data up to the next marker
// that is neither a stuffed byte nor a restart.
func scanLength(scan []byte) int {
	for i := 0; i+1 < len(scan); i++ {
		if next := scan[i+1]; scan[i] == 0xff && next != 0 && next != 0xff && (next < 0xd0 || next > 0xd7) {
			return i
		}
	}
	return len(scan)
}

func isProfile(segment []byte) bool {
	const head = "ICC_PROFILE\x00"
	return len(segment) > 4+len(head) && string(segment[4:4+len(head)]) == head
}

// exifTurn reads the turn of the picture, 1 to 8; 0 where it is not said.
func exifTurn(body []byte) byte {
	const head = "Exif\x00\x00"
	if len(body) < len(head)+8 || string(body[:len(head)]) != head {
		return 0
	}
	tiff := body[len(head):]
	var order binary.ByteOrder
	switch string(tiff[:2]) {
	case "II":
		order = binary.LittleEndian
	case "MM":
		order = binary.BigEndian
	default:
		return 0
	}
	at := int64(order.Uint32(tiff[4:]))
	if at+2 > int64(len(tiff)) {
		return 0
	}
	n := int64(order.Uint16(tiff[at:]))
	for i := range n {
		entry := at + 2 + 12*i
		if entry+12 > int64(len(tiff)) {
			return 0
		}
		if order.Uint16(tiff[entry:]) == 0x0112 {
			if v := order.Uint16(tiff[entry+8:]); v >= 1 && v <= 8 {
				return byte(v)
			}
			return 0
		}
	}
	return 0
}

// turnSegment is an APP1 segment that says the turn of the picture and no more.
func turnSegment(turn byte) []byte {
	body := []byte("Exif\x00\x00MM\x00\x2a\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00" + string(rune(turn)) + "\x00\x00\x00\x00\x00\x00")
	return append([]byte{0xff, 0xe1, 0, byte(len(body) + 2)}, body...)
}

const pngHead = "\x89PNG\r\n\x1a\n"

// cleanPNG keeps the chunks that the picture needs (ISO/IEC 15948): the critical
// ones, and of the others those of colour and transparency.
func cleanPNG(data []byte) ([]byte, error) {
	keep := map[string]bool{"tRNS": true, "gAMA": true, "cHRM": true, "sRGB": true, "iCCP": true, "sBIT": true, "bKGD": true, "pHYs": true}
	out := append(make([]byte, 0, len(data)), pngHead...)
	for at := len(pngHead); ; {
		if at+12 > len(data) {
			return nil, errNoPhoto
		}
		size := int64(binary.BigEndian.Uint32(data[at:]))
		end := int64(at) + 12 + size
		if end > int64(len(data)) {
			return nil, errors.New("this picture is cut off")
		}
		name := string(data[at+4 : at+8])
		if critical := name[0]&0x20 == 0; critical || keep[name] {
			out = append(out, data[at:end]...)
		}
		if name == "IEND" {
			return out, nil
		}
		at = int(end)
	}
}
