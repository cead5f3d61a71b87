package intake

import (
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels/photo"
	"soaktag/tracker"
)

// shot is a photograph as a phone sends it: what the page's reader found, and what the
// station's; each written as in snap, "-" for a reader that did not read.
func (b *inbox) shot(from Phone, stage, name, phone, station string) (doc, []byte, *photo.Look) {
	e := b.entry(from, "photo", doc{"stage": stage})
	if phone != "-" {
		found := []any{}
		for i, f := range bare(name, strings.Fields(phone)...).Found {
			found = append(found, doc{"text": f.Text, "how": f.How, "ambiguous": f.Ambiguous, "corners": square(i)})
		}
		e["found"] = found
	}
	file := []byte("\xff\xd8\xff" + name)
	if station == "-" {
		return e, file, nil
	}
	look := &photo.Look{Found: bare(name, strings.Fields(station)...).Found}
	for i := range look.Found {
		var corners [4]photo.Point
		for j, c := range square(i) {
			corners[j] = photo.Point{X: c[0], Y: c[1]}
		}
		look.Upright = append(look.Upright, corners)
	}
	return e, file, look
}

// square is where the i-th symbol of a photograph stands.
func square(i int) [4][2]float64 {
	x := float64(100 * i)
	return [4][2]float64{{x, 0}, {x + 50, 0}, {x + 50, 50}, {x, 50}}
}

// A photograph is kept with what it shows. What phone and station read alike stands;
// what only one of them reads is kept too, and asks, unless the station decoded it; two readings of one label YES does
// not decide.
func TestSentPhotograph(t *testing.T) {
	for name, test := range map[string]struct {
		phone, station string
		stands         string
		asks           int
		yes            bool
	}{
		"alike":                {"3/1 4/2", "3/1 4/2", "3/1 immersion 13:00 Ann, 4/2 immersion 13:00 Ann", 0, false},
		"the station cannot":   {"3/1", "-", "3/1 immersion 13:00 Ann", 0, false},
		"the page did not":     {"-", "3/1", "3/1 immersion 13:00 Ann", 0, false},
		"decoded by one":       {"3/1", "?3/1", "3/1 immersion 13:00 Ann", 0, false},
		"recognised by both":   {"?3/1", "?3/1", "", 1, true},
		"the station more":     {"3/1", "3/1 4/1", "3/1 immersion 13:00 Ann, 4/1 immersion 13:00 Ann", 0, false},
		"the station alone":    {"3/1", "3/1 ?4/1", "3/1 immersion 13:00 Ann", 1, true},
		"the phone alone":      {"3/1 4/1", "3/1", "3/1 immersion 13:00 Ann", 1, true},
		"two for one label":    {"3/1", "4/1", "", 2, false},
		"a card seen by both":  {".IMMERSION 3/1", ".IMMERSION 3/1", "3/1 immersion 13:00 Ann", 0, false},
		"a bath's tag":         {".BATHB1", ".BATHB1", "3 immersion 13:00 Ann, 4 immersion 13:00 Ann", 0, false},
		"nothing in it at all": {"", "", "", 0, false},
	} {
		b := newInbox(t)
		e, file, look := b.shot(ann, "immersion", name, test.phone, test.station)
		e["by"] = "Ann"
		for range 2 {
			out, err := b.takesOf(ann, e, file, look)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			probable := 0
			for _, v := range out.Seen() {
				for _, m := range v.Marks {
					if m.Open() && m.Rule == tracker.RuleProbableCode {
						probable++
					}
				}
			}
			if probable != test.asks {
				t.Errorf("%s: %d ask: %+v", name, probable, out.Notes)
			}
			if yes := probable > 0 && !yesLeaves(out); yes != test.yes {
				t.Errorf("%s: YES %t", name, yes)
			}
			if got := b.standing(); got != test.stands {
				t.Errorf("%s: %s, want %s", name, got, test.stands)
			}
		}
	}
}

// yesLeaves reports whether YES leaves a probable code as it is.
func yesLeaves(out Outcome) bool {
	for _, v := range out.Seen() {
		for _, m := range v.Marks {
			if m.Open() && oneOfTwo(v.Event, m) {
				return true
			}
		}
	}
	return false
}

// UNDO and YES mean a photograph by its entry; cards in a photograph mean the entry
// before, and act once.
func TestSentPhotographTakenBack(t *testing.T) {
	b := newInbox(t)
	e, file, look := b.shot(ann, "glue-up", "one", "3/1 4/1", "3/1 4/1")
	if _, err := b.takesOf(ann, e, file, look); err != nil {
		t.Fatal(err)
	}
	b.took(b.of(ann, "undo", e))
	b.stands("")
	e, file, look = b.shot(ann, "glue-up", "two", "3/2", "3/2")
	late := b.of(ann, "undo", e)
	b.took(late)
	if out, err := b.takesOf(ann, e, file, look); err != nil || !has[UndoneBefore](out) {
		t.Fatalf("%v %+v", err, out.Notes)
	}
	b.stands("")
	e, file, look = b.shot(ann, "glue-up", "three", "3/1", "3/1")
	if _, err := b.takesOf(ann, e, file, look); err != nil {
		t.Fatal(err)
	}
	b.stands("3/1 glue-up 13:00")
	card, file, look := b.shot(ann, "glue-up", "card", ".UNDO", ".UNDO")
	for range 2 {
		if _, err := b.takesOf(ann, card, file, look); err != nil {
			t.Fatal(err)
		}
		b.stands("")
	}
}

