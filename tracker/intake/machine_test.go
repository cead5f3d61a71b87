package intake

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// The desk against a simple model of it: two desks, each with a store of its own
// open on one file, get random lines, cards, photographs and forms. The model
// knows no store, no marks and no symbols. What asks it takes from the verdicts;
// whom YES, UNDO and a bath's tag then mean it works out by itself.

// A fact is an event as the model knows it.
type fact struct {
	id    string
	code  string
	stage schedule.Stage
	bath  string // moved into it
	by    string
	at    time.Time
	void  bool
}

// says is what the model foretells of an event.
func (f fact) says() string { return fmt.Sprint(f.code, " ", f.stage, " ", f.bath, " by ", f.by) }

// A post is what the model knows of one desk.
type post struct {
	stage schedule.Stage
	since time.Time
	by    string
	asked []tracker.Mark
	done  [][]string // ids by what was taken
}

// A model is the study as simple as can be.
type model struct {
	facts   []*fact
	posts   [2]post
	now     time.Time
	windows map[string]tracker.Due // by code: when the next stage is due, which is for the record to say
}

// foretold is what a model expects of an input.
type foretold struct {
	fresh []string // what facts say, in order
	void  []string // ids of events that are set aside
	yes   []tracker.Mark
}

// bathOf and soakedOnes say what smallPlan deals.
var bathOf = map[string]string{code(3): "B1", code(4): "B1", code(7): "B2", code(8): "B2"}

func soakedOnes() []string { return []string{code(3), code(4), code(7), code(8)} }

// liesIn is the bath of a specimen after all moves that count.
func (m *model) liesIn(code string) string {
	bath := bathOf[code]
	for _, f := range m.facts {
		if f.code == code && f.bath != "" && !f.void {
			bath = f.bath
		}
	}
	return bath
}

// next is the stage that comes next for a soaked specimen.
func (m *model) next(code string) schedule.Stage {
	var last *fact
	path, furthest, wet := schedule.Stages(), -1, false
	for _, f := range m.facts {
		if f.code != code || f.stage == "" || f.void || last != nil && last.stage == f.stage && f.at.Sub(last.at) <= time.Minute {
			continue
		}
		last = f
		furthest = max(furthest, slices.Index(path, f.stage))
		wet = f.stage == schedule.Immersion || wet && f.stage != schedule.LiftOut
	}
	if wet {
		return schedule.LiftOut
	}
	return path[furthest+1]
}

// inBath lists whom a bath's tag means: those whose next step the stage is and
// whose lot's window has begun; without such all whose next step it is; or all where
// it is nobody's.
func (m *model) inBath(bath string, stage schedule.Stage) []string {
	var members, meant []string
	for _, code := range soakedOnes() {
		if m.liesIn(code) != bath {
			continue
		}
		members = append(members, code)
		if next := m.next(code); next == stage || next == schedule.Cut && stage == schedule.GlueUp { // cutting is not missed
			meant = append(meant, code)
		}
	}
	if len(meant) > 0 {
		return inTime(meant, stage, m.windows, m.now)
	}
	return members
}

// expire forgets a stage under which nothing was taken for a quarter of an hour.
func (p *post) expire(now time.Time) {
	if now.Sub(p.since) > 15*time.Minute {
		p.stage = ""
	}
}

// read foretells codes and tags that are read under the stage in force.
func (m *model) read(p *post, stage schedule.Stage, words ...string) (told foretold) {
	for _, word := range words {
		codes := []string{word}
		if bath, is := strings.CutPrefix(word, "bath "); is {
			codes = m.inBath(bath, stage)
		}
		for _, code := range codes {
			told.fresh = append(told.fresh, fact{code: code, stage: stage, by: p.by}.says())
		}
	}
	return told
}

// undo foretells UNDO: what was taken last and counts still no longer does.
func (m *model) undo(p *post) (told foretold) {
	if len(p.done) == 0 {
		return told
	}
	last := p.done[len(p.done)-1]
	p.done = p.done[:len(p.done)-1]
	p.asked = nil
	for _, f := range m.facts {
		if slices.Contains(last, f.id) && !f.void {
			told.void = append(told.void, f.id)
		}
	}
	return told
}

