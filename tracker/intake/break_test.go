package intake

import (
	"math"
	"strings"
	"testing"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

// What a single try means is what results say of it: a bond that the wood
// limited is at least so strong, and so is one that outlasted the try.
func TestBreakMeansWhatResultsSay(t *testing.T) {
	for _, test := range []struct {
		name     string
		form     Try
		measured string
		bound    stat.Bound
		mpa      float64 // over the bond; 0: nothing is said
	}{
		{"the bond gave way", Try{Reading: "10 MPa", Ended: "separated"}, "", stat.Exact, 8.856},
		{"no wood at all", Try{Reading: "10 MPa", Ended: "separated", WoodFailure: "0"}, "", stat.Exact, 8.856},
		{"just under the limit", Try{Reading: "10 MPa", Ended: "sep", WoodFailure: "79.9 %"}, "", stat.Exact, 8.856},
		{"at the limit", Try{Reading: "10 MPa", Ended: "separated", WoodFailure: "80"}, "", stat.AtLeast, 8.856},
		{"the wood gave way", Try{Reading: "10 MPa", Ended: "separated", WoodFailure: "95"}, "", stat.AtLeast, 8.856},
		{"the rig gave way", Try{Reading: "10 MPa", Ended: "fixture failure"}, "", stat.AtLeast, 8.856},
		{"stopped at once", Try{Reading: "0 MPa", Ended: "stopped"}, "", stat.AtLeast, 0},
		{"a force", Try{Reading: "18 kN", Ended: "separated"}, "", stat.Exact, 10},
		{"a bond that was measured", Try{Reading: "18 kN", Ended: "separated"}, "bond_length=20 mm", stat.Exact, 20},
	} {
		d, c := deskAt(t, begun(t))
		if test.measured != "" {
			c.took(t, d, Measure{[]string{"3"}, []string{test.measured}})
		}
		test.form.Subject = "3"
		said := noted[Weighed](t, c.took(t, d, test.form))
		result := func() strength.Specimen {
			return strength.Of(d.Record().Study(), d.Record().Life(labels.New("TRF", 3)))
		}
		if r := result(); r.Bound != said.Load.Bound || *r.ShearMPa != said.Load.Stress.MPa() {
			t.Errorf("%s: results say %v %v, and the desk %+v", test.name, r.Bound, *r.ShearMPa, said.Load)
		}
		if said.Load.Bound != test.bound || math.Abs(said.Load.Stress.MPa()-test.mpa) > 5e-4 || said.Load.Area == 0 || said.Load.Nominal != (test.measured == "") {
			t.Errorf("%s: %+v; want %v %g MPa", test.name, said.Load, test.bound, test.mpa)
		}
		// Faces that are read later change results, and not what was said.
		c.took(t, d, Faces{Subject: "3/1", WoodFailure: "0"}, Faces{Subject: "3/2", WoodFailure: "0"})
		if d.refresh(); test.form.WoodFailure == "95" && result().Bound != stat.Exact {
			t.Errorf("%s: %v after its faces were read", test.name, result().Bound)
		}
	}
}

// Where there is no reading nothing is said of it; where it is no force, why.
func TestBreakWithoutForce(t *testing.T) {
	d, c := deskAt(t, begun(t))
	for _, form := range []Try{{Subject: "3", Ended: "fell apart"}, {Subject: "4", Ended: "bottomed out"}, {Subject: "4", Ended: "slipped"}} {
		for _, n := range c.took(t, d, form).Notes {
			switch n.(type) {
			case Weighed, NoForce:
				t.Errorf("%s: %+v", form.Ended, n)
			}
		}
	}
	c.now = c.now.Add(schedule.Day)
	d.Entry = Now(c.now)
	d.Yes = true
	out, err := d.Take(Try{Subject: "4", Reading: "9 MPa", Ended: "separated", Rig: "hammer"})
	if err != nil || noted[UnknownRig](t, out).Name != "hammer" || noted[NoForce](t, out).Err == nil {
		t.Errorf("%+v, %v", out, err)
	}
	strange := Try{Subject: labels.New("TRF", 300).String(), Reading: "18 kN", Ended: "separated"}
	if load := noted[Weighed](t, c.took(t, d, strange)).Load; load.Force.N() != 18000 || load.Area != 0 {
		t.Errorf("a code that nobody dealt: %+v", load)
	}
}

func TestTryIsKept(t *testing.T) {
	d, c := deskAt(t, begun(t))
	out := c.took(t, d, Try{Subject: code(3) + "/2", Reading: " 1310 psi", Ended: "sep", WoodFailure: "95 %", Mode: " SF ", State: "Part dried"})
	e := out.Verdicts()[0].Event
	try := *e.Try
	if e.Kind != tracker.Tried || e.Code != code(3) || e.Half != 2 || *try.WoodFailure != 95 {
		t.Errorf("%+v, %+v", e, try)
	}
	try.WoodFailure = nil
	if want := (tracker.Try{Rig: "press", Reading: "1310 psi", How: tracker.Separated, Mode: "SF", State: "part-dried"}); try != want {
		t.Errorf("%+v, want %+v", try, want)
	}
}

// What is refused leaves the log as it was.
func TestTriesRefused(t *testing.T) {
	good := Try{Subject: "3", Reading: "9 MPa", Ended: "separated"}
	for _, test := range []struct {
		change func(*Try)
		why    string
	}{
		{func(f *Try) { f.Subject = "B1" }, "is a bath; name one specimen"},
		{func(f *Try) { f.Subject = "99" }, "no specimen of this study has serial 99; nothing recorded"},
		{func(f *Try) { f.Ended = "" }, "how did it end?"},
		{func(f *Try) { f.Reading = "" }, "wants the reading"},
		{func(f *Try) { f.Reading = "9 ton" }, "reading: "},
		{func(f *Try) { f.Ended = "fell apart" }, "fell apart gives no reading"},
		{func(f *Try) { f.Rig = "hammer" }, "the plan has no rig"},
		{func(f *Try) { f.WoodFailure = "all" }, "wood failure"},
		{func(f *Try) { f.State = "damp" }, "is no state"},
		{func(f *Try) { f.Subject, f.WoodFailure = "dummy", "80" }, "wood-failure is kept of specimens only"},
		{func(f *Try) { f.Subject, f.Mode = "dummy", "SF" }, "mode is kept of specimens only"},
		{func(f *Try) { f.Subject, f.State = "dummy", "wet" }, "state is kept of specimens only"},
	} {
		d, c := deskAt(t, begun(t))
		form := good
		test.change(&form)
		if _, err := c.write(d, "", form); !refusedWith(err, test.why) {
			t.Errorf("%+v: %v, want %q", form, err, test.why)
		}
		if d.refresh(); len(d.Record().Events()) != 1 {
			t.Errorf("%+v: refused, and recorded", form)
		}
	}
}

// A dummy shows whether the rig holds what the breaks will take.
func TestDummyShowed(t *testing.T) {
	woods := strings.Replace(smallPlan, "[specimen]", "[wood]\nspecies = \"white ash\"\n[specimen]", 1)
	for _, test := range []struct {
		plan, reading, ended string
		short, expected      int
		unknown              bool
	}{
		{woods, "2 MPa", "fixture gave way", 2, 2, false},
		{woods, "24 MPa", "press limit", 0, 2, false},
		{woods, "12 MPa", "stopped", 1, 2, false},
		{woods, "12 MPa", "separated", 1, 2, false},
		{smallPlan, "2 MPa", "stopped", 0, 0, true},
	} {
		d, c := deskOf(t, test.plan, dealt())
		out := c.took(t, d, Try{Subject: "dummy", Reading: test.reading, Ended: test.ended})
		shown := noted[DummyShowed](t, out)
		if len(shown.Short()) != test.short || len(shown.Expected) != test.expected || (shown.Unknown != nil) != test.unknown || shown.Rig != "press" ||
			!(shown.Force > 0) || shown.Force != noted[Weighed](t, out).Load.Force {
			t.Errorf("%s at %s: %+v", test.ended, test.reading, shown)
		}
		if e := out.Verdicts()[0].Event; e.Code != tracker.DummyCode || e.Half != 0 {
			t.Errorf("%+v", e)
		}
	}
}

// What the record will ask of a break is said before any question is put.
func TestForesee(t *testing.T) {
	d, c := deskAt(t, begun(t))
	c.took(t, d, Stage{Subjects: []string{"2"}, Name: "withdrawn"}, Try{Subject: "5", Reading: "9 MPa", Ended: "separated"})
	for _, s := range []string{"glue-up", "clamp removal"} {
		c.took(t, d, Stage{Subjects: []string{"1"}, Name: s})
	}
	d.refresh()
	strange := Subject{Code: "TRF-300-X"}
	for _, test := range []struct {
		sub  Subject
		want *Foreseen
	}{
		{Subject{Code: code(1)}, nil},
		{Subject{Code: code(2)}, &Foreseen{Dealt: true, End: tracker.Withdrawn}},
		{Subject{Code: code(3)}, &Foreseen{Dealt: true, Next: schedule.GlueUp}},
		{Subject{Code: code(5)}, &Foreseen{Dealt: true}},
		{strange, &Foreseen{}},
	} {
		out := d.Foresee(test.sub)
		if test.want == nil {
			if len(out.Notes) > 0 {
				t.Errorf("%s: %+v", test.sub, out.Notes)
			}
			continue
		}
		got := noted[Foreseen](t, out)
		if test.want.Subject = test.sub; got.Subject != test.want.Subject || got.Dealt != test.want.Dealt || got.End != test.want.End ||
			(got.Next == "") != (test.want.Next == "") && test.want.End == "" {
			t.Errorf("%s: %+v, want %+v", test.sub, got, *test.want)
		}
	}
}
