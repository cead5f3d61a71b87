package intake

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"soaktag/labels/photo"
	"soaktag/schedule"
	"soaktag/tracker"
)

var (
	ann = Phone{"annsphon", "Ann's phone"}
	bob = Phone{"bobsphon", "Bob's"}
)

// An inbox is a study with a desk for each phone, and the entries that they made.
type inbox struct {
	*testing.T
	path  string
	clock *clock
	desks map[string]*Desk
	n     map[string]int64
	made  int
}

func newInbox(t *testing.T) *inbox {
	b := &inbox{T: t, path: begun(t), n: map[string]int64{}}
	b.restart()
	return b
}

// restart is the station killed and started again: of the desks nothing is left.
func (b *inbox) restart() {
	b.desks = map[string]*Desk{}
	d, c := deskAt(b.T, b.path)
	if b.clock != nil {
		c.now = b.clock.now
	}
	b.clock, b.desks[""] = c, d
}

func (b *inbox) record() *tracker.Record {
	b.Helper()
	if err := b.desks[""].refresh(); err != nil {
		b.Fatal(err)
	}
	return b.desks[""].rec
}

// A doc is an entry as a page writes it.
type doc map[string]any

// entry is what the page writes of something done now, with what is special about it.
func (b *inbox) entry(from Phone, kind string, more doc) doc {
	b.n[from.ID]++
	b.made++
	now := b.clock.now.UnixMilli()
	e := doc{"id": fmt.Sprintf("00000000-0000-4000-8000-%012x", b.made), "n": b.n[from.ID], "at": now, "kind": kind, "phone": from,
		"clock": doc{"epoch": "e-1", "fact": doc{"shown": now, "at": now, "trip": 10}}}
	for k, v := range more {
		e[k] = v
	}
	return e
}

func (b *inbox) line(from Phone, stage, line string) doc {
	return b.entry(from, "line", doc{"stage": stage, "line": line})
}

func (b *inbox) of(from Phone, kind string, e doc) doc {
	return b.entry(from, kind, doc{"of": e["id"]})
}

// takes hands an entry in at the phone's desk.
func (b *inbox) takes(e doc) (Outcome, error) {
	b.Helper()
	return b.takesOf(e["phone"].(Phone), e, nil, nil)
}

func (b *inbox) takesOf(from Phone, e doc, file []byte, seen *photo.Look) (Outcome, error) {
	b.Helper()
	text, err := json.Marshal(e)
	if err != nil {
		b.Fatal(err)
	}
	s, err := ParseSent(from, text)
	if err != nil {
		return Outcome{}, err
	}
	s.Photo, s.Seen = file, seen
	if b.desks[from.ID] == nil {
		b.desks[from.ID] = b.desks[""].Beside(Now(b.clock.now))
	}
	return b.desks[from.ID].Take(s)
}

// took is takes of what must be taken.
func (b *inbox) took(e doc) Outcome {
	b.Helper()
	out, err := b.takes(e)
	if err != nil {
		b.Fatalf("%v: %v", e, err)
	}
	return out
}

// standing says what counts: code, stage, time and who, in the order of the lives.
func (b *inbox) standing() string {
	b.Helper()
	var all []string
	for _, life := range b.record().Lives() {
		for _, s := range life.Steps {
			e, _ := b.record().Event(s.Event)
			all = append(all, strings.TrimSpace(fmt.Sprint(short(e.Code, e.Half), " ", s.Stage, " ", s.At.Mid().Format("15:04"), " ", e.By)))
		}
		for _, t := range life.Tries {
			all = append(all, fmt.Sprint(life.Specimen.Code.Serial, " ", t.How, " ", t.Reading))
		}
	}
	return strings.Join(all, ", ")
}

func (b *inbox) stands(want string) {
	b.Helper()
	if got := b.standing(); got != want {
		b.Errorf("stands: %s\nwant: %s", got, want)
	}
}

func has[N Note](out Outcome) bool {
	for _, n := range out.Notes {
		if _, is := n.(N); is {
			return true
		}
	}
	return false
}

// The same entry again records nothing and says the same: after the station was
// killed, beside other programs, and of a bath's tag whom it meant the first time.
func TestSentAgain(t *testing.T) {
	b := newInbox(t)
	glue := b.line(ann, "glue-up", "bath B1")
	first := b.took(glue)
	if got := len(first.Verdicts()); got != 2 {
		t.Fatalf("%d recorded", got)
	}
	other, c := deskAt(t, b.path)
	c.took(t, other, Move{[]string{"7"}, "B1"}, Stage{Subjects: []string{"7"}, Name: "glue-up"})
	b.clock.now = b.clock.now.Add(time.Minute)
	before := len(b.record().Events())
	b.restart()
	again := b.took(glue)
	if len(again.Verdicts()) != 2 || !has[SentAgain](again) || len(b.record().Events()) != before {
		t.Errorf("%+v", again.Notes)
	}
	for i, v := range again.Verdicts() {
		if v.Event.ID != first.Verdicts()[i].Event.ID {
			t.Errorf("%s, then %s", first.Verdicts()[i].Event.ID, v.Event.ID)
		}
	}
	if of, _ := runOf(again.Verdicts()[0].Event.ID); of != runOfSent(glue["id"].(string)) {
		t.Error("the events of an entry are not of one command")
	}
}

