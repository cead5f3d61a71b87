package intake

import (
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels/photo"
	"soaktag/schedule"
	"soaktag/tracker"
)

// at writes a form up for an earlier hour after noon, five days after noon.
func (c *clock) at(d *Desk, hours float64, form Input) (Outcome, error) {
	c.now = noon.Add(120 * time.Hour)
	d.Entry = Now(c.now)
	d.At, d.Timed = schedule.At(noon.Add(time.Duration(hours*float64(time.Hour)))), true
	return d.Take(form)
}

// recordedOf are those of the specimens that an outcome recorded something of.
func recordedOf(out Outcome) string {
	var all []string
	for _, v := range out.Verdicts() {
		all = append(all, v.Event.Code[6:7])
	}
	slices.Sort(all)
	return strings.Join(all, " ")
}

// liftedOf are the specimens that are on record as lifted out.
func liftedOf(d *Desk) string {
	var all []string
	for _, e := range d.Record().Events() {
		if e.Stage == schedule.LiftOut {
			all = append(all, e.Code[6:7])
		}
	}
	slices.Sort(all)
	return strings.Join(all, " ")
}

// Two soaked specimens of one bath, 3 glued on the first evening and 4 on the
// second: a tag that is written up late means whom it could mean then.
func TestLateBathTag(t *testing.T) {
	tests := []struct {
		name, means string
		before      []Stage // beside the glue-ups at 0 h and 24 h, and 3 without its clamp at 24 h
		hours       []float64
		at          float64
		stage       string
	}{
		{"one glued later is not meant", "3", nil, nil, 36, "immersion"},
		{"both, once both are without clamps", "3 4", []Stage{{Subjects: []string{"4"}, Name: "clamp removal"}}, []float64{48}, 60, "immersion"},
		{"nor one that lies there already", "4", []Stage{{Subjects: []string{"4"}, Name: "clamp removal"}, {Subjects: []string{"3"}, Name: "immersion"}}, []float64{48, 49}, 60, "immersion"},
		{"of a lift-out those in the water", "3", []Stage{{Subjects: []string{"3"}, Name: "immersion"}, {Subjects: []string{"4"}, Name: "clamp removal"},
			{Subjects: []string{"4"}, Name: "immersion"}}, []float64{30, 48, 72}, 60, "lift-out"},
		{"nobody was glued by then", "", nil, nil, -5, "immersion"},
		{"one lost since was there then", "3", []Stage{{Subjects: []string{"3"}, Name: "lost"}}, []float64{40}, 36, "immersion"},
		{"one lost before was not, and the other not ready", "", []Stage{{Subjects: []string{"3"}, Name: "lost"}, {Subjects: []string{"4"}, Name: "clamp removal"}}, []float64{30, 48}, 36, "immersion"},
		{"steps that nobody wrote down are missed, and the fact kept", "4", []Stage{{Subjects: []string{"3"}, Name: "lost"}}, []float64{30}, 36, "immersion"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, c := deskOf(t, smallPlan, dealt())
			glued := []Stage{{Subjects: []string{"3"}, Name: "glue-up"}, {Subjects: []string{"4"}, Name: "glue-up"}, {Subjects: []string{"3"}, Name: "clamp removal"}}
			for i, form := range append(glued, test.before...) {
				if _, err := c.at(d, append([]float64{0, 24, 24}, test.hours...)[i], form); err != nil {
					t.Fatal(err)
				}
			}
			out, err := c.at(d, test.at, Stage{Subjects: []string{"bath B1"}, Name: test.stage})
			if recordedOf(out) != test.means || (err == nil) != (test.means != "") {
				t.Errorf("it means %q, %v; want %q", recordedOf(out), err, test.means)
			}
			if r, ok := err.(*Refusal); err != nil && (!ok || r.Help != (WriteUpOne{schedule.Stage(test.stage)})) {
				t.Errorf("it is refused without help: %+v", err)
			}
		})
	}
}

