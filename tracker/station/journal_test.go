package station

import (
	"reflect"
	"strings"
	"testing"
)

// What each phone sent is told and counted.
func TestCameIn(t *testing.T) {
	b := newBench(t)
	ann, ben := Phone{ID: "a", Name: "Ann", Paired: noon}, Phone{ID: "b", Name: "Ben\x1b[2J", Paired: noon.Add(1)}
	b.came(ann, "one", "HBR-001-G glue-up")
	b.came(ann, "two", "HBR-002-E glue-up")
	b.notTaken(ben, "HBR-002-F")
	want := []sum{{ann, []string{"one", "two"}, 0}, {ben, nil, 1}}
	if got := b.cameIn(); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
	if told := b.told(); !strings.Contains(told, "13:00:00  Ann  HBR-001-G glue-up\n") || strings.Contains(told, "\x1b") {
		t.Errorf("%q", told)
	}
}

// What asked and was answered since does not ask at the end, whoever answered it.
func TestSumSaysWhatStillAsks(t *testing.T) {
	b := newBench(t)
	ann, ben := b.sender("Ann"), b.sender("Ben")
	for _, code := range []string{"3", "4", "6"} {
		ann.sends(ann.line("glue-up", code))
	}
	asks := func(code string) said {
		e := ann.line("immersion", code)
		if got := ann.sends(e); got.State != stateAsks {
			t.Fatalf("%s: %+v", code, got)
		}
		return e
	}
	yes, undo := asks("3"), asks("4")
	asks("6")
	ann.sends(ann.entry("yes", said{"of": yes["id"]}))
	ann.sends(ann.entry("undo", said{"of": undo["id"]}))
	ben.sends(ben.line("glue-up", "8"))
	b.Sum()
	for _, want := range []string{"Ann: 8 entries, 1 of them asks", "Ben: 1 entry"} {
		if !strings.Contains(b.told(), want+"\n") && !strings.HasSuffix(b.told(), want) {
			t.Errorf("%q is not in\n%s", want, b.told())
		}
	}
}

// The same again is only counted, until a while has passed.
func TestJournalIsNotFlooded(t *testing.T) {
	b := newBench(t)
	who := b.stranger()
	for range 50 {
		who.get("/nothing")
	}
	b.pass(quiet)
	who.get("/nothing")
	told := strings.Split(b.told(), "\n")
	if len(told) != 2 || !strings.Contains(told[1], "and 49 more") {
		t.Errorf("%q", told)
	}
}