// An id stands for one entry of one phone. The clock and what was found may be known
// better when it is sent again.
func TestSentClash(t *testing.T) {
	b := newInbox(t)
	e := b.line(ann, "glue-up", code(3))
	b.took(e)
	for field, value := range map[string]any{"line": code(4), "stage": "cut", "by": "Bob", "at": b.clock.now.UnixMilli() + 1, "n": 2, "kind": "photo"} {
		changed := doc{}
		for k, v := range e {
			changed[k] = v
		}
		changed[field] = value
		_, err := b.takes(changed)
		if no := (*Unfit)(nil); !errors.As(err, &no) || !no.Clash {
			t.Errorf("%s changed: %v", field, err)
		}
	}
	_, err := b.takesOf(bob, e, nil, nil)
	if no := (*Unfit)(nil); !errors.As(err, &no) || !no.Clash || !strings.Contains(no.Why, "another device") {
		t.Errorf("of another phone: %v", err)
	}
	e["clock"], e["found"] = doc{"epoch": "e-9"}, []any{}
	if out := b.took(e); !has[SentAgain](out) {
		t.Errorf("%+v", out.Notes)
	}
	b.stands("3 glue-up 13:00")
}

// What no page writes is refused whole, and named.
func TestUnfit(t *testing.T) {
	b := newInbox(t)
	long := strings.Repeat("x", 301)
	for _, test := range []struct {
		more doc
		want string
	}{
		{doc{"id": "7"}, "has no id"},
		{doc{"id": "00000000-0000-4000-8000-00000000000A"}, "small letters"},
		{doc{"kind": "grant"}, "no kind of entry"},
		{doc{"n": 0}, "counted from 1"},
		{doc{"at": -1}, "no time between 1970 and 2200"},
		{doc{"at": 7258118400000}, "no time between 1970 and 2200"},
		{doc{"by": long}, "301 bytes"},
		{doc{"line": "a\nb"}, "nobody types"},
		{doc{"kind": "undo", "of": "last"}, "names no other entry"},
		{doc{"kind": "undo"}, "names no other entry"},
		{doc{"clock": doc{"epoch": "<script>"}}, "no epoch"},
		{doc{"clock": doc{"epoch": "e", "jump": []any{200, 100}}}, "ends before it begins"},
		{doc{"clock": doc{"epoch": "e", "fact": doc{"shown": 1, "at": 1e15}}}, "no time between"},
		{doc{"at": "noon"}, "no JSON"},
	} {
		_, err := b.takes(b.entry(ann, "line", test.more))
		if no := (*Unfit)(nil); !errors.As(err, &no) || !strings.Contains(no.Why, test.want) {
			t.Errorf("%v: %v, want %q", test.more, err, test.want)
		}
	}
	if n := len(b.record().Events()); n != 1 {
		t.Errorf("%d events", n)
	}
}

// UNDO and YES name the entry that they mean: of another phone's nothing is done, and
// an UNDO that comes first counts.
func TestSentUndoAndYes(t *testing.T) {
	b := newInbox(t)
	one, two := b.line(ann, "glue-up", code(3)), b.line(ann, "immersion", code(4))
	b.took(one)
	if out := b.took(two); !has[LeftOpen](out) || !out.YesAnswers() || !out.UndoAnswers() {
		t.Errorf("%+v", out.Notes)
	}
	undo, yes := b.of(ann, "undo", one), b.of(ann, "yes", two)
	for range 2 {
		if out := b.took(undo); !has[TakenBack](out) {
			t.Errorf("%+v", out.Notes)
		}
		if out := b.took(yes); !has[Accepted](out) {
			t.Errorf("%+v", out.Notes)
		}
	}
	if out := b.took(b.of(ann, "undo", one)); !has[AsideAlready](out) || has[TakenBack](out) {
		t.Errorf("%+v", out.Notes)
	}
	b.stands("4 immersion 13:00")
	if open := b.record().OpenMarks(); len(open) > 0 {
		t.Errorf("%+v", open)
	}
	if out := b.took(one); out.UndoAnswers() {
		t.Error("what was taken back can be taken back")
	}
	if _, err := b.takes(b.of(bob, "undo", two)); err == nil {
		t.Error("the entry of another phone was taken back")
	}
	if _, err := b.takes(b.of(ann, "undo", undo)); err == nil {
		t.Error("an UNDO was taken back")
	}
	late := b.line(ann, "glue-up", code(5))
	first := b.of(ann, "undo", late)
	if out := b.took(first); !has[UndoAhead](out) {
		t.Errorf("%+v", out.Notes)
	}
	for range 2 {
		if out := b.took(late); !has[UndoneBefore](out) && !has[AsideAlready](out) {
			t.Errorf("%+v", out.Notes)
		}
	}
	if out, err := b.takes(b.of(ann, "yes", b.line(ann, "cut", code(1)))); err == nil {
		t.Errorf("YES to nothing known: %+v", out.Notes)
	}
	b.stands("4 immersion 13:00")
}

