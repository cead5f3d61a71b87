package intake

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// refusedWith reports whether an error is a refusal that says so.
func refusedWith(err error, why string) bool {
	var r *Refusal
	return errors.As(err, &r) && strings.Contains(r.Why, why)
}

// anAnswer is what a text is read as, or why it is not.
type anAnswer struct{ text, want, why string }

func checkAnswers[T comparable](t *testing.T, of string, show func(T) string, parse func(string) (T, error), answers []anAnswer) {
	t.Helper()
	for _, a := range answers {
		switch got, err := parse(a.text); {
		case a.why != "" && !refusedWith(err, a.why):
			t.Errorf("%s %q: %v, want %q", of, a.text, err, a.why)
		case a.why == "" && (err != nil || show(got) != a.want):
			t.Errorf("%s %q is %v, %v; want %s", of, a.text, got, err, a.want)
		}
	}
}

func as[T ~string](v T) string { return string(v) }

func TestEndings(t *testing.T) {
	answers := []anAnswer{
		{"Fixture-gave_way", "fixture gave way", ""},
		{"fixture failure", "fixture gave way", ""},
		{"sep", "separated", ""},
		{"press", "press limit", ""},
		{"b", "bottomed out", ""},
		{"s", "", `"s" is no way for a try to end; ways are separated, stopped`},
		{"f", "", "nothing recorded"},
		{"", "", "how did it end?"},
		{"exploded", "", "no way for a try to end"},
	}
	for _, how := range tracker.Endings() {
		answers = append(answers, anAnswer{string(how), string(how), ""})
	}
	checkAnswers(t, "ended", as, ParseEnded, answers)
}

// Every ending says itself whether it has a reading.
func TestReadings(t *testing.T) {
	for _, how := range tracker.Endings() {
		parse := func(text string) (string, error) { return ParseReading(quantity.Metric, how, text) }
		if !how.Loads() {
			checkAnswers(t, string(how), as, parse, []anAnswer{
				{" ", "", ""}, {"9 MPa", "", string(how) + " gives no reading"}, {"nonsense", "", "gives no reading"}})
			continue
		}
		answers := []anAnswer{{" 1310 psi ", "1310 psi", ""}, {"18 kN", "18 kN", ""}, {"1310", "", "reading: "}, {"3 ton", "", "long ton"},
			{"0 MPa", "0 MPa", ""}, {"", "", "wants the reading of the gauge"}}
		switch how {
		case tracker.Separated:
			answers[4] = anAnswer{"0 MPa", "", "a reading of 0 MPa is no load"}
		case tracker.Slipped:
			answers[5] = anAnswer{"", "", ""}
		}
		checkAnswers(t, string(how), as, parse, answers)
	}
}

func TestRigs(t *testing.T) {
	second := smallPlan + "[[rig]]\nname = \"long frame\"\ngauge = { reads = \"force\", span = \"1000 lbf\", division = \"5 lbf\" }\n"
	none, _, _ := strings.Cut(smallPlan, "[[rig]]")
	for _, test := range []struct {
		plan    string
		how     tracker.How
		yes     bool
		answers []anAnswer
	}{
		{smallPlan, tracker.Separated, false, []anAnswer{{"", "press", ""}, {" PRESS ", "press", ""}, {"hammer", "", `the plan has no rig "hammer"; it has: press`}}},
		{smallPlan, tracker.Separated, true, []anAnswer{{"hammer", "hammer", ""}, {"Press", "press", ""}}},
		{smallPlan, tracker.FellApart, false, []anAnswer{{"", "", ""}, {"press", "press", ""}}},
		{second, tracker.Stopped, false, []anAnswer{{"", "", "which rig? the plan has press, long frame"}, {"LONG FRAME", "long frame", ""}}},
		{second, tracker.FellApart, false, []anAnswer{{"", "", ""}}},
		{none, tracker.Separated, false, []anAnswer{{"", "", ""}, {"press", "", "it has: none"}}},
	} {
		d, _ := deskOf(t, test.plan, dealt())
		d.Yes = test.yes
		parse := func(text string) (string, error) { return d.triedOn(test.how, text) }
		checkAnswers(t, "rig", as, parse, test.answers)
		_, unnamed := parse("")
		if asks := d.AsksRig(test.how); asks != (unnamed != nil) {
			t.Errorf("%s: asks for a rig %v, and without one %v", test.how, asks, unnamed)
		}
	}
}

// The rig that broke a bond last is what Enter takes, unless another is asked for.
func TestTheRigInUseIsOffered(t *testing.T) {
	d, _ := deskOf(t, smallPlan+"[[rig]]\nname = \"lever\"\ngauge = { reads = \"force\", span = \"5 kN\", division = \"0.05 kN\" }\n", dealt())
	offered := func() string {
		t.Helper()
		q, ok := d.Asks().(WhichRig)
		if !ok {
			t.Fatalf("asks %+v", d.Asks())
		}
		return q.Last
	}
	line := func(text string) {
		t.Helper()
		if _, err := d.Take(Line(text)); err != nil {
			t.Fatal(err)
		}
	}
	sit := func(serial int) {
		t.Helper()
		if _, err := d.SitAtPress(""); err != nil {
			t.Fatal(err)
		}
		line(code(serial))
	}
	sit(1)
	if got := offered(); got != "" {
		t.Errorf("nothing was broken yet, and Enter takes %q", got)
	}
	if line(""); offered() != "" {
		t.Error("Enter took a rig that nobody named")
	}
	for _, answer := range []string{"2", "2.3 kN", "1", "", ""} {
		line(answer)
	}
	sit(2)
	if got := offered(); got != "lever" {
		t.Errorf("Enter takes %q", got)
	}
	line("")
	if q, ok := d.Asks().(WhatReading); !ok || q.Rig != "lever" {
		t.Errorf("asks %+v", d.Asks())
	}
	if line("rig"); offered() != "" {
		t.Error("Enter takes the rig that is to be changed")
	}
}

