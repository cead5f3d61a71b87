package tracker

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"fmt"
	"slices"

	"soaktag/labels"
)

// FacesQueue lists the halves whose fracture faces are still to be read: those of
// every specimen that came apart and counts, in a random order that is the same
// each time. So nobody reads one adhesive after the other, and a sitting that was
// interrupted goes on where it was. The order follows from the study's seed and
// each half's code alone: specimens that are added later move nobody.
func (r *Record) FacesQueue() (queue []labels.Code) {
	for _, life := range r.Lives() {
		if life.End == "" && life.apart() {
			for half, faces := range life.Halves {
				if code := life.Specimen.Code; faces == nil {
					code.Half = half + 1
					queue = append(queue, code)
				}
			}
		}
	}
	r.shuffled(queue)
	return queue
}

// apart reports whether the bond is in two pieces.
func (l *Life) apart() bool {
	return slices.ContainsFunc(l.Tries, func(t TryAt) bool { return t.How.Parts() })
}

// shuffled sorts halves by a number that is drawn for each from seed and code.
func (r *Record) shuffled(halves []labels.Code) {
	drawn := func(c labels.Code) []byte {
		sum := sha256.Sum256(fmt.Appendf(nil, "faces %d %s", r.study.Seed, c))
		return sum[:]
	}
	slices.SortFunc(halves, func(a, b labels.Code) int {
		return cmp.Or(bytes.Compare(drawn(a), drawn(b)), cmp.Compare(a.Serial, b.Serial))
	})
}
