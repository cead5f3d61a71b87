package wording

import (
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// What a person reads first is one word, and on a phone nobody is told to type.
func TestAnswerWords(t *testing.T) {
	rec := tracker.NewRecord(func([]byte) (tracker.Study, error) { return tracker.Study{Zone: time.UTC}, nil })
	at := time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)
	if _, err := rec.Add(tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(at)}); err != nil {
		t.Fatal(err)
	}
	e := tracker.Event{ID: "e", Kind: tracker.Staged, Code: "HBR-003-X", Stage: schedule.GlueUp, At: schedule.At(at)}
	unstaged := tracker.Mark{Rule: tracker.RuleNoStage, About: tracker.Unstaged{}, Remedy: tracker.Remedy{Do: tracker.GiveStage, Event: "e"}, Asks: true, Event: "e", Code: "HBR-003-X"}
	again := tracker.Mark{Rule: tracker.RuleRepeated, About: tracker.Again{Stage: schedule.GlueUp}, Accepted: "meant", Asks: true, Event: "e", Code: "HBR-003-X"}
	clock := tracker.Mark{Rule: tracker.RuleClockOff, About: tracker.Clocked{Device: "x", Ahead: time.Hour}, Event: "e", Code: "HBR-003-X"}
	plain := intake.Recorded{Verdicts: []tracker.Verdict{{Event: e}}}
	asking := intake.Recorded{Verdicts: []tracker.Verdict{{Event: e, Marks: []tracker.Mark{again, unstaged}}}}
	for _, test := range []struct {
		notes             []intake.Note
		refusal           *intake.Refusal
		state, word, line string
		more              string
	}{
		{[]intake.Note{plain}, nil, AnswerGood, "RECORDED", "HBR-003-X glue-up", ""},
		{[]intake.Note{intake.SentAgain{}, plain}, nil, AnswerGood, "RECORDED", "HBR-003-X glue-up", ""},
		{[]intake.Note{asking, intake.Marked{Marks: []tracker.Mark{clock, again, unstaged}}, intake.LeftOpen{}}, nil, AnswerAsks, "ASKS", "HBR-003-X glue-up",
			"asks: HBR-003-X: read without a stage card in force (no stage); note: HBR-003-X: glue-up was recorded before; the first one counts (repeated)"},
		{[]intake.Note{intake.NotRecorded{Refusal: &intake.Refusal{Why: "no such code", Help: intake.SeeStatus{}}}}, nil, AnswerBad, "NOT TAKEN", "no such code", ""},
		{nil, &intake.Refusal{Why: "which half? nothing recorded"}, AnswerBad, "NOT TAKEN", "which half? nothing recorded", ""},
		{[]intake.Note{intake.TakenBack{Events: []tracker.Event{e}}}, nil, AnswerGood, "TAKEN BACK", "HBR-003-X glue-up", ""},
		{[]intake.Note{intake.UndoAhead{}}, nil, AnswerGood, "TAKEN BACK", "what it means has not come yet, and will not count when it does", ""},
		{[]intake.Note{intake.Accepted{Marks: 2, Reason: "meant"}}, nil, AnswerGood, "ACCEPTED", "2 marks accepted: meant", ""},
		{[]intake.Note{intake.NothingAsks{}}, nil, AnswerBad, "NOT TAKEN", "YES, but the last scan asks nothing", ""},
		{[]intake.Note{intake.StageInForce{Stage: schedule.LiftOut, Until: at}}, nil, AnswerGood, "LIFT-OUT", "in force until 12:00", ""},
		{[]intake.Note{intake.Who{Name: "Bo"}}, nil, AnswerGood, "WHO", "Bo works here now", ""},
		{[]intake.Note{intake.LabelSeen{Verdict: tracker.Verdict{Event: e}, Standing: intake.CountsNot}}, nil, AnswerBad, "NOT TAKEN",
			"HBR-003-X of this photograph: taken back before; nothing new is recorded: photograph anew, or type the code", ""},
		{[]intake.Note{intake.NoLabel{Name: "p", Named: true}}, nil, AnswerBad, "NO LABEL", "no label found in the photograph", "p: no label found; not kept"},
	} {
		a := AnswerOf(intake.Outcome{Notes: test.notes}, test.refusal, rec, at)
		if more := strings.Join(a.More, "; "); a.State != test.state || a.Word != test.word || a.Line != test.line || more != test.more {
			t.Errorf("%+v", a)
		}
		if slices.ContainsFunc(append(a.More, a.Do...), func(s string) bool { return strings.HasPrefix(s, "soaktag ") }) {
			t.Errorf("%+v", a)
		}
	}
}

// How an interval went, in a line: within, too short, too long, or nobody can tell.
func TestWent(t *testing.T) {
	target := schedule.Planned{Kind: schedule.Target, Length: 7 * schedule.Day, Early: 4 * time.Hour, Late: 4 * time.Hour}
	most := schedule.Planned{Kind: schedule.AtMost, Length: 30 * time.Minute}
	for _, test := range []struct {
		planned schedule.Planned
		lo, hi  time.Duration
		want    string
	}{
		{target, 166 * time.Hour, 166 * time.Hour, "soak 6 d 22 h of 7 d, within 4 h"},
		{target, 160 * time.Hour, 160 * time.Hour, "soak 6 d 16 h of 7 d, 4 h short of 6 d 20 h"},
		{target, 174 * time.Hour, 174 * time.Hour, "soak 7 d 6 h of 7 d, 2 h over 7 d 4 h"},
		{target, 160 * time.Hour, 166 * time.Hour, "soak between 6 d 16 h and 6 d 22 h of 7 d, cannot tell"},
		{most, 20 * time.Minute, 20 * time.Minute, "soak 20 min, at most 30 min, within"},
		{schedule.Planned{Kind: schedule.AtLeast, Length: time.Hour}, 2 * time.Hour, 2 * time.Hour, "soak 2 h, at least 1 h, within"},
	} {
		from := time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)
		to := schedule.Span{From: from.Add(test.lo), To: from.Add(test.hi)}
		_, _, verdict := test.planned.Judge(schedule.At(from), to)
		l := tracker.Lapse{Interval: schedule.Interval{Name: "soak", Planned: test.planned}, Lo: test.lo, Hi: test.hi, Verdict: verdict}
		if got := went(l); got != test.want {
			t.Errorf("%q, want %q", got, test.want)
		}
	}
}