// Two lots in one bath, 3 immersed a day before 4: their windows for the lift-out
// open 164 h after that (7 d less 4 h), at 224 h and at 248 h after noon. A tag means
// the lot whose window is open or over, and all where that is none. Immersed 3 h
// apart they are one lot, since windows of 8 h have more than half in common.
func TestBathTagOfLots(t *testing.T) {
	late := noon.Add(248 * time.Hour)
	const photographed = 51 * time.Hour
	tests := []struct {
		apart float64 // hours between the immersions
		hours float64 // after noon
		means string
		opens time.Time // of the one not meant
	}{
		{24, 223, "3 4", time.Time{}}, // nobody's is open: early on purpose
		{24, 223.99, "3 4", time.Time{}},
		{24, 224, "3", late},
		{24, 240, "3", late}, // over for 3
		{24, 247.9, "3", late},
		{24, 248, "3 4", time.Time{}},
		{3, 225, "3 4", time.Time{}},
		{5, 225, "3", noon.Add(229 * time.Hour)},
	}
	for _, test := range tests {
		for _, writtenUp := range []time.Duration{0, 50 * time.Hour, photographed} {
			d, c := deskOf(t, smallPlan, dealt())
			for i, form := range []Stage{{Subjects: []string{"3", "4"}, Name: "glue-up"}, {Subjects: []string{"3", "4"}, Name: "clamp removal"},
				{Subjects: []string{"3"}, Name: "immersion"}, {Subjects: []string{"4"}, Name: "immersion"}} {
				if _, err := c.at(d, []float64{0, 24, 60, 60 + test.apart}[i], form); err != nil {
					t.Fatal(err)
				}
			}
			at := noon.Add(time.Duration(test.hours * float64(time.Hour)))
			c.now = at.Add(writtenUp)
			d.Entry = Now(c.now)
			d.At, d.Timed = schedule.At(at), writtenUp > 0
			in := Input(Stage{Subjects: []string{"bath B1"}, Name: "lift-out"})
			if writtenUp == photographed {
				p := bare("the tag", ".LIFTOUT", ".BATHB1")
				p.Exif = photo.Exif{Wall: at, Zone: time.UTC}
				in = p
			}
			out, err := d.Take(in)
			var opens time.Time
			for _, note := range out.Notes {
				if n, ok := note.(NotMeant); ok {
					opens = n.Opens
				}
			}
			means := liftedOf(d)
			if err != nil || means != test.means || !opens.Equal(test.opens) {
				t.Errorf("%v h apart, at %v h, written up %v later, it means %q, the other from %v, %v; want %q, %v",
					test.apart, test.hours, writtenUp, means, opens, err, test.means, test.opens)
			}
		}
	}
}

// A range of time counts as its middle, and what is not timed is now.
func TestLateBathTagInARange(t *testing.T) {
	d, c := deskOf(t, smallPlan, dealt())
	for i, stage := range []string{"glue-up", "clamp removal"} {
		if _, err := c.at(d, 24*float64(i), Stage{Subjects: []string{"3"}, Name: stage}); err != nil {
			t.Fatal(err)
		}
	}
	tag := Stage{Subjects: []string{"bath B1"}, Name: "lift-out"}
	d.Entry = Now(c.now)
	for hours, means := range map[int]bool{23: false, 25: true} {
		d.At = schedule.Span{From: noon.Add(time.Duration(hours-10) * time.Hour), To: noon.Add(time.Duration(hours+10) * time.Hour)}
		meant, _ := d.inBath(tracker.Event{Kind: tracker.Staged, Stage: schedule.Immersion, At: d.At, Recorded: c.now}, "B1")
		three := slices.ContainsFunc(meant, func(l *tracker.Life) bool { return l.Specimen.Code.Serial == 3 })
		if three != means {
			t.Errorf("in a range about %d h 3 is meant: %v", hours, three)
		}
	}
	if out, err := c.write(d, "", tag); err != nil || recordedOf(out) != "3 4" {
		t.Errorf("live it means %q, %v", recordedOf(out), err)
	}
}