// yes foretells YES: all that was asked last is accepted.
func (p *post) yes() (told foretold) {
	told.yes, p.asked = p.asked, nil
	return told
}

// last is the newest fact that still counts; nil for none.
func (m *model) last() *fact {
	for _, f := range slices.Backward(m.facts) {
		if !f.void {
			return f
		}
	}
	return nil
}

// A machine runs the desks and the model beside each other.
type machine struct {
	testing.TB
	*rand.Rand
	clock  *clock
	desks  [2]*Desk
	model  model
	path   string
	logged int    // events on record
	name   string // of the sequence
	inputs []string
	shots  int
}

// newMachine opens two desks on a copy of a study's file.
func newMachine(t testing.TB, begun []byte, dir string, rng *rand.Rand) *machine {
	m := &machine{TB: t, Rand: rng, clock: &clock{noon.Add(time.Hour)}, logged: 1}
	m.path = filepath.Join(dir, fmt.Sprint(rng.Uint64(), ".soaktag"))
	if err := os.WriteFile(m.path, begun, 0o600); err != nil {
		t.Fatal(err)
	}
	for i := range m.desks {
		db, err := store.Open(m.path, plan.Read)
		if err != nil {
			t.Fatal(err)
		}
		m.desks[i] = &Desk{db: db}
	}
	return m
}

// sit gives both desks to somebody new: nothing is in force, asked or to be
// taken back.
func (m *machine) sit(name string) {
	m.name, m.inputs, m.model.posts = name, nil, [2]post{}
	for i, d := range m.desks {
		fresh, err := Open(d.db, Now(m.clock.now), func() time.Time { return m.clock.now })
		if err != nil {
			m.Fatal(err)
		}
		m.desks[i] = fresh
	}
}

func (m *machine) close() {
	for _, d := range m.desks {
		if err := d.db.Close(); err != nil {
			m.Error(err)
		}
	}
}

func pick[T any](r *rand.Rand, all ...T) T { return all[r.IntN(len(all))] }

// step takes one random input at one of the desks.
func (m *machine) step() {
	m.clock.now = m.clock.now.Add(time.Second)
	if m.IntN(25) == 0 { // until windows begin
		m.clock.now = m.clock.now.Add(pick(m.Rand, 2*time.Hour, 23*time.Hour, 6*24*time.Hour+21*time.Hour))
	}
	i := m.IntN(2)
	d, p := m.desks[i], &m.model.posts[i]
	m.model.now = m.clock.now
	switch n := m.IntN(100); {
	case n < 12:
		m.clock.now = m.clock.now.Add(time.Duration(m.IntN(20)) * time.Minute)
	case n < 80:
		m.line(d, p)
	case n < 88:
		m.photograph(d, p)
	default:
		m.form(d, p)
	}
}

// stages are those that the model knows; a break wants its reading.
var stages = []schedule.Stage{schedule.GlueUp, schedule.ClampRemoval, schedule.Immersion, schedule.LiftOut}

// line takes a line of a scanner.
func (m *machine) line(d *Desk, p *post) {
	p.expire(m.clock.now)
	one, two := code(1+m.IntN(8)), code(1+m.IntN(8))
	switch n := m.IntN(68); {
	case n < 30:
		m.takes(d, p, Line(one), m.model.read(p, p.stage, one), true)
	case n < 33:
		m.takes(d, p, Line(one+two), m.model.read(p, p.stage, one, two), true)
	case n < 43:
		bath := "bath " + pick(m.Rand, "B1", "B2")
		m.takesBath(d, p, bath)
	case n < 52:
		stage := pick(m.Rand, stages...)
		p.stage, p.since = stage, m.clock.now
		m.takes(d, p, Line(labels.Card{Kind: labels.CardStage, Name: string(stage)}.Text()), foretold{}, false)
	case n < 55:
		p.by = pick(m.Rand, "Ann", "Bob")
		m.takes(d, p, Line(labels.Card{Kind: labels.CardWho, Name: p.by}.Text()), foretold{}, false)
	case n < 60:
		m.takes(d, p, Line(".YES"), p.yes(), false)
	case n < 66:
		m.takes(d, p, Line(".UNDO"), m.model.undo(p), false)
	default:
		p.asked = nil
		m.takes(d, p, Line(pick(m.Rand, "%%% jammed", "777", "TRF-001-A", "bath Z9")), foretold{}, false)
	}
}

