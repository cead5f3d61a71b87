package intake

import (
	"testing"
	"time"

	"soaktag/labels/photo"
	"soaktag/schedule"
	"soaktag/tracker"
)

var why = Entry{Reason: "slip"}

// Who works, which bath, and that what was asked stands: all in photographs and
// in the order of their time, whatever their names. The same again is nothing.
func TestPhotographedCards(t *testing.T) {
	a := newAlbum(t)
	all := []*Photograph{snap("c", "12:32", ".YES"), snap("b", "12:31", ".BATHB1"), snap("a", "12:30", ".WHOANNA", ".IMMERSION")}
	s := a.reads(Given{}, Entry{}, all...).says("new 3 immersion 12:31, new 4 immersion 12:31")
	if done := wants[Accepted](s, 1); done[0].Reason != "confirmed in a photograph" {
		t.Errorf("%+v", done)
	}
	if s.asks() != "" {
		t.Errorf("asks: %s", s.asks())
	}
	for _, e := range a.record().Events() {
		if e.Kind == tracker.Staged && (e.By != "Anna" || e.Bath != "B1" || e.Via != "photo") {
			t.Errorf("%+v", e)
		}
	}
	wants[YesActedBefore](a.reads(Given{}, Entry{}, all...).says("known 3 immersion 12:31, known 4 immersion 12:31").adds(0), 1)
}

// A card is in force for so long after the last photograph under it; a stage
// that was given stays until there is a card.
func TestCardInForce(t *testing.T) {
	a := newAlbum(t)
	s := a.reads(Given{}, Entry{}, snap("a", "12:00", ".CUT"), snap("b", "12:14", "1/1"), snap("c", "12:29", "2/1"), snap("d", "12:45", "3/1"))
	s.says("new 1/1 cut 12:14, new 2/1 cut 12:29, new 3/1 none 12:45")
	if out := wants[CardExpired](s, 1); out[0].Ago != 16*time.Minute || out[0].Stage != "cut" {
		t.Errorf("%+v", out)
	}
	newAlbum(t).reads(Given{Stage: "cut"}, Entry{}, snap("a", "12:00", "1/1"), snap("b", "12:40", "2/1"), snap("c", "12:50", ".GLUEUP"), snap("d", "12:55", "3/1"), snap("e", "13:20", "4/1")).
		says("new 1/1 cut 12:00, new 2/1 cut 12:40, new 3/1 glue-up 12:55, new 4/1 none 13:20")
}

// Where a photograph shows the cards of several stages, the stage given decides,
// or none is in force, and nothing expires later of which it would be said.
func TestSeveralCards(t *testing.T) {
	a := newAlbum(t)
	p := snap("a", "12:30", ".GLUEUP", ".LIFTOUT", "1/1")
	s := a.reads(Given{}, Entry{}, p, snap("b", "12:50", ".WHOANNA")).says("new 1/1 none 12:30")
	if n := wants[SeveralStages](s, 1); n[0].Given != "" || len(n[0].Stages) != 2 {
		t.Errorf("%+v", n)
	}
	wants[CardExpired](s, 0)
	s = a.reads(Given{Stage: "glue-up"}, Entry{}, p).says("right 1/1 glue-up 12:30")
	if n := wants[SeveralStages](s, 1); n[0].Given != "glue-up" {
		t.Errorf("%+v", n)
	}
	a.reads(Given{Stage: "glue-up"}, Entry{}, p).adds(0)
}

// A card that took something back takes nothing more back, whatever lies before
// it when it is read again; a copy of it is the same card.
func TestUndoActsOnce(t *testing.T) {
	a := newAlbum(t)
	one, two, card := snap("a", "12:30", "1/1"), snap("b", "12:31", "2/1"), snap("u", "12:33", ".UNDO")
	twin := *card
	twin.Name = "u (1)"
	given := Given{Stage: "glue-up"}
	s := a.reads(given, Entry{}, one, two, card, &twin).says("new 1/1 glue-up 12:30, new 2/1 glue-up 12:31")
	if back := wants[TakenBack](s, 1); len(back[0].Events) != 1 || short(back[0].Events[0].Code, 0) != "2" {
		t.Errorf("%+v", back)
	}
	a.reads(given, Entry{}, one, two, card, &twin).says("known 1/1 glue-up 12:30, not 2/1 glue-up 12:31").adds(0)
	wants[UndoActedBefore](a.reads(given, Entry{}, one, card).adds(0), 1)
	s = a.reads(given, Entry{}, one, snap("c", "12:32", "3/1"), card)
	s.says("known 1/1 glue-up 12:30, new 3/1 glue-up 12:32")
	wants[TakenBack](s, 0)
}

