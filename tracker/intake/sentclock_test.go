package intake

import (
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// told is what a phone says of its clock: ahead by so much in an epoch.
func (b *inbox) told(epoch string, ahead time.Duration) doc {
	now := b.clock.now
	return doc{"epoch": epoch, "fact": doc{"shown": now.Add(ahead).UnixMilli(), "at": now.UnixMilli(), "trip": 40}}
}

// by is a line that a phone made whose clock was ahead by so much.
func (b *inbox) by(epoch string, ahead time.Duration, stage, line string) doc {
	return b.entry(ann, "line", doc{"stage": stage, "line": line, "at": b.clock.now.Add(ahead).UnixMilli(), "clock": b.told(epoch, ahead)})
}

func clocksIn(rec *tracker.Record) (all []tracker.Event) {
	for _, e := range rec.Events() {
		if e.Kind == tracker.ClockSeen {
			all = append(all, e)
		}
	}
	return all
}

// Whatever a phone's clock shows, an entry has the right time, and what the phone
// found out is a fact once: an hour off, at the turn of 1970, set while somebody works.
func TestSentTime(t *testing.T) {
	b := newInbox(t)
	b.took(b.by("a-1", time.Hour, "glue-up", code(3)))
	b.clock.now = b.clock.now.Add(2 * time.Minute)
	b.took(b.by("a-1", time.Hour+300*time.Millisecond, "glue-up", code(4)))
	b.clock.now = b.clock.now.Add(2 * time.Minute)
	b.took(b.by("a-2", -2*time.Hour, "glue-up", code(7)))
	b.clock.now = b.clock.now.Add(2 * time.Minute)
	b.took(b.by("b-1", time.UnixMilli(5).Sub(b.clock.now), "glue-up", code(8)))
	b.stands("3 glue-up 13:00, 4 glue-up 13:02, 7 glue-up 13:04, 8 glue-up 13:06")
	if seen := clocksIn(b.record()); len(seen) != 3 {
		t.Errorf("%d clocks: %+v", len(seen), seen)
	}
	b.took(b.by("a-1", time.Hour+2*time.Second, "clamp removal", code(3)))
	if seen := clocksIn(b.record()); len(seen) != 4 {
		t.Errorf("%d clocks", len(seen))
	}
	if open := b.record().OpenMarks(); len(open) != 1 || open[0].Rule != "clamp early" {
		t.Errorf("%+v", open)
	}
}

// An entry that is handed in hours later keeps its time, by a fact from before or from
// after it.
func TestSentLate(t *testing.T) {
	b := newInbox(t)
	at := b.clock.now
	late := b.entry(ann, "line", doc{"stage": "glue-up", "line": code(3), "at": at.Add(-time.Hour).UnixMilli()})
	b.clock.now = at.Add(20 * time.Hour)
	late["clock"] = b.told("e-1", -time.Hour)
	b.took(late)
	b.stands("3 glue-up 13:00")
	if open := b.record().OpenMarks(); len(open) > 0 {
		t.Errorf("%+v", open)
	}
}

// Where nobody can know, the time is the range that holds the truth, it asks, and what
// hangs on it cannot be told.
func TestSentInAJump(t *testing.T) {
	b := newInbox(t)
	b.took(b.line(ann, "glue-up", code(3)))
	from, to := b.clock.now.Add(20*time.Hour), b.clock.now.Add(30*time.Hour)
	b.clock.now = to.Add(time.Hour)
	b.took(b.entry(ann, "line", doc{"stage": "clamp removal", "line": code(3),
		"clock": doc{"epoch": "e-2", "fact": nil, "jump": []any{from.UnixMilli(), to.UnixMilli()}}}))
	life := b.record().Lives()[2]
	if s := life.Steps[1]; !s.At.From.Equal(from) || !s.At.To.Equal(to) {
		t.Errorf("%+v", s)
	}
	if l := lapseNamed(life, schedule.Clamp); l.Verdict != schedule.CannotTell {
		t.Errorf("%+v", l)
	}
	open := b.record().OpenMarks()
	if len(open) != 2 || open[0].Rule != tracker.RuleTimeDoubt && open[1].Rule != tracker.RuleTimeDoubt {
		t.Errorf("%+v", open)
	}
	b.took(b.entry(ann, "line", doc{"stage": "glue-up", "line": code(4), "clock": doc{"epoch": "e-3", "fact": nil, "jump": []any{nil, to.UnixMilli()}}}))
	if s := b.record().Lives()[3].Steps[0]; !s.At.From.IsZero() || !s.At.To.Equal(to) {
		t.Errorf("%+v", s)
	}
}

// Nobody's clock: nothing is known of it, it runs ahead of the station's, or it is that
// of long ago. It is kept as it stands, and asks.
func TestSentByAnOddClock(t *testing.T) {
	for name, test := range map[string]struct {
		off   time.Duration
		known bool
		rule  tracker.Rule
	}{
		"never compared": {0, false, tracker.RuleClockUnknown},
		"2100":           {time.Date(2100, 1, 1, 0, 0, 0, 0, time.UTC).Sub(noon), false, tracker.RuleClockUnknown},
		"the future":     {3 * time.Hour, true, tracker.RuleFuture},
		"long ago":       {-900 * 24 * time.Hour, true, tracker.RuleTimeDoubt},
	} {
		b := newInbox(t)
		e := b.entry(ann, "line", doc{"stage": "glue-up", "line": code(3), "at": b.clock.now.Add(test.off).UnixMilli()})
		if e["clock"] = (doc{"epoch": "e-1", "fact": nil, "jump": nil}); test.known {
			e["clock"] = b.told("e-1", 0)
		}
		b.took(e)
		found := false
		for _, m := range b.record().OpenMarks() {
			found = found || m.Rule == test.rule
		}
		if !found {
			t.Errorf("%s: %+v", name, b.record().OpenMarks())
		}
	}
}

// A bath's tag means those who lay there when it was read, though the phone's clock was
// never compared before and is an hour off.
func TestSentBathByAWrongClock(t *testing.T) {
	b := newInbox(t)
	b.took(b.line(bob, "glue-up", "bath B1"))
	b.clock.now = b.clock.now.Add(25 * time.Hour)
	b.took(b.line(bob, "clamp removal", code(3)))
	b.clock.now = b.clock.now.Add(time.Minute)
	if out := b.took(b.by("z-1", -26*time.Hour, "immersion", "bath B1")); len(out.Verdicts()) != 1 {
		t.Errorf("%+v", out.Notes)
	}
}
