package tracker

import (
	"slices"
	"testing"
	"time"

	"soaktag/schedule"
)

// Which of several tries that part a bond is the break. Events are e0, e1, ... in
// the order of the lines.
func TestBreak(t *testing.T) {
	s, _ := codes()
	early := "300 try " + s + ` "separated"` // of another specimen, most likely
	whole := []string{"0 stage " + s + ` "glue-up"`, "24 stage " + s + ` "clamp removal"`, "360 stage " + s + ` "immersion"`, "528 stage " + s + ` "lift-out"`}
	twice := append(slices.Clone(whole), "528.1 try "+s+` "separated"`, "528.3 try "+s+` "separated"`)
	accept := func(id string) Event {
		return Event{ID: "yes " + id, Kind: Accepted, Target: id, Rule: RuleAfterBreak, Code: s, Reason: "seen"}
	}
	void := func(id string) Event { return Event{ID: "no " + id, Kind: Voided, Target: id} }
	repeated := Event{ID: "new", Kind: Tried, Target: "e4", Code: s, At: schedule.At(noon.Add(528*time.Hour + 18*time.Minute - time.Second)),
		Try: &Try{Rig: "press", Reading: "5 MPa", How: Separated}}
	tests := []struct {
		name  string
		lines []string
		then  []Event
		broke string
		asks  string
	}{
		{"the first", twice, nil, "e4", "after the break"},
		{"the later, accepted", twice, []Event{accept("e5")}, "e5", ""},
		{"accepted, and taken back", twice, []Event{accept("e5"), void("yes e5")}, "e4", "after the break"},
		{"the first voided", twice, []Event{void("e4")}, "e5", ""},
		{"accepted, and voided", twice, []Event{accept("e5"), void("e5")}, "e4", ""},
		{"accepted, and then found to be the same", twice, []Event{accept("e5"), repeated}, "new", ""},
		{"fell apart, then separated", append(slices.Clone(whole), "528.1 try "+s+` "fell apart"`, "528.3 try "+s+` "separated"`), nil, "e4", "after the break"},
		{"separated, then fell apart", append(slices.Clone(whole), "528.1 try "+s+` "separated"`, "528.3 try "+s+` "fell apart"`), []Event{accept("e5")}, "e5", ""},
		{"stopped after it, accepted", append(slices.Clone(whole), "528.1 try "+s+` "separated"`, "528.3 try "+s+` "stopped"`), []Event{accept("e5")}, "e4", ""},
		{"stopped before it", append(slices.Clone(whole), "528.1 try "+s+` "stopped"`, "528.3 try "+s+` "separated"`), nil, "e5", ""},
		{"of three the last accepted", append(slices.Clone(twice), "528.4 try "+s+` "separated"`), []Event{accept("e5"), accept("e6")}, "e6", ""},
		{"of three the middle accepted", append(slices.Clone(twice), "528.4 try "+s+` "separated"`), []Event{accept("e5")}, "e5", "after the break"},
		{"another's, stages since", append([]string{whole[0], whole[1], early}, append(whole[2:], "528.3 try "+s+` "separated"`)...), []Event{accept("e5")}, "e5", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r := tell(t, test.lines...)
			r.Lives()
			for _, e := range test.then {
				r.Add(e)
			}
			life := r.Lives()[0]
			if broke := life.Break(); broke == nil || broke.Event != test.broke || life.Next != "" {
				t.Errorf("the break is %+v, next %q; want %s and over", broke, life.Next, test.broke)
			}
			if got := rules(life.Marks, true); got != test.asks {
				t.Errorf("asks %q, want %q", got, test.asks)
			}
		})
	}
}

// What came between a slip and the break that was accepted in its place happened: it
// is not taken for something after the break.
func TestStagesBetweenCount(t *testing.T) {
	s, _ := codes()
	r := tell(t, "0 stage "+s+` "glue-up"`, "24 stage "+s+` "clamp removal"`, "300 try "+s+` "separated"`, "360 stage "+s+` "immersion"`,
		"528 stage "+s+` "lift-out"`, "528.3 try "+s+` "separated"`)
	if life := r.Lives()[0]; life.Spells != nil {
		t.Errorf("before anything is accepted it lay in water: %+v", life.Spells)
	}
	r.Add(Event{ID: "yes", Kind: Accepted, Target: "e5", Rule: RuleAfterBreak, Code: s})
	life := r.Lives()[0]
	if len(life.Spells) != 1 || life.Spells[0].Out.IsZero() || !life.Done()[schedule.LiftOut] {
		t.Errorf("spells %+v, done %v", life.Spells, life.Done())
	}
	if aside := r.History(life.Specimen.Code)[2]; !aside.Aside || r.History(life.Specimen.Code)[5].Aside {
		t.Errorf("set aside: %+v", aside)
	}
}