// Nor does YES accept what others ask when it is read again.
func TestYesActsOnce(t *testing.T) {
	a := newAlbum(t)
	one, two, card := snap("a", "12:30", "3/1", ".IMMERSION"), snap("b", "12:31", "4/1"), snap("y", "12:32", ".YES")
	s := a.reads(Given{}, Entry{}, one, two, card)
	if wants[Accepted](s, 1); s.asks() != "3 out of order" {
		t.Errorf("asks: %s", s.asks())
	}
	s = a.reads(Given{}, Entry{}, one, card).adds(0)
	if wants[YesActedBefore](s, 1); s.asks() != "3 out of order" {
		t.Errorf("asks: %s", s.asks())
	}
}

// YES and UNDO with nothing to mean say so, and among codes do nothing.
func TestCardsWithoutAnAnswer(t *testing.T) {
	for _, test := range []struct {
		show []string
		want Note
	}{
		{[]string{".YES"}, YesToNothing{"a"}},
		{[]string{".UNDO"}, NothingToTakeBack{}},
	} {
		s := newAlbum(t).reads(Given{}, Entry{}, snap("a", "12:30", test.show...)).adds(0)
		if s.Notes[2] != test.want {
			t.Errorf("%v: %+v", test.show, s.Notes)
		}
	}
	for _, card := range []string{".YES", ".UNDO"} {
		s := newAlbum(t).reads(Given{Stage: "cut"}, Entry{}, snap("a", "12:30", "1/1", card)).says("new 1/1 cut 12:30")
		wants[NotRecorded](s, 1)
	}
}

// A card that was only recognised is done and warned of, unless what comes is
// taken as meant.
func TestProbableCard(t *testing.T) {
	for yes, warned := range map[bool]int{false: 1, true: 0} {
		s := newAlbum(t).reads(Given{}, Entry{Yes: yes}, snap("a", "12:30", "?.CUT", "1/1")).says("new 1/1 cut 12:30")
		wants[ProbableCard](s, warned)
	}
}

// A label that was only recognised is kept and asks until somebody compared it.
func TestProbableLabel(t *testing.T) {
	a := newAlbum(t)
	p := snap("dir/a.jpg", "12:30", "?1/1")
	if s := a.reads(Given{Stage: "cut"}, Entry{}, p).says("new 1/1 cut 12:30"); s.asks() != "1 probable code" {
		t.Errorf("asks: %s", s.asks())
	}
	if s := newAlbum(t).reads(Given{Stage: "cut"}, Entry{Yes: true}, p); s.asks() != "" {
		t.Errorf("asks: %s", s.asks())
	}
	a.accepts(tracker.RuleProbableCode)
	if s := a.reads(Given{Stage: "cut"}, Entry{}, p).adds(0); s.asks() != "" {
		t.Errorf("asks: %s", s.asks())
	}
}

// Two codes for one place are neither.
func TestTwoAnswers(t *testing.T) {
	s := newAlbum(t).reads(Given{Stage: "cut"}, Entry{}, snap("a", "12:30", "1/1|2/1")).adds(0)
	if r := wants[NotRecorded](s, 1); r[0].Help != (LookAndType{}) {
		t.Errorf("%+v", r)
	}
}

// One label in two places is recorded once and said once; of one decoded in one
// place and only recognised in another the decoded one is recorded.
func TestTwins(t *testing.T) {
	s := newAlbum(t).reads(Given{Stage: "cut"}, Entry{}, snap("a", "12:30", "?1/1", "2/1", "1/1", "1/1", ".TRIAL01", ".TRIAL01"))
	s.says("new 2/1 cut 12:30, new 1/1 cut 12:30, new TRIAL-01 none 12:30")
	if n := wants[Twin](s, 2); n[0].Places != 3 || n[1].Label != "TRIAL-01" {
		t.Errorf("%+v", n)
	}
	if s.asks() != "TRIAL-01 unknown code" {
		t.Errorf("asks: %s", s.asks())
	}
}

// A bath's tag means those of its specimens that do not show themselves.
func TestBathBesideLabels(t *testing.T) {
	newAlbum(t).reads(Given{Stage: "cut"}, Entry{}, snap("a", "12:30", ".BATHB1", "3/1")).
		says("new 3/1 cut 12:30, new 4 cut 12:30")
}

// A copy of a bath's photograph means whom the first meant, not whom the bath
// holds after that; it gets its stage as labels do.
func TestBathAgain(t *testing.T) {
	a := newAlbum(t)
	p := snap("a", "12:30", ".BATHB1")
	a.types("12:00", Stage{Subjects: []string{"3"}, Name: "cut"})
	s := a.reads(Given{Stage: "cut"}, Entry{}, p, p)
	s.says("new 4 cut 12:30, known 4 cut 12:30")
	wants[NotMeant](s, 1)
	a = newAlbum(t)
	a.reads(Given{}, Entry{}, p).says("new 3 none 12:30, new 4 none 12:30")
	a.reads(Given{Stage: "cut"}, Entry{}, p).says("right 3 cut 12:30, right 4 cut 12:30")
}

