package tracker

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
)

// MaxPhoto is how many bytes a photograph kept in a study may have: 64 MB, some
// ten times what a telephone makes.
const MaxPhoto = 64_000_000

// PhotoSum returns the name of a photograph: the SHA-256 of its bytes in
// hexadecimal, as Event.Photo has it.
func PhotoSum(photo []byte) string {
	sum := sha256.Sum256(photo)
	return hex.EncodeToString(sum[:])
}

// PhotoType tells a photograph by its first bytes, whatever its name: it
// returns "image/jpeg", "image/png" or "image/webp", and "" for anything else.
// Sources: ITU-T T.81 table B.1, a marker follows the start of image; Portable
// Network Graphics, third edition, 5.2; RFC 9649 section 2.4.
func PhotoType(photo []byte) string {
	switch {
	case bytes.HasPrefix(photo, []byte("\xff\xd8\xff")):
		return "image/jpeg"
	case bytes.HasPrefix(photo, []byte("\x89PNG\r\n\x1a\n")):
		return "image/png"
	case len(photo) >= 12 && string(photo[:4]) == "RIFF" && string(photo[8:12]) == "WEBP":
		return "image/webp"
	}
	return ""
}

// PhotoEventID returns the id of an event that a photograph says: from the hash
// of its bytes and from what in it the event is about, so that the same
// photograph again is the same events. half is 1, 2, or 0 where none is meant.
// The event that keeps the photograph itself is about "".
func PhotoEventID(sum, about string, half int) string {
	all := sha256.Sum256(fmt.Appendf(nil, "%s\n%s\n%d", sum, about, half))
	return "photo-" + hex.EncodeToString(all[:16])
}