func TestPercentAndState(t *testing.T) {
	checkAnswers(t, "wood failure", func(x float64) string { return fmt.Sprint(x) }, ParsePercent, []anAnswer{
		{"80", "80", ""}, {"80 %", "80", ""}, {"0", "0", ""}, {"100%", "100", ""}, {"79.5", "79.5", ""},
		{"180", "", "wood failure 180 % is not between 0 and 100 %"}, {"-1", "", "wood failure"}, {"much", "", "wood failure: "}, {"", "", "wood failure: "}})
	checkAnswers(t, "state", as, ParseState, []anAnswer{
		{"wet", "wet", ""}, {"Part Dried", "part-dried", ""}, {"redried", "re-dried", ""}, {"dry", "dry", ""},
		{"", "", `"" is no state; states are wet, part-dried, re-dried, dry`}, {"damp", "", "is no state"}})
}

func TestValues(t *testing.T) {
	parse := func(word string) (string, error) {
		values, err := parseValues(quantity.Metric, []string{word})
		if err != nil {
			return "", err
		}
		return values[0].Name + " " + values[0].Text, nil
	}
	checkAnswers(t, "value", as, parse, []anAnswer{
		{"bond_length=40.1 mm", "bond_length 40.1 mm", ""},
		{"Bond-Width = 1 3/4 in ", "bond_width 1 3/4 in", ""},
		{"mass_before=61.3 g", "mass_before 61.3 g", ""},
		{"moisture=9.6 %", "moisture 9.6 %", ""},
		{"water=-1 C", "water -1 C", ""},
		{"room=68 F", "room 68 F", ""},
		{"state=PARTDRIED", "state part-dried", ""},
		{"bond_length=0 mm", "", `bond_length: "0 mm" is not more than nothing`},
		{"mass_after=12", "", "mass_after: "},
		{"bond_length=40 g", "", "bond_length: "},
		{"state=damp", "", "state: \"damp\" is no state"},
		{"colour=blue", "", `nothing is measured under the name "colour"`},
		{"bond_length", "", `"bond_length" is not NAME=VALUE`},
	})
	if _, err := parseValues(quantity.Metric, []string{"bond_length=40 mm", "bond_width=wide"}); err == nil {
		t.Error("one bad value of two is taken")
	}
}

// What is measured is of a specimen, of a bath as such, or of the room.
func TestMeasured(t *testing.T) {
	for _, test := range []struct {
		subject    string
		code, bath string
		half       int
	}{{"oak 2/1", "oak 2", "", 1}, {"1", code(1), "", 0}, {"B1", "", "B1", 0}, {"Room", "", "", 0}} {
		d, c := deskOf(t, smallPlan, named())
		verdicts := c.took(t, d, Measure{[]string{test.subject}, []string{"water=19.5 C", "room=20 C"}}).Verdicts()
		if len(verdicts) != 1 {
			t.Fatalf("%s: %d events", test.subject, len(verdicts))
		}
		e := verdicts[0].Event
		if e.Kind != tracker.Measured || e.Code != test.code || e.Bath != test.bath || e.Half != test.half || !slices.Equal(e.Values,
			[]tracker.Value{{Name: "water", Text: "19.5 C"}, {Name: "room", Text: "20 C"}}) {
			t.Errorf("%s: %+v", test.subject, e)
		}
	}
}

// A comma before one or two digits is a decimal comma, since no thousand has so few;
// of three it may be either, and is refused.
func TestDecimalCommas(t *testing.T) {
	d, _ := deskOf(t, smallPlan, dealt())
	for text, want := range map[string]string{"12,5": "12.5 MPa", " 12,5 MPa": "12.5 MPa", "12,55": "12.55 MPa", "0,5 MPa": "0.5 MPa", "9.6": "9.6 MPa",
		"1,310 psi": "", "1,310": "", "1,2,3": "", "12,5.3": "", "1,234.5 psi": "", ",5": "", "12,": "", "12, 5 MPa": ""} {
		var out Outcome
		try, err := d.tryOf(&out, Try{Ended: "separated", Reading: text})
		if (err == nil) != (want != "") || try.Reading != want {
			t.Errorf("%q is read as %q, want %q: %v", text, try.Reading, want, err)
		}
		f, _ := d.Fill(Subject{Code: code(1)}, Try{})
		if taken := f.Answer(&out, text); taken != (want != "") || f.try.Reading != want {
			t.Errorf("%q at the press is read as %q, want %q", text, f.try.Reading, want)
		}
	}
}