// A tag that stood for nobody is said each time.
func TestBathOfNobody(t *testing.T) {
	a := newAlbum(t)
	a.types("12:00", Stage{Subjects: []string{"B1"}, Name: "withdrawn"})
	p := snap("a", "12:30", "1/1", ".BATHB1")
	wants[NotRecorded](a.reads(Given{Stage: "cut"}, Entry{}, p), 1)
	s := a.reads(Given{Stage: "cut"}, Entry{}, p).adds(0)
	if n := wants[NotRecorded](s, 1); n[0].Help != (LogBath{"B1"}) {
		t.Errorf("%+v", n)
	}
}

// Read again, UNDO still means the bath before it and not the tray before that.
func TestBathThenUndo(t *testing.T) {
	a := newAlbum(t)
	all := []*Photograph{snap("a", "12:30", "1/1"), snap("b", "12:31", ".BATHB1"), snap("c", "12:32", ".UNDO")}
	a.reads(Given{Stage: "cut"}, Entry{}, all...).says("new 1/1 cut 12:30, new 3 cut 12:31, new 4 cut 12:31")
	s := a.reads(Given{Stage: "cut"}, Entry{}, all...).says("known 1/1 cut 12:30, not 3 cut 12:31, not 4 cut 12:31").adds(0)
	wants[TakenBack](s, 0)
	wants[LeftAside](s, 0) // a card of this roll took it back
}

// A break wants its reading; nor is it a stage that is given later. A trial
// label is read all the same.
func TestPhotographedBreak(t *testing.T) {
	a := newAlbum(t)
	p := snap("a", "12:30", "1/1")
	wants[NotRecorded](a.reads(Given{Stage: schedule.Break}, Entry{}, p, snap("b", "12:31", ".TRIAL01")).says("new TRIAL-01 none 12:31"), 1)
	b := newAlbum(t)
	b.reads(Given{}, Entry{}, p)
	b.reads(Given{Stage: schedule.Break}, why, p).adds(0)
	b.reads(Given{Stage: schedule.Break, Correct: true}, why, p).adds(0)
}

// A photographed trial label was read, as by a scanner, and gets no stage.
func TestPhotographedTrial(t *testing.T) {
	a := newAlbum(t)
	p := snap("a", "12:30", ".TRIAL01")
	a.reads(Given{Stage: "glue-up"}, Entry{}, p).says("new TRIAL-01 none 12:30").adds(2)
	a.reads(Given{Stage: "cut", Correct: true}, why, p).adds(0)
	if e := a.record().Events()[2]; e.Via != "scan" || e.DeviceTime {
		t.Errorf("%+v", e)
	}
}

// What another program printed is text, even if it says a card; it is told, and
// nothing of it is kept.
func TestForeignCodes(t *testing.T) {
	for _, text := range []string{".BATHB1", ".TRIAL01", ".UNDO", photo.ClockText(at("08:00")), "HTTPS://EXAMPLE.ORG/1"} {
		p := snap("a", "12:30")
		p.Found = []photo.Found{{Text: text, Foreign: true}}
		if _, clock := p.clock(); clock || p.has() || Seen(p.Found[0]) != Quoted(text) {
			t.Errorf("%s is taken for ours", text)
		}
		s := newAlbum(t).reads(Given{Any: true}, Entry{}, p).adds(0)
		wants[ForeignCode](s, 1)
		wants[NoLabel](s, 0)
	}
}

// A photograph on which there is nothing is not kept.
func TestNoLabel(t *testing.T) {
	s := newAlbum(t).reads(Given{Stage: "cut"}, Entry{}, snap("a", "12:30"), bare("b")).adds(0)
	wants[NoLabel](s, 2)
	if n := wants[RollTaken](s, 1); n[0] != (RollTaken{Photographs: 2}) {
		t.Errorf("%+v", n)
	}
}

// A file that changed since it was looked at is not kept.
func TestFileChanged(t *testing.T) {
	a := newAlbum(t)
	p := snap("a", "12:30", "1/1")
	p.Load = func() ([]byte, error) { return []byte("\xff\xd8\xffother"), nil }
	d, err := Open(a.db, Now(a.c.now), func() time.Time { return a.c.now })
	if err == nil {
		_, err = d.Take(p)
	}
	if err == nil || len(a.record().Events()) != 1 {
		t.Errorf("%v", err)
	}
}
