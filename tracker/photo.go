package tracker

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"soaktag/labels/photo/imagefile"
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

// PhotoType returns the type of a photograph that a study may keep, told by its
// first bytes: "image/jpeg", "image/png" or "image/webp", and "" for anything else.
func PhotoType(photo []byte) string { return imagefile.Type(photo) }

// PhotoEventID returns the id of an event that a photograph says: from the hash
// of its bytes and from what in it the event is about, so that the same
// photograph again is the same events. half is 1, 2, or 0 where none is meant.
// The event that keeps the photograph itself is about "".
func PhotoEventID(sum, about string, half int) string {
	all := sha256.Sum256(fmt.Appendf(nil, "%s\n%s\n%d", sum, about, half))
	return "photo-" + hex.EncodeToString(all[:16])
}
