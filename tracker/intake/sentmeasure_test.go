package intake

import (
	"errors"
	"testing"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// What is measured with a phone is recorded once, of a specimen or of a bath; what is no
// value is refused, and UNDO takes it back.
func TestSentMeasure(t *testing.T) {
	b := newInbox(t)
	measured := func(subject, name, value string) doc {
		return b.entry(ann, "measure", doc{"stage": "immersion", "measure": doc{"subject": subject, "name": name, "value": value}})
	}
	mass, water := measured(code(3), "mass_before", "61.3 g"), measured("bath B1", "water", "19.5 C")
	for range 2 {
		b.took(mass)
		b.took(water)
	}
	var all []tracker.Value
	for _, e := range b.record().Events() {
		if e.Kind == tracker.Measured {
			all = append(all, e.Values...)
		}
	}
	if want := []tracker.Value{{Name: "mass_before", Text: "61.3 g"}, {Name: "water", Text: "19.5 C"}}; len(all) != 2 || all[0] != want[0] || all[1] != want[1] {
		t.Errorf("recorded %+v, want %+v", all, want)
	}
	if g := b.record().Lives()[2].MassBefore.G(); g < 61.299 || g > 61.301 {
		t.Errorf("it weighs %g g", g)
	}
	for _, no := range []doc{measured(code(3), "mass_before", "0 g"), measured(code(3), "mass_before", "61.3"), measured(code(3), "colour", "1 g"), measured("nobody", "mass_before", "1 g")} {
		var refusal *Refusal
		if out, err := b.takes(no); !errors.As(err, &refusal) {
			t.Errorf("%v: %v %+v", no["measure"], err, out.Notes)
		}
	}
	b.took(b.of(ann, "undo", mass))
	if g := b.record().Lives()[2].MassBefore; g != 0 {
		t.Errorf("taken back it still weighs %v", g)
	}
}

// A stage asks for what its worksheet has a box for, and for how warm its baths are.
func TestGaugedAt(t *testing.T) {
	for stage, want := range map[string]int{"immersion": 2, "lift-out": 2, "immersion 2": 2, string(tracker.WaterChange): 1, "glue-up": 0, "break": 0} {
		if got := GaugedAt(schedule.Stage(stage), quantity.Metric); len(got) != want {
			t.Errorf("%s: %+v, want %d", stage, got, want)
		}
	}
}
