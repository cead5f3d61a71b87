package intake

import (
	"reflect"
	"testing"

	"soaktag/tracker"
)

// atPress answers at the press and returns the question asked then, and the last
// refusal.
func atPress(t *testing.T, d *Desk, lines ...string) (q Question, refused *Refusal) {
	t.Helper()
	for _, line := range lines {
		out, err := d.Take(Line(line))
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range out.Notes {
			if no, is := n.(NotTaken); is {
				refused = no.Refusal
			}
		}
	}
	return d.Asks(), refused
}

// One Enter too many, an end that does not go with the reading, and words that are
// none: a number is the reading, a key stays a key, and every refusal has a way out.
func TestWaysOutAtThePress(t *testing.T) {
	known := func(reading string) Question { return HowEnded{Subject: code(1), Reading: reading} }
	for _, test := range []struct {
		lines []string
		asks  Question
		help  Help
	}{
		{[]string{"", "27"}, known("27 MPa"), nil},
		{[]string{"", "1310 psi"}, known("1310 psi"), nil},
		{[]string{"", "3.5"}, known("3.5 MPa"), nil},
		{[]string{"", "27", "u"}, WhatReading{Subject: code(1), Unit: "MPa"}, nil},
		{[]string{"", "sep"}, known(""), GiveReading{Unit: "MPa"}},
		{[]string{"", "2"}, known(""), GiveReading{Unit: "MPa"}},
		{[]string{"", "broken"}, known(""), GiveReading{Unit: "MPa"}},
		{[]string{"", "2", "u", "27"}, known("27 MPa"), GiveReading{Unit: "MPa"}},
		{[]string{"", "7"}, WoodFailed{How: tracker.FellApart, Subject: code(1)}, nil},
		{[]string{"ten"}, WhatReading{Subject: code(1), Unit: "MPa"}, GoBack{Reading: true}},
		{[]string{"9", "6"}, known("9 MPa"), WithoutReading{How: tracker.BottomedOut, Reading: "9 MPa"}},
		{[]string{"9", "27"}, known("9 MPa"), GoBack{}},
		{[]string{"0", ""}, known("0 MPa"), WithoutReading{How: tracker.FellApart, Reading: "0 MPa"}},
		{[]string{"9", "", "lots"}, WoodFailed{How: tracker.Separated, Subject: code(1)}, GoBack{}},
	} {
		d, _ := deskAt(t, begun(t))
		if _, err := d.SitAtPress(""); err != nil {
			t.Fatal(err)
		}
		q, refused := atPress(t, d, append([]string{code(1)}, test.lines...)...)
		var help Help
		if refused != nil {
			help = refused.Help
		}
		if !reflect.DeepEqual(q, test.asks) || help != test.help {
			t.Errorf("%q: asks %#v, help %#v; want %#v, %#v", test.lines, q, help, test.asks, test.help)
		}
	}
}

// After a try is taken back a bare number is most often meant as an answer about
// it: it selects nobody, the whole code does.
func TestNumberAfterTakingBack(t *testing.T) {
	d, _ := deskAt(t, begun(t))
	d.SitAtPress("")
	q, refused := atPress(t, d, code(1), "9", "", "", "u", "5")
	want := WhichIsMeant{Serial: code(5), Again: code(1)}
	if w, ok := q.(WhichSpecimen); !ok || w.Next != code(1) || refused == nil || refused.Help != want {
		t.Fatalf("asks %#v, refused %+v", q, refused)
	}
	if q, _ = atPress(t, d, "", "8"); q != (HowEnded{Subject: code(1), Reading: "8 MPa"}) {
		t.Errorf("Enter takes up %#v", q)
	}
	if q, _ = atPress(t, d, "u", "u", "5"); q != (WhatReading{Subject: code(5), Unit: "MPa"}) {
		t.Errorf("put back, nothing taken back: a serial is one, asks %#v", q)
	}
	if q, _ = atPress(t, d, "9", "", "", "u", code(2)); q != (WhatReading{Subject: code(2), Unit: "MPa"}) {
		t.Errorf("a whole code means itself, asks %#v", q)
	}
}

// One form at a terminal knows u as well.
func TestFillingGoesBack(t *testing.T) {
	d, _ := deskAt(t, begun(t))
	f, err := d.Fill(Subject{Text: "1", Code: code(1)}, Try{Reading: "9"})
	if err != nil {
		t.Fatal(err)
	}
	var out Outcome
	if f.Answer(&out, "u") || out.Notes[0].(NotTaken).Help != (GoBack{}) {
		t.Errorf("%+v", out.Notes)
	}
	if !f.Answer(&out, "") || !f.Answer(&out, "U") {
		t.Fatal(out.Notes)
	}
	if q := f.Asks(); q != (HowEnded{Subject: code(1), Reading: "9 MPa"}) {
		t.Errorf("asks %#v", q)
	}
}
