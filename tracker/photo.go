package tracker

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
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

// PhotoOf returns what says of an entry in which photograph it was read, by the
// photograph's SHA-256; empty where in none.
func (r *Record) PhotoOf() func(Event) string {
	var sums []string
	for _, e := range r.Events() {
		if e.Photo != "" && !slices.Contains(sums, e.Photo) {
			sums = append(sums, e.Photo)
		}
	}
	return func(e Event) string {
		if e.Photo != "" || e.Kind == Voided || e.Kind == Accepted {
			return e.Photo
		}
		first := r.firstOf(e)
		i := slices.IndexFunc(sums, func(sum string) bool { return first.ID == PhotoEventID(sum, first.Code, first.Half) })
		if i < 0 {
			return ""
		}
		return sums[i]
	}
}

// firstOf is the entry that a chain of corrections began with. A ring of them,
// which only a merged log could hold, ends where it closes.
func (r *Record) firstOf(e Event) Event {
	for met := []string{}; e.Target != "" && !slices.Contains(met, e.ID); {
		met = append(met, e.ID)
		e, _ = r.Event(e.Target)
	}
	return e
}
