package intake

import (
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"soaktag/labels/photo"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// A camera's offset counts before the study's zone, and a time that a zone has
// twice asks.
func TestZones(t *testing.T) {
	for _, test := range []struct {
		wall   string
		offset int // hours; -99 for none
		want   string
		asks   string
	}{
		{"02-21 13:40", 1, "02-21 12:40", ""},
		{"02-21 13:40", -99, "02-21 13:40", ""},
		{"07-21 13:40", -99, "07-21 12:40", ""},
		{"10-25 01:30", -99, "10-25 00:30", "1 time in doubt"},
		{"10-25 01:30", 0, "10-25 01:30", ""},
	} {
		a := newAlbum(t)
		a.c.now = at("11-25 09:00")
		p := bare("a", "1/1")
		p.Exif.Wall = at(test.wall)
		if test.offset != -99 {
			p.Exif.Zone = time.FixedZone("", test.offset*3600)
		}
		s := a.reads(Given{Stage: "cut"}, Entry{}, p)
		e := wants[LabelSeen](s, 1)[0].Event
		if !e.At.From.Equal(at(test.want)) || s.asks() != test.asks {
			t.Errorf("%+v: %s, asks %q", test, e.At.From, s.asks())
		}
	}
}

// A clock symbol puts all photographs of its camera right, whatever their order;
// the one that shows it is kept at the symbol's own time, and once.
func TestClockSymbol(t *testing.T) {
	a := newAlbum(t)
	all := []*Photograph{snap("a", "13:30", ".CUT", "1/1"), snap("b", "13:42", "=12:40"), snap("c", "13:33", "2/1")}
	s := a.reads(Given{}, Entry{}, all...)
	if n := wants[CameraOff](s, 1); n[0].Ahead != 62*time.Minute || n[0].Device != "Lark P2" {
		t.Errorf("%+v", n)
	}
	seen := wants[PhotographSeen](s, 3)
	for i, want := range []string{"12:28", "12:31", "12:40"} {
		if got := seen[i].Taken.From.Format("15:04"); got != want {
			t.Errorf("%s: %s, want %s", seen[i].Name, got, want)
		}
	}
	wants[CameraOff](a.reads(Given{}, Entry{}, all...).adds(0), 0)
}

// Where the time of a photograph comes from, one source before the other.
func TestStamp(t *testing.T) {
	timed := Entry{At: schedule.At(at("11:00")), Timed: true, Reason: "why"}
	said := bare("a", "1/1")
	said.Said = schedule.At(at("10:00"))
	impossible := bare("a", "1/1")
	impossible.Exif = photo.Exif{Wall: time.Date(0, 1, 1, 0, 0, 0, 0, time.UTC)}
	nameless := snap("a", "12:30", "1/1")
	nameless.Exif.Camera = ""
	for _, test := range []struct {
		name    string
		p       *Photograph
		e       Entry
		correct bool
		want    string
		device  bool
	}{
		{"the camera", snap("a", "12:30", "1/1"), Entry{}, false, "12:30", true},
		{"a camera without a name", nameless, Entry{}, false, "12:30", false},
		{"the camera before what is given", snap("a", "12:30", "1/1"), timed, false, "12:30", true},
		{"a clock symbol before the camera", snap("a", "12:30", "1/1", "=12:45"), timed, false, "12:45", false},
		{"what is right before all", snap("a", "12:30", "1/1", "=12:45"), timed, true, "11:00", false},
		{"given", bare("a", "1/1"), timed, false, "11:00", false},
		{"given before said", said, timed, false, "11:00", false},
		{"said", said, Entry{}, false, "10:00", false},
	} {
		s := newAlbum(t).reads(Given{Stage: "cut", Correct: test.correct}, test.e, test.p)
		e := wants[LabelSeen](s, 1)[0].Event
		if got := e.At.From.Format("15:04"); got != test.want || e.DeviceTime != test.device {
			t.Errorf("%s: %s, by the device %t", test.name, got, e.DeviceTime)
		}
	}
}

// Of which nobody knows when it was taken is not recorded, but for one that was
// kept before.
func TestNoTime(t *testing.T) {
	a := newAlbum(t)
	p := bare("a", "1/1")
	s := a.reads(Given{Stage: "cut"}, Entry{}, p, snap("b", "12:30", "2/1")).says("new 2/1 cut 12:30")
	r := (*Refusal)(nil)
	if untaken := s.roll.Photographs[0]; !errors.As(untaken.Err, &r) || r.Help != (GiveTime{"a"}) || !strings.Contains(r.Why, ErrNoTime.Error()) {
		t.Errorf("%v", untaken.Err)
	}
	if n := wants[RollTaken](s, 1); n[0].Untaken != 1 || n[0].Labels != 1 {
		t.Errorf("%+v", n)
	}
	said := *p
	said.Said = schedule.At(at("10:00"))
	a.reads(Given{Stage: "cut"}, Entry{}, &said).says("new 1/1 cut 10:00")
	a.reads(Given{Stage: "cut"}, Entry{}, p).says("known 1/1 cut 10:00").adds(0)
}

// The time given is not taken for a photograph with a time of its own, which is
// said, and is where it is put right.
func TestTimeUnused(t *testing.T) {
	a := newAlbum(t)
	given := Entry{At: schedule.At(at("11:00")), Timed: true, Reason: "by the wall clock"}
	p := snap("a", "12:30", "1/1", "2/1")
	s := a.reads(Given{Stage: "cut", At: "11:00"}, given, p).says("new 1/1 cut 12:30, new 2/1 cut 12:30")
	if n := wants[TimeUnused](s, 1); n[0].At != "11:00" || len(n[0].Own) != 1 || n[0].Own[0].Name != "a" {
		t.Errorf("%+v", n)
	}
	right := Given{Stage: "cut", Correct: true}
	s = a.reads(right, given, p).says("right 1/1 cut 11:00, right 2/1 cut 11:00")
	wants[TimeUnused](s, 0)
	a.reads(right, given, p).adds(0)
}

// What was read without a time of its own stays at the time given first.
func TestReadAtOtherTime(t *testing.T) {
	a := newAlbum(t)
	p := bare("a", "1/1", "2/1")
	a.reads(Given{Stage: "cut"}, Entry{At: schedule.At(at("11:00")), Timed: true}, p)
	s := a.reads(Given{Stage: "cut"}, Entry{At: schedule.At(at("11:30")), Timed: true}, p).adds(0)
	wants[ReadAtTime](s, 1)
}

// A photograph by a clock that was never set does not go in without a word,
// until its time was put right.
func TestClockUnset(t *testing.T) {
	for _, test := range []struct {
		name, firstGlueUp, taken string
		want                     Odd
	}{
		{"as if new", "", "2000-01-01", LongBefore},
		{"written up, by a plan without a date", "", "2025-12-01", NotOdd},
		{"long before the first glue-up", "first_glue_up = 2026-02-21T13:30:00", "2025-12-01", LongBefore},
		{"a month before it", "first_glue_up = 2026-02-21T13:30:00", "2026-01-20", NotOdd},
		{"to come", "", "2099-01-01", StillToCome},
	} {
		a := albumIn(t, begunBy(t, strings.Replace(smallPlan, "[specimen]", test.firstGlueUp+"\n[specimen]", 1)))
		p := snap("a", "12:30", "1/1")
		day, err := time.Parse("2006-01-02", test.taken)
		if err != nil {
			t.Fatal(err)
		}
		p.Exif.Wall = day
		s := a.reads(Given{Stage: "cut"}, Entry{}, p)
		if test.want == NotOdd {
			wants[ClockUnset](s, 0)
			continue
		}
		if n := wants[ClockUnset](s, 1); len(n) == 1 && (n[0].Odd != test.want || n[0].Device != "Lark P2") {
			t.Errorf("%s: %+v", test.name, n)
		}
		wants[ClockUnset](a.reads(Given{Stage: "cut"}, Entry{}, p).adds(0), 1)
		wants[ClockUnset](a.reads(Given{Stage: "cut"}, Entry{Yes: true}, p), 0)
		a.reads(Given{Correct: true}, Entry{At: schedule.At(at("11:00")), Timed: true, Reason: "never set"}, p).says("right 1/1 cut 11:00")
		wants[ClockUnset](a.reads(Given{Stage: "cut"}, Entry{}, p).adds(0), 0)
	}
}

// begunBy begins a study by another plan.
func begunBy(t testing.TB, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "other.soaktag")
	db, err := store.Create(path, tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(noon), Recorded: noon,
		Plan: []byte(text), Dealt: dealt()}, plan.Read)
	if err == nil {
		err = db.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// To say once what a camera's clock shows puts all its photographs right; until
// then it is one warning a camera.
func TestUnsetOnceACamera(t *testing.T) {
	a := newAlbum(t)
	var all []*Photograph
	for i, camera := range []string{"Lark P2", "Lark P2", "Wren"} {
		p := snap("abc"[i:i+1], "12:30", []string{"1/1", "2/1", "3/1"}[i])
		p.Exif.Camera, p.Exif.Wall = camera, time.Date(2000, 1, 1, 0, 10+i, 0, 0, time.UTC)
		all = append(all, p)
	}
	n := wants[ClockUnset](a.reads(Given{Stage: "cut"}, Entry{}, all...), 2)
	if n[0].Name != "a" || n[0].More != 1 || n[1].Name != "c" || n[1].More != 0 {
		t.Errorf("%+v", n)
	}
	a.types("12:40", Clock{Device: "Lark P2", Shown: time.Date(2000, 1, 1, 0, 20, 0, 0, time.UTC)})
	s := a.reads(Given{Stage: "cut"}, Entry{}, all[:2]...).adds(0)
	wants[ClockUnset](s, 0)
	if seen := wants[PhotographSeen](s, 2); seen[0].Taken.From.Format("15:04") != "12:30" {
		t.Errorf("%+v", seen)
	}
}

// An interrupted roll says what of it is on record.
func TestRollInterrupted(t *testing.T) {
	a := newAlbum(t)
	d, err := Open(a.db, Now(a.c.now), func() time.Time { return a.c.now })
	if err != nil {
		t.Fatal(err)
	}
	r := d.Roll(Given{Stage: "cut"}, snap("a", "12:30", "1/1", "2/1"), snap("b", "12:31", "3/1"))
	r.Order()
	if got := r.Interrupted(); got != (RollInterrupted{Photographs: 2, Nothing: true}) {
		t.Errorf("%+v", got)
	}
	if _, err := d.Take(r.Photographs[0]); err != nil {
		t.Fatal(err)
	}
	if got := r.Interrupted(); got != (RollInterrupted{Labels: 2, Taken: 1, Photographs: 2}) {
		t.Errorf("%+v", got)
	}
}
