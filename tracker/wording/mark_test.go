package wording

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

var noon = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

// The specimens of the study that is told below.
var (
	soaked = labels.New("HBR", 1).String()
	dry    = labels.New("HBR", 2).String()
	solid  = labels.New("HBR", 3).String()
	cycled = labels.New("HBR", 4).String()
	boiled = labels.New("HBR", 5).String()
	glued  = labels.New("HBR", 6).String()
)

// study has a plan in which every mark can be brought about: a soak, a control,
// wood without a bond, planned cycles, and a schedule with a stage of its own.
func study(t *testing.T) tracker.PlanReader {
	zone, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	follow := func(key, name string) tracker.Treatment {
		p, err := schedule.FindProtocol(name)
		if err != nil {
			t.Fatal(err)
		}
		return tracker.Treatment{Key: key, Soaked: true, Protocol: p, Intervals: p.Intervals(), State: p.State()}
	}
	target := func(length, off time.Duration) schedule.Planned {
		return schedule.Planned{Kind: schedule.Target, Length: length, Early: off, Late: off}
	}
	s := tracker.Study{Prefix: "HBR", Zone: zone,
		Specimen:  tracker.SpecimenPlan{BondLength: 0.040, BondWidth: 0.045},
		Adhesives: []tracker.Adhesive{{Key: "CAS"}, {Key: "SOLID", SolidWood: true}},
		Treatments: []tracker.Treatment{
			{Key: "dry", Control: true, Age: schedule.Planned{Kind: schedule.AsPartner, Early: schedule.Day, Late: schedule.Day}},
			{Key: "soaked", Soaked: true, State: "wet"}, follow("cycled", "hpva-three-cycle"), follow("boiled", "astm-d5751-boil")},
		Intervals: []schedule.Interval{
			{Name: "clamp", From: schedule.GlueUp, To: schedule.ClampRemoval, Planned: target(24*time.Hour, 2*time.Hour)},
			{Name: "cure", From: schedule.ClampRemoval, To: schedule.Immersion, Planned: target(14*schedule.Day, schedule.Day)},
			{Name: "soak", From: schedule.Immersion, To: schedule.LiftOut, Planned: target(7*schedule.Day, 4*time.Hour)},
			{Name: "wet hold", From: schedule.LiftOut, To: schedule.Break, Planned: schedule.Planned{Kind: schedule.AtMost, Length: 30 * time.Minute}}},
		Rigs: []tracker.Rig{{Name: "press", Gauge: tracker.Gauge{SpanPressure: quantity.Pressure(25e6)}}},
	}
	return func(text []byte) (tracker.Study, error) { s.Text = text; return s, nil }
}

func begun() tracker.Event {
	deal := func(serial int, adhesive, treatment, board string) tracker.Specimen {
		return tracker.Specimen{Code: labels.New("HBR", serial), Adhesive: adhesive, Treatment: treatment, Board: board, Bath: "B1"}
	}
	return tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(noon), Recorded: noon, Dealt: []tracker.Specimen{
		deal(1, "CAS", "soaked", "A"), deal(2, "CAS", "dry", "A"), deal(3, "SOLID", "soaked", "A"), deal(4, "CAS", "cycled", "A"), deal(5, "CAS", "boiled", "A"), deal(6, "CAS", "soaked", "B")}}
}

// A change makes an event something else than a scan at its time.
type change func(*tracker.Event)

// at is an event so many hours after noon: a stage gone through, or as changed.
func at(hours float64, code string, stage schedule.Stage, changes ...change) tracker.Event {
	when := noon.Add(time.Duration(hours * float64(time.Hour)))
	e := tracker.Event{Kind: tracker.Staged, Code: code, Stage: stage, At: schedule.At(when), Recorded: when, Via: "scan",
		ID: fmt.Sprintf("%s at %g", stage, hours)}
	for _, c := range changes {
		c(&e)
	}
	return e
}

func try(reading string, how tracker.How) change {
	return func(e *tracker.Event) {
		e.Kind, e.Stage, e.Try = tracker.Tried, "", &tracker.Try{Rig: "press", Reading: reading, How: how}
	}
}

