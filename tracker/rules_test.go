package tracker

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
)

// tell builds events from lines "hours kind what code", at hours after noon.
func tell(t *testing.T, lines ...string) *Record {
	t.Helper()
	r := foldAll(t, []Event{plainBegun()})
	for i, line := range lines {
		var hours float64
		var kind, code, what string
		if _, err := fmt.Sscanf(line, "%f %s %s %q", &hours, &kind, &code, &what); err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		at := noon.Add(time.Duration(hours * float64(time.Hour)))
		e := Event{ID: fmt.Sprint("e", i), Code: code, At: schedule.At(at), Recorded: at, Via: "scan"}
		switch kind {
		case "stage":
			e.Kind, e.Stage = Staged, schedule.Stage(what)
		case "try":
			e.Kind, e.Try = Tried, &Try{Rig: "press", Reading: fmt.Sprint(i, " MPa"), How: How(what)}
		case "measured":
			e.Kind, e.Values = Measured, []Value{{Name: "bond_length", Text: what}}
		case "end":
			e.Kind, e.End = Ended, Ending(what)
		}
		if _, err := r.Add(e); err != nil {
			t.Fatal(err)
		}
	}
	return r
}

func rules(marks []Mark, open bool) string {
	var names []string
	for _, m := range marks {
		if m.Open() == open {
			names = append(names, string(m.Rule))
		}
	}
	slices.Sort(names)
	return strings.Join(names, ", ")
}

// soaked and dry are the codes of specimens 1 (soaked) and 2 (dry) of board A.
func codes() (soaked, dry string) {
	dealt := plainBegun().Dealt
	return dealt[0].Code.String(), dealt[1].Code.String()
}

