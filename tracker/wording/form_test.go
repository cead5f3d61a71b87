package wording

import (
	"errors"
	"testing"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/intake"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

// What a desk says of a break, of a dummy, of marks that stand and of a table.
func TestFormsWorded(t *testing.T) {
	const kN = quantity.Force(1000)
	read := quantity.Reading{Value: 9.6, Unit: "MPa"}
	load := func(bound stat.Bound, area quantity.Area, nominal bool) intake.Weighed {
		return intake.Weighed{Reading: read, Load: strength.Load{Force: 15.3 * kN, Area: area, Stress: quantity.Megapascals(8.5), Bound: bound, Nominal: nominal}}
	}
	sub := intake.Subject{Code: "BEN-001-G"}
	short := []design.Load{{Treatment: "soaked", Expected: 16.8 * kN}, {Treatment: "dry", Expected: 23.7 * kN}}
	metric, inch := &tracker.Study{}, &tracker.Study{Units: quantity.Inch}
	for _, test := range []struct {
		note  intake.Note
		study *tracker.Study
		want  string
		tone  Tone
	}{
		{load(stat.Exact, 1, true), metric, "9.6 MPa at the gauge is 15.3 kN, 8.5 MPa over the nominal area", Told},
		{load(stat.AtLeast, 1, true), metric, "9.6 MPa at the gauge is 15.3 kN, at least 8.5 MPa over the nominal area", Told},
		{load(stat.AtLeast, 1, false), inch, "9.6 MPa at the gauge is 3440 lbf, at least 1233 psi over the measured area", Told},
		{load(stat.AtLeast, 0, true), metric, "9.6 MPa at the gauge is 15.3 kN", Told},
		{intake.NoForce{Reading: read, Err: errors.New("why")}, metric, "no force can be computed from 9.6 MPa: why", Warned},
		{intake.UnknownRig{Name: "hammer"}, metric, `the plan has no rig "hammer": no force can be computed from its gauge pressure`, Warned},
		{intake.ForeignReading{Reading: "5 kN", Rig: "press", Dial: "psi"}, metric, `5 kN is of another kind than the gauge of press, which is marked in psi; it is taken as it stands: soaktag amend correct last reading="..." --reason "why" puts a slip right`, Warned},
		{intake.Foreseen{Subject: sub}, metric, "BEN-001-G was never dealt in this study: a break of it is kept, and asks", Warned},
		{intake.Foreseen{Subject: sub, Dealt: true, End: tracker.Lost}, metric, "BEN-001-G is lost: a break of it is kept, and asks", Warned},
		{intake.Foreseen{Subject: sub, Dealt: true}, metric, "BEN-001-G is broken already, and that counts: another try is kept, and asks", Warned},
		{intake.Foreseen{Subject: sub, Dealt: true, Next: schedule.LiftOut}, metric, "BEN-001-G still has its lift-out to come: a break now is kept, and asks", Warned},
		{intake.DummyShowed{How: tracker.FixtureGave, Force: 4 * kN, Expected: short}, metric,
			`fixture gave way at 4 kN, too little for soaked, dry (expected: soaked 16.8 kN, dry 23.7 kN); mend the rig, then break another before lift-out: soaktag break dummy --reading "..." --ended separated`, Warned},
		{intake.DummyShowed{How: tracker.PressLimit, Force: 28.7 * kN, Expected: short}, metric,
			`press limit at 28.7 kN, which is no less than breaks are expected to take (soaked 16.8 kN, dry 23.7 kN); mend the rig, then break another before lift-out: soaktag break dummy --reading "..." --ended separated`, Warned},
		{intake.DummyShowed{How: tracker.FixtureGave, Unknown: errors.New("no\nwood")}, metric,
			`fixture gave way, and what the breaks will take is not known (no; wood); mend the rig, then break another before lift-out: soaktag break dummy --reading "..." --ended separated`, Warned},
		{intake.DummyShowed{How: tracker.Slipped}, metric,
			`slipped: that shows no rig that holds; break another before lift-out: soaktag break dummy --reading "..." --ended separated`, Told},
		{intake.DummyShowed{How: tracker.Separated, Force: 1, Expected: short}, metric, "", Told},
		{intake.NothingAsksThere{}, metric, "nothing asks there; nothing recorded", Told},
		{intake.NoRows{Name: "e.csv"}, metric, "e.csv holds no events; nothing recorded", Warned},
		{intake.Imported{Name: "e.csv", Added: 1}, metric, "imported  1 event from e.csv", Answered},
		{intake.UnsentTaken{Name: "u.jsonl", Phone: "Ann's phone", Taken: 2}, metric, "took in  2 entries of Ann's phone from u.jsonl", Answered},
		{intake.AsksSince{Now: 2, Before: 1, Dry: true}, metric, "2 marks would ask in the study then, 1 now", Told},
		{intake.AsksSince{Now: 2, Before: 1}, metric, "2 marks ask in the study, 1 before: soaktag status lists them", Told},
	} {
		got := Note(test.note, test.study)
		if test.want == "" && len(got) == 0 {
			continue
		}
		if len(got) != 1 || got[0].Text != test.want || got[0].Tone != test.tone {
			t.Errorf("%+v is worded\n%+v, want\n%d %s", test.note, got, test.tone, test.want)
		}
	}
}

// A refusal names what to type only in the words for a terminal.
func TestFormsRefusedWorded(t *testing.T) {
	for _, test := range []struct {
		refusal   intake.Refusal
		why, help string
	}{
		{intake.Refusal{Cause: intake.NothingToRead{How: tracker.FellApart}}, "fell apart gives no reading: leave --reading out, or say how the try ended otherwise; nothing recorded", ""},
		{intake.Refusal{Cause: intake.OfSpecimens{Field: "mode"}}, "a dummy tries the rig: --mode is kept of specimens only; nothing recorded", ""},
		{intake.Refusal{Cause: intake.WhichHalf{Code: "BEN-001-G"}}, "which half of BEN-001-G? soaktag faces BEN-001-G/1 or BEN-001-G/2; nothing recorded", ""},
		{intake.Refusal{Cause: intake.NoSuchEvent{Word: "9"}}, `no event "9" in the log; soaktag history CODE lists those of a specimen`, ""},
		{intake.Refusal{Why: "why", Help: intake.CameApart{}}, "why", `a bond that came apart without load: --ended "fell apart"`},
		{intake.Refusal{Why: "why", Help: intake.GoBack{}}, "why", "u takes the last answer back, q ends"},
		{intake.Refusal{Why: "why", Help: intake.GoBack{Reading: true, InWords: true}}, "why", "type the reading, or Enter for none; u takes the last answer back"},
		{intake.Refusal{Why: "why", Help: intake.GiveReading{Unit: "psi"}}, "why", "if the gauge showed something, type that, a bare number is in psi; u takes the last answer back, q ends"},
		{intake.Refusal{Why: "why", Help: intake.GiveReading{}}, "why", "if the gauge showed something, type that with its unit; u takes the last answer back, q ends"},
		{intake.Refusal{Why: "why", Help: intake.WithoutReading{How: tracker.FellApart, Reading: "0 psi"}}, "why", "the bond apart before any load: u takes the reading back, Enter for none, then 7 fell apart"},
		{intake.Refusal{Why: "why", Help: intake.WhichIsMeant{Serial: "BEN-025-J", Again: "BEN-007-X"}}, "why", "Enter takes BEN-007-X up again, then the answer; the whole code BEN-025-J takes that one up; q ends"},
		{intake.Refusal{Why: "why", Help: intake.BreakWithReading{Subject: "17", Reading: "9 MPa", Choose: true}}, "why", `soaktag break 17 --reading "9 MPa" --rig NAME --ended separated`},
		{intake.Refusal{Why: "why", Help: intake.NameARig{}}, "why", "name one of these with --rig, or add --yes to record the other one all the same"},
	} {
		if why, help := Refusal(&test.refusal); why != test.why || help != test.help {
			t.Errorf("%+v is worded %q, %q", test.refusal, why, help)
		}
	}
}

// What Enter stands for stands in the question.
func TestWhichRigSaysWhatEnterTakes(t *testing.T) {
	q := intake.WhichRig{Subject: "PRS-001-E", Names: []string{"press", "lever"}}
	if got := Question(q, nil); got != "PRS-001-E: which rig (1 press, 2 lever)?" {
		t.Error(got)
	}
	q.Last = "lever"
	if got := Question(q, nil); got != "PRS-001-E: which rig (1 press, 2 lever, Enter lever)?" {
		t.Error(got)
	}
}