func end(how tracker.Ending) change {
	return func(e *tracker.Event) { e.Kind, e.Stage, e.End = tracker.Ended, "", how }
}

func written(later float64) change {
	return func(e *tracker.Event) {
		e.Via, e.Recorded = "typed", e.At.From.Add(time.Duration(later*float64(time.Hour)))
	}
}

func doubt(text string) change { return func(e *tracker.Event) { e.Doubt = text } }

func device(name string) change {
	return func(e *tracker.Event) { e.Device, e.DeviceTime = name, true }
}

func measured(name, text string) change {
	return func(e *tracker.Event) {
		e.Kind, e.Stage, e.Values = tracker.Measured, "", []tracker.Value{{Name: name, Text: text}}
	}
}

func until(hours float64) change {
	return func(e *tracker.Event) { e.At.To = noon.Add(time.Duration(hours * float64(time.Hour))) }
}

func photo(e *tracker.Event) { e.Via = "photo" }

func of(kind tracker.Kind, set change) change {
	return func(e *tracker.Event) { e.Kind, e.Stage = kind, ""; set(e) }
}

// life is the way of one specimen as planned, up to n stages.
func life(code string, n int) []tracker.Event {
	all := []tracker.Event{at(0, code, schedule.GlueUp), at(24, code, schedule.ClampRemoval), at(360, code, schedule.Immersion), at(528, code, schedule.LiftOut)}
	return all[:n]
}

func cycles(n int) []tracker.Event {
	all := life(cycled, 3)
	for i, h := range []float64{364, 383, 387, 406, 410} {
		all = append(all, at(h, cycled, []schedule.Stage{schedule.LiftOut, schedule.Immersion}[i%2]))
	}
	return all[:n]
}

// takes lets a try that asks count.
func takes(id string) tracker.Event {
	return at(540, soaked, "", of(tracker.Accepted, func(e *tracker.Event) { e.Target, e.Rule, e.Reason = id, tracker.RuleAfterBreak, "seen" }))
}

