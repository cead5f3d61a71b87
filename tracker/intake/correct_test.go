package intake

import (
	"slices"
	"strings"
	"testing"

	"soaktag/tracker"
)

// What an event says is replaced field by field; what was not named stays.
func TestCorrectEvent(t *testing.T) {
	stage := Stage{Subjects: []string{"1"}, Name: "glue-up"}
	broke := Try{Subject: "1", Reading: "1310 psi", Ended: "separated"}
	measured := Measure{Subjects: []string{"1"}, Values: []string{"bond_width=44.8 mm"}}
	for _, test := range []struct {
		of      Input
		changes string // between |
		want    func(tracker.Event) bool
	}{
		{stage, "stage=clamp removal", func(e tracker.Event) bool { return e.Stage == "clamp removal" && e.Kind == tracker.Staged }},
		{stage, "stage=lost|note=in the shavings", func(e tracker.Event) bool { return e.End == tracker.Lost && e.Note == "in the shavings" }},
		{stage, "code=2/1|by=Ann", func(e tracker.Event) bool { return e.Code == code(2) && e.Half == 1 && e.By == "Ann" }},
		{stage, "half=2", func(e tracker.Event) bool { return e.Code == code(1) && e.Half == 2 }},
		{stage, "at=2026-02-21 12:30", func(e tracker.Event) bool { return e.At.From.Equal(noon.Add(30 * 60e9)) }},
		{broke, "reading=1130 psi|Wood-Failure=40", func(e tracker.Event) bool {
			return e.Try.Reading == "1130 psi" && *e.Try.WoodFailure == 40 && e.Try.Rig == "press" && e.Try.How == tracker.Separated
		}},
		{broke, "ended=slipped|state=redried|mode=AF", func(e tracker.Event) bool {
			return e.Try.How == tracker.Slipped && e.Try.State == "re-dried" && e.Try.Mode == "AF"
		}},
		{Faces{Subject: "1/1", WoodFailure: "10"}, "shallow=true|wood_failure=20", func(e tracker.Event) bool {
			return e.Faces.Shallow && e.Faces.WoodFailure == 20
		}},
		{measured, "bond_length=40 mm|bond_width=44.9 mm", func(e tracker.Event) bool {
			return slices.Equal(e.Values, []tracker.Value{{Name: "bond_width", Text: "44.9 mm"}, {Name: "bond_length", Text: "40 mm"}})
		}},
	} {
		d, c := deskAt(t, begun(t))
		old := c.took(t, d, test.of).Verdicts()[0].Event
		out := c.took(t, d, Correct{Meant: these("last"), Changes: strings.Split(test.changes, "|"), Sure: true})
		fresh := out.Verdicts()[0].Event
		if !test.want(fresh) || fresh.Target != old.ID || fresh.Reason != "why" || noted[Replaces](t, out).Events[0].ID != old.ID {
			t.Errorf("%s: %+v", test.changes, fresh)
		}
		if d.refresh(); !d.rec.Voided(old.ID) {
			t.Errorf("%s: the old one still counts", test.changes)
		}
	}
}

// A correction that cannot be read corrects nothing, and says which part.
func TestCorrectRefused(t *testing.T) {
	d, c := deskAt(t, begun(t))
	c.took(t, d, Stage{Subjects: []string{"1"}, Name: "glue-up"}, Measure{Subjects: []string{"1"}, Values: []string{"moisture=9 %"}},
		Try{Subject: "1", Reading: "1310 psi", Ended: "separated"})
	before := len(d.Record().Events())
	for _, test := range []struct{ event, change, want string }{
		{"2", "colour=red", "nothing that can be corrected"},
		{"2", "stage", "is not FIELD=VALUE"},
		{"2", "stage=nowhere", `no stage "nowhere"`},
		{"2", "reading=1 psi", "it has no reading"},
		{"2", "half=3", "half is 1, 2, or 0"},
		{"2", "code=B1", "is a bath"},
		{"2", "at=late", "at: "},
		{"2", "shown=12:00..12:10", "an instant, not a range"},
		{"3", "colour=red", "nothing is measured under the name"},
		{"3", "stage=glue-up", "it has no stage"},
		{"4", "shallow=true", "a break has no shallow"},
		{"4", "rig=hammer", `the plan has no rig "hammer"`},
		{"4", "reading=heavy", "reading: "},
	} {
		if _, err := c.write(d, "why", Correct{Meant: these(test.event), Changes: []string{test.change}, Sure: true}); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s of %s: %v", test.change, test.event, err)
		}
	}
	if _, err := c.write(d, "why", Correct{Meant: these("2")}); err == nil {
		t.Error("nothing to correct, and taken")
	}
	if d.refresh(); len(d.Record().Events()) != before {
		t.Error("refused, and recorded")
	}
}

// A correction that was set aside lets what it had replaced count again, and
// one that makes another event ask says so.
func TestAftermath(t *testing.T) {
	d, c := deskAt(t, begun(t))
	c.took(t, d, Stage{Subjects: []string{"1"}, Name: "glue-up"}, Stage{Subjects: []string{"1"}, Name: "clamp removal"})
	out := c.took(t, d, Correct{Meant: these("2"), Changes: []string{"code=2"}})
	if asks := noted[AsksNow](t, out).Marks; len(asks) == 0 || asks[0].Code != code(1) {
		t.Errorf("%+v", asks)
	}
	out = c.took(t, d, Void{these("last")})
	if again := noted[CountsAgain](t, out).Events[0]; again.Seq != 2 {
		t.Errorf("event %d counts again", again.Seq)
	}
}