// Cards do what they do at a scanner: YES and UNDO mean the phone's entry before,
// whatever another phone did meanwhile.
func TestSentCards(t *testing.T) {
	b := newInbox(t)
	stage := b.line(ann, "", ".GLUEUP")
	for range 2 {
		out := b.took(stage)
		if n, _ := b.desks[ann.ID].InForce(); n != schedule.GlueUp || !has[StageInForce](out) {
			t.Errorf("%+v", out.Notes)
		}
	}
	b.took(b.line(ann, "glue-up", code(3)))
	b.took(b.line(bob, "immersion", code(7)))
	b.took(b.line(ann, "glue-up", ".UNDO"))
	b.took(b.line(bob, "immersion", ".YES"))
	b.stands("7 immersion 13:00")
	if open := b.record().OpenMarks(); len(open) > 0 {
		t.Errorf("%+v", open)
	}
	if out := b.took(b.line(ann, "glue-up", code(4)+".UNDO")); !has[NotRecorded](out) {
		t.Errorf("%+v", out.Notes)
	}
	if out := b.took(b.line(ann, "", ".WHOCY")); !has[Who](out) {
		t.Errorf("%+v", out.Notes)
	}
}

// At the press a label alone is kept, and asks for its reading; a whole bath is none.
func TestSentAtThePress(t *testing.T) {
	b := newInbox(t)
	if out := b.took(b.line(ann, "break", code(3))); !has[LeftOpen](out) {
		t.Errorf("%+v", out.Notes)
	}
	if out := b.took(b.line(ann, "break", "bath B1")); !has[NotRecorded](out) {
		t.Errorf("%+v", out.Notes)
	}
	try := b.entry(ann, "break", doc{"stage": "break", "break": doc{"subject": code(4), "reading": "10 MPa", "ended": "sep", "wood": "80", "mode": "SF"}})
	face := b.entry(ann, "faces", doc{"faces": doc{"subject": code(4) + "/1", "wood": "60", "shallow": "true"}})
	picture := b.entry(ann, "faces", doc{"faces": doc{"subject": code(4) + "/2", "wood": ""}})
	for range 2 {
		for i, e := range []doc{try, face, picture} {
			var file []byte
			if i > 0 {
				file = []byte("\xff\xd8\xff a face" + fmt.Sprint(i))
			}
			if _, err := b.takesOf(ann, e, file, nil); err != nil {
				t.Errorf("%v: %v", e, err)
			}
		}
	}
	life := b.record().Lives()[3]
	if len(life.Tries) != 1 || life.Halves[0] == nil || !life.Halves[0].Shallow || len(life.Photos) != 2 {
		t.Errorf("%+v", life)
	}
	b.took(b.of(ann, "undo", try))
	if life := b.record().Lives()[3]; len(life.Tries) != 0 {
		t.Errorf("%+v", life.Tries)
	}
}

// Whatever bytes come as an entry: they are refused whole, or they are an entry within
// its bounds, which says the same however often it is read.
func FuzzParseSent(f *testing.F) {
	for _, text := range []string{
		`{"id":"00000000-0000-4000-8000-000000000001","n":1,"at":1771678800000,"kind":"line","line":"TRF-003-K","stage":"glue-up","clock":{"epoch":"a-1","fact":{"shown":1771678800000,"at":1771678800000,"trip":9},"jump":null}}`,
		`{"id":"00000000-0000-4000-8000-000000000002","n":2,"at":0,"kind":"photo","found":[{"text":"TRF003K1","how":"decoded","corners":[[0,0],[1,0],[1,1],[0,1]]}],"clock":{"epoch":"","jump":[null,5]}}`,
		`{"id":"00000000-0000-4000-8000-000000000003","n":3,"at":1,"kind":"faces","faces":{"subject":"3/1","wood":"60","shallow":true},"of":"00000000-0000-4000-8000-000000000001"}`,
		`{"kind":"undo","of":7}`, `[]`, `{}{}`, "\xff",
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := ParseSent(ann, text)
		if no := (*Unfit)(nil); err != nil && !errors.As(err, &no) {
			t.Fatalf("%v", err)
		}
		if err != nil {
			return
		}
		again, err := ParseSent(ann, text)
		if err != nil || s.says() != again.says() || s.N < 1 || s.now().Before(firstInstant) || len(s.Line) > mostText {
			t.Errorf("%+v", s)
		}
		var e Entry
		if s.on(&e, time.UTC); !s.Phone.made(tracker.Event{Device: e.Device}) {
			t.Errorf("%q is of no phone", e.Device)
		}
	})
}