// takesBath reads a bath's tag; one in which nothing lies is refused.
func (m *machine) takesBath(d *Desk, p *post, tag string) {
	told := m.model.read(p, p.stage, tag)
	if len(told.fresh) == 0 {
		p.asked = nil
	}
	m.takes(d, p, Line(tag), told, len(told.fresh) > 0)
}

// photograph takes a photograph of labels, perhaps beside a stage card, or of a
// card alone.
func (m *machine) photograph(d *Desk, p *post) {
	m.shots++
	name := fmt.Sprint(m.name, " ", m.shots)
	p.expire(m.clock.now)
	p.since = m.clock.now
	var shows, words []string
	switch n := m.IntN(10); {
	case n < 1:
		m.takes(d, p, m.snap(name, ".YES"), p.yes(), false)
		return
	case n < 2:
		m.takes(d, p, m.snap(name, ".UNDO"), m.model.undo(p), false)
		return
	case n < 5:
		p.stage = pick(m.Rand, stages...)
		shows = append(shows, labels.Card{Kind: labels.CardStage, Name: string(p.stage)}.Text())
	}
	for _, serial := range m.Perm(8)[:1+m.IntN(3)] {
		shows, words = append(shows, fmt.Sprint(serial+1, "/1")), append(words, code(serial+1))
	}
	m.takes(d, p, m.snap(name, shows...), m.model.read(p, p.stage, words...), true)
}

func (m *machine) snap(name string, shows ...string) *Photograph {
	p := bare(name, shows...)
	p.Exif.Camera, p.Exif.Wall, p.Exif.Zone = "Lark P2", m.clock.now, time.UTC
	return p
}

// form takes a form, which no scan's UNDO takes back.
func (m *machine) form(d *Desk, p *post) {
	d.At, d.Recorded, d.Reason = schedule.At(m.clock.now), m.clock.now, "why"
	defer func() { d.Reason = "" }()
	switch m.IntN(3) {
	case 0:
		stage, one := pick(m.Rand, stages...), code(1+m.IntN(8))
		m.takes(d, p, Stage{Subjects: []string{one}, Name: string(stage)}, m.model.read(p, stage, one), false)
	case 1:
		one, bath := pick(m.Rand, soakedOnes()...), pick(m.Rand, "B1", "B2")
		m.takes(d, p, Move{[]string{one}, bath}, foretold{fresh: []string{fact{code: one, bath: bath, by: p.by}.says()}}, false)
	default:
		if last := m.model.last(); last != nil {
			m.takes(d, p, Void{these(last.id)}, foretold{void: []string{last.id}}, false)
		}
	}
}

// takes hands an input to a desk, and compares what came of it with what was
// foretold. A scan can be taken back.
func (m *machine) takes(d *Desk, p *post, in Input, told foretold, scan bool) {
	m.Helper()
	m.inputs = append(m.inputs, fmt.Sprintf("%s %T %v", m.clock.now.Format("15:04:05"), in, shown(in)))
	if _, err := d.Take(in); err != nil {
		m.fails("%v", err)
	}
	if err := d.refresh(); err != nil {
		m.Fatal(err)
	}
	events := d.rec.Events()
	m.compare(events[m.logged:], told)
	m.logged, m.model.windows = len(events), windowsOf(d.rec, m.clock.now)
	if scan {
		m.scanned(d, p, len(told.fresh))
	}
	if d.stage != p.stage {
		m.fails("in force is %q, the model says %q", d.stage, p.stage)
	}
	if got, want := marked(d.asked), marked(p.asked); got != want {
		m.fails("it asks %s, the model says %s", got, want)
	}
}

// scanned notes what a scan recorded, and what the record asks of it.
func (m *machine) scanned(d *Desk, p *post, n int) {
	p.since, p.asked = m.clock.now, nil
	var ids []string
	for _, f := range m.model.facts[len(m.model.facts)-n:] {
		e, _ := d.rec.Event(f.id)
		ids, p.asked = append(ids, f.id), append(p.asked, openOf([]tracker.Verdict{d.rec.Verdict(e)})...)
	}
	p.done = append(p.done, ids)
}