// The same picture chosen again after UNDO records nothing, and is not told as recorded; the
// very entry sent again is answered as it was.
func TestSentPhotographAfterItsUndo(t *testing.T) {
	b := newInbox(t)
	first, file, look := b.shot(ann, "glue-up", "tray", "3/1 4/1", "3/1 4/1")
	if out, err := b.takesOf(ann, first, file, look); err != nil || len(out.AsideBefore()) > 0 {
		t.Fatalf("%v %+v", err, out.Notes)
	}
	b.took(b.of(ann, "undo", first))
	b.stands("")
	again, file, look := b.shot(ann, "glue-up", "tray", "3/1 4/1", "3/1 4/1")
	out, err := b.takesOf(ann, again, file, look)
	if err != nil || len(out.AsideBefore()) != 2 || out.YesAnswers() || out.UndoAnswers() {
		t.Errorf("%v: %d were taken back, YES %t, UNDO %t", err, len(out.AsideBefore()), out.YesAnswers(), out.UndoAnswers())
	}
	b.stands("")
	if out, err := b.takesOf(ann, first, file, look); err != nil || len(out.AsideBefore()) > 0 {
		t.Errorf("sent again: %v %+v", err, out.Notes)
	}
}

// The same specimen from two phones at once: both are kept, and it asks; the same
// photograph from both is one.
func TestSentByTwoPhones(t *testing.T) {
	b := newInbox(t)
	b.took(b.line(ann, "glue-up", code(3)))
	b.clock.now = b.clock.now.Add(2 * time.Minute)
	out := b.took(b.line(bob, "glue-up", code(3)))
	if open := out.Asks(); !has[LeftOpen](out) || len(open) != 1 || open[0].Rule != tracker.RuleRepeated {
		t.Errorf("%+v", out.Notes)
	}
	kept := 0
	for _, e := range b.record().Events() {
		if e.Kind == tracker.Staged {
			kept++
		}
	}
	if kept != 2 {
		t.Errorf("%d kept", kept)
	}
	for _, from := range []Phone{ann, bob} {
		e, file, look := b.shot(from, "clamp removal", "shared", "7/1", "7/1")
		if _, err := b.takesOf(from, e, file, look); err != nil {
			t.Fatal(err)
		}
	}
	if n := len(b.record().Lives()[6].Steps); n != 1 {
		t.Errorf("%d steps of one photograph", n)
	}
}

// A photograph chosen among older ones has its camera's time, as when it is read from a
// folder; one that was just made has that of the phone.
func TestSentOldPhotograph(t *testing.T) {
	b := newInbox(t)
	for i, taken := range []string{"12:30", "12:59"} {
		e, file, look := b.shot(ann, "glue-up", taken, "-", []string{"3/1", "4/1"}[i])
		look.Exif = photo.Exif{Camera: "Lark P2", Wall: at(taken), Zone: time.UTC}
		if _, err := b.takesOf(ann, e, file, look); err != nil {
			t.Fatal(err)
		}
	}
	b.stands("3/1 glue-up 12:30, 4/1 glue-up 13:00")
}

// heic is the beginning of a photograph that is not kept, as ISO/IEC 23008-12 has its
// file type box.
var heic = []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic")

// What the phone read in a photograph that cannot be kept is recorded without it, once,
// and is taken back and accepted like any other.
func TestSentPhotographNotKept(t *testing.T) {
	for name, test := range map[string]struct{ phone, stands string }{
		"labels":             {"3/1 4/2", "3/1 immersion 13:00, 4/2 immersion 13:00"},
		"a bath's tag":       {".BATHB1 3", "3 immersion 13:00, 4 immersion 13:00"},
		"a stage card first": {"3/1 .GLUEUP", "3/1 glue-up 13:00"},
		"recognised only":    {"?3/1", ""},
	} {
		b := newInbox(t)
		e, _, _ := b.shot(ann, "immersion", name, test.phone, "-")
		for range 2 {
			out, err := b.takesOf(ann, e, heic, nil)
			if err != nil || !has[PictureNotKept](out) || len(out.Seen()) == 0 {
				t.Fatalf("%s: %v %+v", name, err, out.Notes)
			}
			b.stands(test.stands)
		}
		b.took(b.of(ann, "undo", e))
		b.stands("")
	}
	b := newInbox(t)
	e, _, _ := b.shot(ann, "immersion", "none", "", "-")
	if _, err := b.takesOf(ann, e, heic, nil); !refusedWith(err, "nothing recorded") {
		t.Errorf("%v", err)
	}
	faces := b.entry(ann, "faces", doc{"faces": doc{"subject": code(3) + "/1", "wood": "40"}})
	if out, err := b.takesOf(ann, faces, heic, nil); err != nil || !has[PictureNotKept](out) || len(out.Seen()) != 1 {
		t.Errorf("%v %+v", err, out.Notes)
	}
}

// A stage that the study does not have is no reason to lose what was read at it: it is
// recorded without, says so, and asks.
func TestSentStageThatIsGone(t *testing.T) {
	b := newInbox(t)
	outs := []Outcome{b.took(b.line(ann, "varnish", code(3)))}
	e, file, look := b.shot(ann, "varnish", "tray", "4/1", "4/1")
	out, err := b.takesOf(ann, e, file, look)
	if err != nil {
		t.Fatal(err)
	}
	for _, out := range append(outs, out) {
		seen := out.Seen()
		if len(seen) != 1 || !strings.Contains(seen[0].Event.Note, "varnish") || seen[0].Event.Stage != "" ||
			!slices.ContainsFunc(seen[0].Marks, func(m tracker.Mark) bool { return m.Rule == tracker.RuleNoStage && m.Open() }) {
			t.Errorf("%+v", out.Notes)
		}
	}
}