// stories bring about every case of every mark.
func stories() map[string][]tracker.Event {
	with := func(before []tracker.Event, more ...tracker.Event) []tracker.Event { return append(before, more...) }
	broken := with(life(soaked, 4), at(528.1, soaked, "", try("10 MPa", tracker.Separated)))
	lost := at(529, soaked, "", end(tracker.Lost))
	reason := func(e *tracker.Event) { e.Reason = "the ink ran" }
	return map[string][]tracker.Event{
		"no stage":                    {at(1, soaked, "")},
		"no stage in a photograph":    {at(1, soaked, "", photo)},
		"read twice":                  with(life(soaked, 1), at(0.01, soaked, schedule.GlueUp)),
		"the same try twice":          with(life(soaked, 4), at(528.1, soaked, "", try("10 MPa", tracker.Stopped)), at(528.11, soaked, "", try("10 MPa", tracker.Stopped))),
		"scanned after the break":     with(slices.Clone(broken), at(530, soaked, schedule.LiftOut)),
		"tried after the break":       with(slices.Clone(broken), at(530, soaked, "", try("11 MPa", tracker.Separated))),
		"stopped after the break":     with(slices.Clone(broken), at(530, soaked, "", try("11 MPa", tracker.Stopped))),
		"another break accepted":      with(slices.Clone(broken), at(530, soaked, "", try("11 MPa", tracker.Separated)), at(531, soaked, "", try("12 MPa", tracker.Separated)), takes("e6"), takes("e7")),
		"it fell apart before":        with(life(soaked, 4), at(528.1, soaked, "", try("", tracker.FellApart)), at(530, soaked, "", try("11 MPa", tracker.Separated))),
		"lost after the break":        with(slices.Clone(broken), at(530, soaked, "", end(tracker.Damaged))),
		"scanned after it was lost":   with(life(soaked, 3), lost, at(530, soaked, schedule.LiftOut)),
		"tried after it was lost":     with(life(soaked, 4), lost, at(530, soaked, "", try("10 MPa", tracker.Separated))),
		"a control into the bath":     with(life(dry, 2), at(30, dry, schedule.Immersion)),
		"glue-up of solid wood":       {at(1, solid, schedule.GlueUp)},
		"a break without a reading":   with(life(soaked, 4), at(528.1, soaked, schedule.Break)),
		"glued up twice":              with(life(soaked, 1), at(5, soaked, schedule.GlueUp)),
		"immersed twice":              with(life(soaked, 3), at(400, soaked, schedule.Immersion)),
		"lifted out twice":            with(life(soaked, 4), at(540, soaked, schedule.LiftOut)),
		"immersed twice in cycles":    with(cycles(3), at(383, cycled, schedule.Immersion)),
		"lifted out twice in cycles":  with(cycles(4), at(387, cycled, schedule.LiftOut)),
		"clamps never off":            {at(0, soaked, schedule.GlueUp), at(360, soaked, schedule.Immersion)},
		"after a later stage":         {at(24, soaked, schedule.ClampRemoval), at(30, soaked, schedule.GlueUp)},
		"a pass missed":               with(cycles(4), at(383, cycled, "", try("10 MPa", tracker.Separated))),
		"a step of its own skipped":   {at(0, boiled, schedule.GlueUp), at(24, boiled, schedule.ClampRemoval), at(360, boiled, schedule.Immersion), at(364, boiled, schedule.LiftOut), at(384, boiled, schedule.Immersion), at(389, boiled, schedule.LiftOut)},
		"its own, broken at once":     {at(0, boiled, schedule.GlueUp), at(24, boiled, schedule.ClampRemoval), at(360, boiled, schedule.Immersion), at(364, boiled, schedule.LiftOut), at(384, boiled, schedule.Immersion), at(389, boiled, "", try("10 MPa", tracker.Separated))},
		"broken in the bath":          with(life(soaked, 4), at(529, soaked, schedule.Immersion), at(530, soaked, "", try("10 MPa", tracker.Separated))),
		"put back":                    with(life(soaked, 4), at(529, soaked, schedule.Immersion)),
		"put back after a try":        with(life(soaked, 4), at(528.1, soaked, "", try("10 MPa", tracker.FixtureGave)), at(529, soaked, schedule.Immersion)),
		"over the gauge":              with(life(soaked, 4), at(528.1, soaked, "", try("28 MPa", tracker.Separated))),
		"loaded before":               with(life(soaked, 4), at(528.1, soaked, "", try("10 MPa", tracker.FixtureGave)), at(528.2, soaked, "", try("11 MPa", tracker.Separated))),
		"loaded before, without":      with(life(soaked, 4), at(528.1, soaked, "", func(e *tracker.Event) { try("", tracker.BottomedOut)(e); e.Try.Rig = "" }), at(528.2, soaked, "", try("11 MPa", tracker.Separated))),
		"another pass":                with(cycles(4), at(383, cycled, "immersion 3")),
		"in the future":               {at(1, soaked, schedule.GlueUp, written(-3))},
		"written up later":            {at(1, soaked, schedule.GlueUp, written(5))},
		"a probable code":             {at(1, soaked, schedule.GlueUp, photo, doubt(tracker.ProbableCode+"matched at 0.81"))},
		"a time in doubt":             {at(1, soaked, schedule.GlueUp, doubt("happens twice on that day"))},
		"a code explained":            {at(1, "HBR-099-X", schedule.GlueUp), at(0, soaked, "", of(tracker.Relabelled, func(e *tracker.Event) { e.Other = "HBR-099-X" }))},
		"labels exchanged":            {at(1, soaked, schedule.GlueUp), at(0, soaked, "", of(tracker.Exchanged, func(e *tracker.Event) { e.Other = glued }))},
		"a clock never compared":      {at(1, soaked, schedule.GlueUp, device("tub"))},
		"a clock fast":                {at(1, soaked, schedule.GlueUp, device("tub")), at(0, "", "", device("tub"), of(tracker.ClockSeen, func(e *tracker.Event) { e.DeviceTime, e.Shown = false, noon.Add(7*time.Minute) }))},
		"a clock slow":                {at(1, soaked, schedule.GlueUp, device("tub")), at(0, "", "", device("tub"), of(tracker.ClockSeen, func(e *tracker.Event) { e.DeviceTime, e.Shown = false, noon.Add(-time.Hour) }))},
		"a bond far from the plan":    {at(1, soaked, "", measured("bond_length", "4.02 mm"))},
		"faces before the break":      {at(1, soaked, "", of(tracker.FacesRead, func(e *tracker.Event) { e.Half, e.Faces = 1, &tracker.Faces{} }))},
		"found and never lost":        {at(1, soaked, "", end(tracker.Found))},
		"relabelled":                  {at(1, soaked, "", of(tracker.Relabelled, func(e *tracker.Event) { e.Issue = 2 }), reason)},
		"relabelled without a reason": {at(1, soaked, "", of(tracker.Relabelled, func(e *tracker.Event) { e.Issue = 3 }))},
		"never dealt":                 {at(1, "HBR-099-X", schedule.GlueUp)},
		"a trial never printed":       {at(1, labels.Trial(7).Symbol(), "")},
		"partner still in the bath":   with(life(soaked, 3), at(0, dry, schedule.GlueUp), at(24, dry, schedule.ClampRemoval), at(400, dry, "", try("10 MPa", tracker.Separated))),
		"partner in bath, when due":   with(life(soaked, 3), at(0, dry, schedule.GlueUp), at(24, dry, schedule.ClampRemoval), at(528, dry, "", try("10 MPa", tracker.Separated))),
		"younger than its partner":    with(slices.Clone(broken), at(0, dry, schedule.GlueUp), at(24, dry, schedule.ClampRemoval), at(400, dry, "", try("10 MPa", tracker.Separated))),
		"clamp early":                 {at(0, soaked, schedule.GlueUp), at(6, soaked, schedule.ClampRemoval)},
		"soak late":                   with(life(soaked, 3), at(1100, soaked, schedule.LiftOut)),
		"cannot tell":                 with(life(soaked, 1), at(20, soaked, schedule.ClampRemoval, until(25))),
		"at least":                    with(life(soaked, 1), at(20, soaked, schedule.ClampRemoval, func(e *tracker.Event) { e.At.To = time.Time{} })),
		"over the wet hold":           with(life(soaked, 4), at(530, soaked, "", try("10 MPa", tracker.Separated))),
		"added": {at(1, "", "", of(tracker.PlanAmended, func(e *tracker.Event) {
			e.Code = ""
			e.Dealt = []tracker.Specimen{{Code: labels.New("HBR", 7), Adhesive: "CAS", Treatment: "dry"}}
		}))},
		"re-glued": {at(1, "", "", of(tracker.PlanAmended, func(e *tracker.Event) {
			e.Code, e.Reason = "", "to see whether it holds again"
			e.Dealt = []tracker.Specimen{{Code: labels.New("HBR", 7), Adhesive: "CAS", Treatment: "dry", Parent: soaked}}
		}))},
	}
}

// Every case of every mark, in words that do not change: the file was written
// by the program as it was when the record still worded its marks itself.
func TestMarkText(t *testing.T) {
	var got strings.Builder
	told := stories()
	for _, name := range slices.Sorted(func(yield func(string) bool) {
		for name := range told {
			if !yield(name) {
				return
			}
		}
	}) {
		rec := tracker.NewRecord(study(t))
		for i, e := range append([]tracker.Event{begun()}, told[name]...) {
			e.ID = fmt.Sprintf("e%d", i)
			if _, err := rec.Add(e); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
		fmt.Fprintf(&got, "%s\n", name)
		for _, m := range rec.Marks() {
			fmt.Fprintf(&got, "    %s\n", Mark(m))
		}
	}
	if file := os.Getenv("WRITE_MARKS"); file != "" {
		os.WriteFile(file, []byte(got.String()), 0o644)
	}
	want, err := os.ReadFile("testdata/marks.txt")
	if err != nil {
		t.Fatal(err)
	}
	if got.String() != string(want) {
		t.Errorf("marks are worded otherwise:\n%s", got.String())
	}
}