// compare compares what is new in the log with what was foretold, and takes it
// into the model.
func (m *machine) compare(events []tracker.Event, told foretold) {
	var fresh, void []string
	var yes []tracker.Mark
	for _, e := range events {
		switch f := (&fact{id: e.ID, code: e.Code, stage: e.Stage, bath: e.Bath, by: e.By, at: e.At.From}); e.Kind {
		case tracker.Staged, tracker.Moved:
			if e.Kind == tracker.Staged {
				f.bath = ""
			}
			m.model.facts = append(m.model.facts, f)
			fresh = append(fresh, f.says())
		case tracker.Voided:
			void = append(void, e.Target)
		case tracker.Accepted:
			yes = append(yes, tracker.Mark{Event: e.Target, Rule: e.Rule, Code: e.Code})
		}
	}
	slices.Sort(void)
	slices.Sort(told.void)
	if !slices.Equal(fresh, told.fresh) || !slices.Equal(void, told.void) || marked(yes) != marked(told.yes) {
		m.fails("recorded %q, void %d, accepted %s; the model says %q, %d, %s", fresh, len(void), marked(yes), told.fresh, len(told.void), marked(told.yes))
	}
	for _, f := range m.model.facts {
		f.void = f.void || slices.Contains(void, f.id)
	}
}

// agree compares what counts at the end of a sequence.
func (m *machine) agree(d *Desk) {
	if err := d.refresh(); err != nil {
		m.Fatal(err)
	}
	for _, f := range m.model.facts {
		if f.void != d.rec.Voided(f.id) {
			m.fails("%s is void: %v, the model says %v", f.says(), !f.void, f.void)
		}
	}
	for _, code := range soakedOnes() {
		life := d.rec.Life(labels.New("TRF", int(code[6]-'0')))
		if life.Next != m.model.next(code) || life.Specimen.Bath != m.model.liesIn(code) {
			m.fails("%s is next in %q and lies in %s, the model says %q and %s", code, life.Next, life.Specimen.Bath, m.model.next(code), m.model.liesIn(code))
		}
	}
}

// marked lists marks shortly: several of one rule on one event, for several stages
// left out, are accepted together.
func marked(marks []tracker.Mark) string {
	var all []string
	for _, k := range marks {
		all = append(all, string(k.Rule)+" of "+k.Event+" "+k.Code)
	}
	slices.Sort(all)
	return strings.Join(slices.Compact(all), ", ")
}

func shown(in Input) any {
	if p, ok := in.(*Photograph); ok {
		var texts []string
		for _, f := range p.Found {
			texts = append(texts, f.Text)
		}
		return texts
	}
	return in
}

func (m *machine) fails(format string, args ...any) {
	m.Helper()
	m.Fatalf("%s:\n%s\n%s", m.name, strings.Join(m.inputs, "\n"), fmt.Sprintf(format, args...))
}

// TestDeskAgreesWithModel runs 2,000 sequences of 50 inputs with SOAKTAG_LONG=1,
// 500 with SOAKTAG_CI=1, and 40 otherwise: every input is on the disk before the
// next. Ten sequences share a study.
func TestDeskAgreesWithModel(t *testing.T) {
	sequences := 40
	switch {
	case os.Getenv("SOAKTAG_LONG") != "":
		sequences = 2000
	case os.Getenv("SOAKTAG_CI") == "1":
		sequences = 500
	}
	begun, err := os.ReadFile(begun(t))
	if err != nil {
		t.Fatal(err)
	}
	const together, inputs = 10, 50
	dir := t.TempDir()
	for study := range sequences / together {
		m := newMachine(t, begun, dir, rand.New(rand.NewPCG(uint64(study), 11)))
		for n := range together {
			m.sit(fmt.Sprintf("study %d, sequence %d", study, n))
			if n == 0 {
				m.evenings()
			}
			for range inputs {
				m.step()
			}
			m.agree(m.desks[n%2])
		}
		m.close()
		if r := store.Verify(m.path); len(r.Problems) > 0 || r.Events != int64(m.logged) {
			t.Fatalf("%s: %+v", m.name, r)
		}
	}
}
