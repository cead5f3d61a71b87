package intake

import (
	"testing"

	"soaktag/tracker"
)

// Whoever types last at the computer means what was typed there, whatever a phone sent
// since.
func TestLastIsNoPhones(t *testing.T) {
	b := newInbox(t)
	desk := b.desks[""]
	b.clock.took(t, desk, Stage{Subjects: []string{"1"}, Name: "glue-up"})
	b.took(b.line(ann, "glue-up", code(2)))
	b.clock.took(t, desk, Void{these("last")})
	for i, want := range map[int]bool{1: true, 2: false} {
		for _, e := range b.record().Events() {
			if e.Kind == tracker.Staged && e.Code == code(i) && b.record().Voided(e.ID) != want {
				t.Errorf("%s set aside: %t", e.Code, !want)
			}
		}
	}
	if _, err := lastEvent(b.record()); err == nil {
		t.Error("the phone's entry is taken for the last of this computer")
	}
}
