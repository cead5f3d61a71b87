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
	b.came(ann, stateGood, "HBR-001-G glue-up")
	b.came(ann, stateAsks, "HBR-002-E glue-up")
	b.came(ben, stateBad, "HBR-002-F")
	want := []sum{{ann, 2, 1, 0}, {ben, 0, 0, 1}}
	if got := b.cameIn(); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
	if told := b.told(); !strings.Contains(told, "13:00:00  Ann  HBR-001-G glue-up\n") || strings.Contains(told, "\x1b") {
		t.Errorf("%q", told)
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