func TestMarks(t *testing.T) {
	s, d := codes()
	whole := []string{"0 stage " + s + ` "glue-up"`, "24 stage " + s + ` "clamp removal"`, "360 stage " + s + ` "immersion"`, "528 stage " + s + ` "lift-out"`}
	ctrl := []string{"0 stage " + d + ` "glue-up"`, "24 stage " + d + ` "clamp removal"`}
	tests := []struct {
		name, asks, tells string
		lines             []string
	}{
		{"as planned", "", "", append(whole, "528.1 try "+s+` "separated"`)},
		{"scanned twice within a minute", "", "double scan", append(whole, "528.01 stage "+s+` "lift-out"`)},
		{"scanned again much later", "repeated", "", append(whole, "530 stage "+s+` "lift-out"`)},
		{"planed before the cut", "", "", append([]string{"-60 stage " + s + ` "planing"`, "-50 stage " + s + ` "cut"`, "-1 stage " + s + ` "planing"`}, whole...)},
		{"planed again after the glue-up", "repeated", "", append([]string{"-1 stage " + s + ` "planing"`}, append(whole, "30 stage "+s+` "planing"`)...)},
		{"planed only after the glue-up", "out of order", "", append(whole, "30 stage "+s+` "planing"`)},
		{"cut twice", "repeated", "", []string{"-60 stage " + s + ` "cut"`, "-50 stage " + s + ` "planing"`, "-40 stage " + s + ` "cut"`}},
		{"a dry control in the bath", "wrong stage", "", append(ctrl, "30 stage "+d+` "immersion"`)},
		{"measured to a millimetre", "", "", append(ctrl, "30 measured "+d+` "41 mm"`)},
		{"a decimal point too far left", "bond size", "", append(ctrl, "30 measured "+d+` "4.02 mm"`)},
		{"clamp borrowed", "clamp early", "", []string{"0 stage " + s + ` "glue-up"`, "6 stage " + s + ` "clamp removal"`}},
		{"clamp removal never recorded", "out of order", "", []string{"0 stage " + s + ` "glue-up"`, "300 stage " + s + ` "immersion"`}},
		{"no stage in force", "no stage", "", []string{"0 stage " + s + ` ""`}},
		{"never dealt", "unknown code", "", []string{`0 stage HBR-099-X "cut"`}},
		{"bath forgotten", "soak late", "", append(whole[:3:3], "1100 stage "+s+` "lift-out"`)},
		{"held in air", "wet hold late", "", append(whole, "530 try "+s+` "separated"`)},
		{"put back by mistake", "put back", "", append(whole, "529 stage "+s+` "immersion"`)},
		{"put back after a rig failed", "", "put back", append(whole, "528.1 try "+s+` "fixture gave way"`, "528.2 stage "+s+` "immersion"`)},
		{"loaded before", "", "loaded before", append(whole, "528.1 try "+s+` "stopped"`, "528.2 try "+s+` "separated"`)},
		{"fell apart in the bath", "", "", append(whole[:3:3], "528 try "+s+` "fell apart"`)},
		{"broken, then scanned", "after the break", "", append(whole, "528.1 try "+s+` "separated"`, "529 stage "+s+` "lift-out"`)},
		{"lost, then scanned", "was lost", "", []string{"0 stage " + s + ` "glue-up"`, "1 end " + s + ` "lost"`, "24 stage " + s + ` "clamp removal"`}},
		{"broken, then lost", "after the break", "", append(whole, "528.1 try "+s+` "separated"`, "529 end "+s+` "lost"`)},
		{"lost, then broken", "was lost", "", append(whole, "528.05 end "+s+` "lost"`, "528.1 try "+s+` "separated"`)},
		{"broken twice", "after the break", "", append(whole, "528.1 try "+s+` "separated"`, "528.3 try "+s+` "separated"`)},
		{"found, never lost", "not lost", "", append(whole, "528.1 end "+s+` "found"`)},
		{"control broken too soon", "partner in bath", "", slices.Concat(whole[:3], ctrl, []string{"400 try " + d + ` "separated"`})},
		{"control broken when due, by its partner's forecast", "", "partner in bath", slices.Concat(whole[:3], ctrl, []string{"520 try " + d + ` "separated"`})},
		{"control broken when due, its partner overlooked", "", "partner in bath", slices.Concat(whole[:3], ctrl, []string{"700 try " + d + ` "separated"`})},
		{"control broken when due, its partner lifted out long after", "age early, soak late", "",
			slices.Concat(whole[:3], ctrl, []string{"520 try " + d + ` "separated"`, "1100 stage " + s + ` "lift-out"`, "1100.2 try " + s + ` "separated"`})},
		{"control much younger than its partner", "age early", "", slices.Concat(whole, ctrl, []string{"400 try " + d + ` "separated"`, "528.1 try " + s + ` "separated"`})},
		{"control of the same age", "", "", slices.Concat(whole, ctrl, []string{"530 try " + d + ` "separated"`, "528.1 try " + s + ` "separated"`})},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			marks := tell(t, test.lines...).Marks()
			if rules(marks, true) != test.asks || rules(marks, false) != test.tells {
				t.Errorf("asks %q, tells %q; want %q, %q", rules(marks, true), rules(marks, false), test.asks, test.tells)
			}
		})
	}
}

// A mark that was accepted with a reason no longer asks; one that was accepted
// and then taken back asks again.
func TestAccepted(t *testing.T) {
	s, _ := codes()
	r := tell(t, "0 stage "+s+` "glue-up"`, "6 stage "+s+` "clamp removal"`)
	r.Add(Event{ID: "yes", Kind: Accepted, Target: "e1", Rule: "clamp early", Code: s, Reason: "clamp borrowed"})
	if m := r.Marks()[0]; m.Open() || m.Accepted != "clamp borrowed" {
		t.Errorf("an accepted mark still asks: %+v", m)
	}
	r.Add(Event{ID: "no", Kind: Voided, Target: "yes"})
	if !r.Marks()[0].Open() {
		t.Error("a mark whose acceptance was voided does not ask")
	}
}

// A replacement takes the place of the event it names.
func TestReplaced(t *testing.T) {
	s, _ := codes()
	r := tell(t, "0 stage "+s+` "glue-up"`, "6 stage "+s+` "clamp removal"`)
	r.Add(Event{ID: "new", Kind: Staged, Stage: schedule.ClampRemoval, Code: s, Target: "e1", At: schedule.At(noon.Add(24 * time.Hour))})
	if got := rules(r.Marks(), true); got != "" {
		t.Errorf("after the correction it asks %q", got)
	}
}

