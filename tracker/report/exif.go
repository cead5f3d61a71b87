package report

import (
	"bytes"
	"encoding/binary"
)

// orientation is how the camera was held, 1 to 8, as a JPEG's Exif says; 1
// where it does not say.
//
// Source: Exif 2.3 (CIPA DC-008), sections 4.5.2 and 4.6.4; TIFF 6.0, section 2.
func orientation(jpeg []byte) int {
	tiff := exif(jpeg)
	if len(tiff) < 8 {
		return 1
	}
	order := binary.ByteOrder(binary.BigEndian)
	if tiff[0] == 'I' {
		order = binary.LittleEndian
	}
	at := uint64(order.Uint32(tiff[4:]))
	if at+2 > uint64(len(tiff)) {
		return 1
	}
	entries := tiff[at+2:]
	for range order.Uint16(tiff[at:]) {
		if len(entries) < 12 {
			break
		}
		if order.Uint16(entries) == 0x0112 {
			return int(order.Uint16(entries[8:]))
		}
		entries = entries[12:]
	}
	return 1
}

// exif finds the TIFF part of a JPEG's Exif segment; nil without one.
func exif(jpeg []byte) []byte {
	if !bytes.HasPrefix(jpeg, []byte{0xFF, 0xD8}) {
		return nil
	}
	for rest := jpeg[2:]; len(rest) >= 4 && rest[0] == 0xFF; {
		length := int(binary.BigEndian.Uint16(rest[2:])) + 2
		if length < 4 || length > len(rest) || rest[1] == 0xDA {
			return nil
		}
		if body := rest[4:length]; rest[1] == 0xE1 && bytes.HasPrefix(body, []byte("Exif\x00\x00")) {
			return body[6:]
		}
		rest = rest[length:]
	}
	return nil
}
