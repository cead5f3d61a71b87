package intake

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/labels/photo"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// An album is a study that made-up photographs are read into. Each reading is a
// desk of its own, as each is a run of its own.
type album struct {
	testing.TB
	db *store.DB
	c  *clock
}

// newAlbum begins a study of smallPlan; readings are two days after it began.
func newAlbum(t testing.TB) *album { return albumIn(t, begun(t)) }

func albumIn(t testing.TB, path string) *album {
	t.Helper()
	db, err := store.Open(path, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return &album{t, db, &clock{noon.Add(48 * time.Hour)}}
}

// at is a time of the day on which the study began, or "02-28 08:00" of another.
func at(text string) time.Time {
	if !strings.Contains(text, " ") {
		text = "02-21 " + text
	}
	when, err := time.Parse("2006-01-02 15:04", "2026-"+text)
	if err != nil {
		panic(err)
	}
	return when
}

// snap is a photograph by a camera that says its zone. What it shows is written
// as "1/2" for half 2 of specimen 1, "?1/2" for one that is only recognised,
// "1/2|3/1" for two answers in one place, ".CUT" for a card or a tag, "=12:30"
// for a clock symbol, and anything else for another program's text.
func snap(name, taken string, shows ...string) *Photograph {
	p := bare(name, shows...)
	p.Exif = photo.Exif{Camera: "Lark P2", Wall: at(taken), Zone: time.UTC}
	return p
}

// bare is a photograph without a time of its own.
func bare(name string, shows ...string) *Photograph {
	p := &Photograph{Name: name, Named: true}
	for _, text := range shows {
		parts := strings.Split(text, "|")
		for _, part := range parts {
			f := sight(part)
			f.Ambiguous = len(parts) > 1
			p.Found = append(p.Found, f)
		}
	}
	return p.file(name + strings.Join(shows, " "))
}

// file gives a photograph its bytes.
func (p *Photograph) file(body string) *Photograph {
	bytes := []byte("\xff\xd8\xff" + body)
	p.Sum, p.Load = tracker.PhotoSum(bytes), func() ([]byte, error) { return bytes, nil }
	return p
}

func sight(text string) photo.Found {
	var serial, half int
	f := photo.Found{Text: text, How: photo.Decoded}
	switch body, probable := strings.CutPrefix(text, "?"); {
	case probable:
		f = sight(body)
		f.How = photo.Matched
	case strings.HasPrefix(text, "="):
		f.Text = photo.ClockText(at(text[1:]))
	case !strings.HasPrefix(text, "."):
		if n, _ := fmt.Sscanf(text, "%d/%d", &serial, &half); n == 2 {
			f.Code = labels.New("TRF", serial)
			f.Code.Half, f.Half = half, half
			f.Text = f.Code.Packed()
		}
	}
	return f
}

// A told is what a reading came to.
type told struct {
	testing.TB
	Outcome
	labels string // how each stands, its code, stage and time
	added  int    // events
	roll   *Roll
}

// reads reads photographs as they were first, with what is given for all of them.
func (a *album) reads(g Given, e Entry, photographs ...*Photograph) told {
	a.Helper()
	before := len(a.record().Events())
	e.Recorded = a.c.now
	d, err := Open(a.db, e, func() time.Time { return a.c.now })
	if err != nil {
		a.Fatal(err)
	}
	var fresh []*Photograph
	for _, p := range photographs {
		again := *p
		fresh = append(fresh, &again)
	}
	said := told{TB: a.TB, roll: d.Roll(g, fresh...)}
	out, err := said.roll.develop()
	if err != nil {
		a.Fatal(err)
	}
	said.Outcome = out
	for _, p := range said.roll.Photographs {
		if p.Err != nil {
			continue
		}
		out, err := d.Take(p)
		if err != nil {
			a.Fatalf("%s: %v", p.Name, err)
		}
		said.add(out.Notes...)
	}
	said.add(said.roll.Close().Notes...)
	said.added = len(a.record().Events()) - before
	said.labels = standings(said.Outcome)
	return said
}

func standings(out Outcome) string {
	var all []string
	for _, n := range out.Notes {
		if l, ok := n.(LabelSeen); ok {
			e := l.Event
			all = append(all, fmt.Sprintf("%s %s %s %s", [...]string{"new", "right", "known", "not"}[l.Standing],
				short(e.Code, e.Half), orNoStage(e.Stage), e.At.From.Format("15:04")))
		}
	}
	return strings.Join(all, ", ")
}

// short is a code without prefix and check character.
func short(text string, half int) string {
	code, err := labels.Parse(text)
	switch {
	case err != nil:
		return Shown(text, half)
	case half != 0:
		return fmt.Sprintf("%d/%d", code.Serial, half)
	}
	return fmt.Sprint(code.Serial)
}

func orNoStage(stage schedule.Stage) schedule.Stage {
	if stage == "" {
		return "none"
	}
	return stage
}

func (a *album) record() *tracker.Record {
	a.Helper()
	rec, err := a.db.State()
	if err != nil {
		a.Fatal(err)
	}
	return rec
}

// types takes a form as somebody types it, with a reason, at a time of the day.
func (a *album) types(when string, form Input) {
	a.Helper()
	e := Now(at(when))
	e.Reason = "why"
	d, err := Open(a.db, e, func() time.Time { return a.c.now })
	if err == nil {
		_, err = d.Take(form)
	}
	if err != nil {
		a.Fatalf("%#v: %v", form, err)
	}
}

// accepts lets every mark of a rule stand.
func (a *album) accepts(rule tracker.Rule) {
	a.Helper()
	d, err := Open(a.db, Now(a.c.now), func() time.Time { return a.c.now })
	if err != nil {
		a.Fatal(err)
	}
	marks := slices.DeleteFunc(d.Record().Marks(), func(m tracker.Mark) bool { return m.Rule != rule || !m.Open() })
	if len(marks) == 0 {
		a.Fatalf("no mark asks by %q", rule)
	}
	if _, err := d.Accept(marks, "looked at it"); err != nil {
		a.Fatal(err)
	}
}

// corrects gives an entry another stage, by hand.
func (a *album) corrects(id string, stage schedule.Stage) {
	a.Helper()
	e, ok := a.record().Event(id)
	if !ok {
		a.Fatalf("no event %s", id)
	}
	e.ID, e.Seq, e.Target, e.Stage, e.Reason = "right "+id, 0, id, stage, "why"
	if _, err := a.db.Record(e); err != nil {
		a.Fatal(err)
	}
}

// says wants what the labels of a reading came to.
func (s told) says(want string) told {
	s.Helper()
	if s.labels != want {
		s.Errorf("labels\n\t%s\nwant\n\t%s", s.labels, want)
	}
	return s
}

// adds wants so many events to have been recorded.
func (s told) adds(want int) told {
	s.Helper()
	if s.added != want {
		s.Errorf("%d events added, want %d", s.added, want)
	}
	return s
}

// wants wants a kind of note so many times.
func wants[T Note](s told, want int) (all []T) {
	s.Helper()
	for _, n := range s.Notes {
		if n, ok := n.(T); ok {
			all = append(all, n)
		}
	}
	if len(all) != want {
		var kind T
		s.Errorf("%d notes %T, want %d: %+v", len(all), kind, want, all)
	}
	return all
}

// asks lists what a reading left open, by code and rule.
func (s told) asks() string {
	var all []string
	for _, n := range s.Notes {
		if left, ok := n.(RollAsks); ok {
			for _, m := range left.Marks {
				all = append(all, short(m.Code, 0)+" "+string(m.Rule))
			}
		}
	}
	slices.Sort(all)
	return strings.Join(slices.Compact(all), ", ")
}