// An unknown code that is explained later counts from then on.
func TestUnknownCodeExplained(t *testing.T) {
	s, _ := codes()
	r := tell(t, `0 stage HBR-099-X "glue-up"`)
	r.Add(Event{ID: "is", Kind: Relabelled, Code: s, Other: "HBR-099-X", Reason: "misread"})
	if life := r.Lives()[0]; len(life.Steps) != 1 || rules(r.Marks(), true) != "" {
		t.Errorf("steps %v, asks %q", life.Steps, rules(r.Marks(), true))
	}
}

// Warned before the limit, at it and after it: a soak of 7 d +/- 4 h.
func TestDueBeforeAtAndAfterTheLimit(t *testing.T) {
	s, _ := codes()
	r := tell(t, "0 stage "+s+` "glue-up"`, "24 stage "+s+` "clamp removal"`, "360 stage "+s+` "immersion"`)
	for _, test := range []struct {
		hours float64
		want  schedule.State
	}{{400, schedule.Ongoing}, {360 + 148, schedule.Soon}, {360 + 164, schedule.Due}, {360 + 172, schedule.Due}, {360 + 172.1, schedule.Overdue}} {
		due := r.Due(noon.Add(time.Duration(test.hours * float64(time.Hour))))
		if len(due) != 1 || due[0].Stage != schedule.LiftOut || due[0].State != test.want {
			t.Errorf("after %v h: %+v, want one lift-out, %s", test.hours, due, test.want)
		}
	}
}

// A dry control is due when its soaked partner is, and follows it when the
// partner comes late.
func TestControlFollowsPartner(t *testing.T) {
	s, d := codes()
	r := tell(t, "0 stage "+d+` "glue-up"`, "24 stage "+d+` "clamp removal"`, "0 stage "+s+` "glue-up"`, "24 stage "+s+` "clamp removal"`,
		"360 stage "+s+` "immersion"`, "1100 stage "+s+` "lift-out"`, "1100.2 try "+s+` "separated"`)
	due := r.Due(noon.Add(1101 * time.Hour))
	if len(due) != 1 || due[0].Specimen.Code.String() != d || due[0].State != schedule.Due || !due[0].Sure {
		t.Fatalf("due %+v, want the control, now", due)
	}
	if want := noon.Add(1100*time.Hour + 12*time.Minute); !due[0].Window.At.Equal(want) {
		t.Errorf("due at %s, want %s", due[0].Window.At, want)
	}
}

// As of an instant, a later break did not happen, though it was corrected or
// accepted since; and what it replaced does not count either.
func TestAsOf(t *testing.T) {
	s, _ := codes()
	r := tell(t, "0 stage "+s+` "glue-up"`, "24 stage "+s+` "clamp removal"`, "360 stage "+s+` "immersion"`,
		"528 stage "+s+` "lift-out"`, "528.1 try "+s+` "separated"`)
	tried, _ := r.Event("e4")
	tried.ID, tried.Target, tried.Try = "e5", "e4", &Try{Rig: "press", Reading: "3 MPa", How: Separated}
	r.Add(tried)
	before := r.AsOf(noon.Add(528*time.Hour + time.Minute))
	if life := before.Lives()[0]; len(life.Tries) != 0 || life.Next != schedule.Break || len(before.Events()) != 5 {
		t.Errorf("before the break: %d tries, next %q, %d events", len(life.Tries), life.Next, len(before.Events()))
	}
	after := r.AsOf(noon.Add(529 * time.Hour))
	if life := after.Lives()[0]; len(life.Tries) != 1 || life.Tries[0].Reading != "3 MPa" {
		t.Errorf("after the break: %+v", life.Tries)
	}
	twice := tried
	twice.ID, twice.Target, twice.Try = "e6", "e5", &Try{Rig: "press", Reading: "2 MPa", How: Separated}
	r.Add(twice)
	if life := r.Lives()[0]; len(life.Tries) != 1 || life.Tries[0].Reading != "2 MPa" {
		t.Errorf("a correction corrected: %+v", life.Tries)
	}
}

