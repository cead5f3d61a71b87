// Package imagefile tells what kind of picture a file holds and what its camera
// wrote beside it, without opening the picture.
package imagefile

import "bytes"

// Types that Type returns.
const (
	JPEG = "image/jpeg"
	PNG  = "image/png"
	WebP = "image/webp"
)

// Type tells a picture by its first bytes, twelve of them or more, whatever its
// name: JPEG, PNG, WebP, or "" for anything else.
//
// Sources: ITU-T T.81 table B.1, a marker follows the start of image; Portable
// Network Graphics, third edition, 5.2; RFC 9649 section 2.4.
func Type(head []byte) string {
	switch {
	case bytes.HasPrefix(head, []byte("\xff\xd8\xff")):
		return JPEG
	case bytes.HasPrefix(head, []byte("\x89PNG\r\n\x1a\n")):
		return PNG
	case len(head) >= 12 && string(head[:4]) == "RIFF" && string(head[8:12]) == "WEBP":
		return WebP
	}
	return ""
}
