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
		{"of three the last accepted alone", append(slices.Clone(twice), "528.4 try "+s+` "separated"`), []Event{accept("e6")}, "e6", ""},
		{"of three the last accepted alone", append(slices.Clone(twice), "528.4 try "+s+` "separated"`), []Event{accept("e6")}, "e6", ""},
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

// Of a try whose time is known and one that was some time around then the exact one
// is the break, in whatever order they are written down.
func TestExactTimeBeforeRough(t *testing.T) {
	s, _ := codes()
	try := func(id string, from, to float64) Event {
		at := func(hours float64) time.Time { return noon.Add(time.Duration(hours * float64(time.Hour))) }
		return Event{ID: id, Kind: Tried, Code: s, At: schedule.Span{From: at(from), To: at(to)}, Recorded: noon.Add(540 * time.Hour),
			Try: &Try{Rig: "press", Reading: id + " MPa", How: Separated}}
	}
	accept := Event{ID: "yes", Kind: Accepted, Target: "3", Rule: RuleAfterBreak, Code: s, Reason: "seen"}
	open := try("1", 528, 529)
	open.At.From = time.Time{}
	tests := []struct {
		name   string
		events []Event
		broke  string
		asks   string
	}{
		{"roughly first", []Event{try("1", 528, 529), try("2", 528.8, 528.8)}, "2", "after the break"},
		{"exactly first", []Event{try("1", 528, 529), try("2", 528.2, 528.2)}, "2", "after the break"},
		{"at the edge", []Event{try("1", 528, 529), try("2", 529, 529)}, "2", "after the break"},
		{"after it", []Event{try("1", 528, 529), try("2", 529.1, 529.1)}, "1", "after the break"},
		{"both roughly", []Event{try("1", 528, 529), try("2", 528.4, 528.9)}, "1", "after the break"},
		{"since when, nobody knows", []Event{open, try("2", 528.8, 528.8)}, "2", "after the break"},
		{"two exactly", []Event{try("1", 528, 529), try("2", 528.8, 528.8), try("3", 528.9, 528.9)}, "2", "after the break, after the break"},
		{"a third accepted", []Event{try("1", 528, 529), try("2", 528.8, 528.8), try("3", 530, 530), accept}, "3", ""},
		{"the exact one voided", []Event{try("1", 528, 529), try("2", 528.8, 528.8), {ID: "no", Kind: Voided, Target: "2", Code: s}}, "1", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			for _, reverse := range []bool{false, true} {
				r := tell(t, "0 stage "+s+` "glue-up"`, "24 stage "+s+` "clamp removal"`, "360 stage "+s+` "immersion"`, "527.9 stage "+s+` "lift-out"`)
				events := slices.Clone(test.events)
				if reverse {
					slices.Reverse(events)
				}
				for _, e := range events {
					r.Lives()
					r.Add(e)
				}
				life := r.Lives()[0]
				if broke := life.Break(); broke == nil || broke.Event != test.broke || life.Next != "" {
					t.Errorf("reverse %v: the break is %+v, next %q; want %s and over", reverse, broke, life.Next, test.broke)
				}
				others := slices.DeleteFunc(life.Marks, func(m Mark) bool { return m.Rule != RuleAfterBreak })
				if got := rules(others, true); got != test.asks {
					t.Errorf("reverse %v: asks %q, want %q", reverse, got, test.asks)
				}
			}
		})
	}
}