// A group with a plan of its own is judged by that, and does not move the
// common drift; a limit has no drift at all.
func TestDriftOfOverrides(t *testing.T) {
	study, _ := plainStudy(nil)
	day := 24 * time.Hour
	d := IntervalDrift{Planned: study.Intervals[2].Planned}
	add := func(treatment string, p schedule.Planned, drift time.Duration) {
		d.Specimens = append(d.Specimens, SpecimenDrift{Of: Specimen{Adhesive: "CAS", Treatment: treatment}, Planned: p,
			Lo: p.Length + drift, Hi: p.Length + drift, Drift: drift, Known: true, Done: true})
	}
	add("soaked", d.Planned, time.Hour)
	add("long", schedule.Planned{Kind: schedule.Target, Length: 30 * day, Early: day, Late: day}, 10*time.Hour)
	add("any", schedule.Planned{Kind: schedule.AtLeast, Length: day}, 99*day)
	study.Treatments = []Treatment{{Key: "soaked"}, {Key: "long"}, {Key: "any"}}
	d.summarise(&study)
	if d.Common != time.Hour || d.CommonVerdict != schedule.Within {
		t.Errorf("common drift %s, %s", d.Common, d.CommonVerdict)
	}
	long, limit := d.Groups[1], d.Groups[2]
	if !long.Judged || long.Differential != 9*time.Hour || long.Verdict != schedule.Within || limit.Judged {
		t.Errorf("long %+v, limit %+v", long, limit)
	}
}

// Of two entries for the same minute the one written down later is the later,
// whatever ids they got.
func TestSameMinuteFollowsTheWriting(t *testing.T) {
	s, _ := codes()
	at := noon.Add(time.Hour)
	for _, ids := range [][2]string{{"a", "z"}, {"z", "a"}} {
		r := tell(t)
		for i, reading := range []string{"4.1 MPa", "4.6 MPa"} {
			r.Add(Event{ID: ids[i], Kind: Tried, Code: s, At: schedule.At(at), Recorded: at.Add(time.Duration(i) * time.Second),
				Try: &Try{Rig: "press", Reading: reading, How: Separated}})
		}
		if tries := r.Lives()[0].Tries; len(tries) != 2 || tries[1].Reading != "4.6 MPa" {
			t.Errorf("ids %v: %+v", ids, tries)
		}
	}
}

// A planned week under water that became a month, and a week's cure that became
// two, are the drift that must be caught, while they run and afterwards (common
// practice, no published source).
func TestWeekThatBecameAMonth(t *testing.T) {
	const week = 168.0
	s, _ := codes()
	weekly := func(text []byte) (Study, error) {
		study, err := plainStudy(text)
		study.Intervals[1].Planned = schedule.Planned{Kind: schedule.Target, Length: 7 * schedule.Day, Early: schedule.Day, Late: schedule.Day}
		return study, err
	}
	r := NewRecord(weekly)
	for _, e := range tell(t, "0 stage "+s+` "glue-up"`, "24 stage "+s+` "clamp removal"`, fmt.Sprintf("%f stage %s %q", 24+2*week, s, "immersion")).Events() {
		r.Add(e)
	}
	if got := rules(r.Marks(), true); got != "cure late" {
		t.Errorf("two weeks of cure instead of one: asks %q", got)
	}
	forgotten := noon.Add(time.Duration(24+2*week+30*24) * time.Hour)
	due := r.Due(forgotten)
	if len(due) != 1 || due[0].State != schedule.Overdue || due[0].Over != 23*schedule.Day-4*time.Hour {
		t.Errorf("a month into a week's soak: %+v", due)
	}
	for _, d := range r.Drift(forgotten) {
		if d.Interval == "soak" && (d.Specimens[0].Verdict != schedule.Late || d.Specimens[0].Done) {
			t.Errorf("drift of the soak that runs: %+v", d.Specimens[0])
		}
	}
	r.Add(Event{ID: "out", Kind: Staged, Stage: schedule.LiftOut, Code: s, At: schedule.At(forgotten), Recorded: forgotten})
	if got := rules(r.Marks(), true); got != "cure late, soak late" {
		t.Errorf("after the lift-out it asks %q", got)
	}
}
