package station

import (
	"strings"
	"testing"
	"time"

	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// TestBathOfBroken: what was broken and never went into the bath is not to come.
func TestBathOfBroken(t *testing.T) {
	b := benchOf(t, begun(t, smallPlan, dealt()))
	b.record(noon, "", intake.Stage{Subjects: []string{"1-8"}, Name: "glue-up"})
	b.record(noon.Add(24*time.Hour), "", intake.Try{Subject: "3", Reading: "7 MPa", Ended: "separated"})
	_, page := b.paired("Ann").get("/show/bath?name=B1")
	_, gone, found := strings.Cut(page, "<h3>Lifted out or broken</h3>")
	if !found || !strings.Contains(gone, "HBR-003-X") || !strings.Contains(page, "0 of 2 in it, 1 to come, 1 lifted out or broken") {
		t.Errorf("it shows\n%s", page)
	}
}

// TestNewestFirst: what happened last stands first, of one moment half 1 before half 2,
// and labels are told apart.
func TestNewestFirst(t *testing.T) {
	event := func(when, what string, half int, label bool) wording.LifeEvent {
		return wording.LifeEvent{When: when, What: what, Half: half, Label: label}
	}
	happened, prints := newestFirst([]wording.LifeEvent{
		event("9:00", "label 1", 1, true), event("9:00", "label 2", 2, true), event("9:30", "glue-up", 0, false),
		event("10:00", "photo 2", 2, false), event("10:00", "photo 1", 1, false), event("10:00", "break", 0, false),
	})
	said := func(events []wording.LifeEvent) (all string) {
		for _, e := range events {
			all += e.What + ", "
		}
		return all
	}
	if got := said(happened); got != "break, photo 1, photo 2, glue-up, " {
		t.Errorf("it tells %s", got)
	}
	if got := said(prints); got != "label 1, label 2, " {
		t.Errorf("of labels it tells %s", got)
	}
}

// TestDummyHasAButton: a rig on which nothing was broken yet asks for a dummy, and one
// tap is enough to begin it.
func TestDummyHasAButton(t *testing.T) {
	b := benchOf(t, begun(t, smallPlan, dealt()))
	b.record(noon, "", intake.Stage{Subjects: []string{"1-8"}, Name: "glue-up"})
	b.record(noon.Add(24*time.Hour), "", intake.Stage{Subjects: []string{"1-8"}, Name: "clamp removal"})
	b.record(noon.Add(8*24*time.Hour), "", intake.Stage{Subjects: []string{"3", "4", "7", "8"}, Name: "immersion"})
	b.pass(6 * 24 * time.Hour)
	_, page := b.paired("Ann").get("/show/due")
	for _, want := range []string{`data-stage="break" data-press="dummy"`, "Put the dummy into the press, tap below"} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s in\n%s", want, page)
		}
	}
}
