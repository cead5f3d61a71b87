package station

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"soaktag/tracker/intake"
)

// asking is the study of lived with what asks: 4 was glued a second time, which
// somebody's word settles; of the break of 8 the reading is missing, and the clock of whoever
// recorded it was never compared.
func asking(t *testing.T) *bench {
	b := lived(t, smallPlan, nil)
	b.record(b.clock().Add(time.Minute), "", intake.Stage{Subjects: []string{"4"}, Name: "glue-up"})
	b.record(b.clock().Add(time.Minute), "", intake.Stage{Subjects: []string{"8"}, Name: "lift-out"})
	body := fmt.Sprintf(`{"id":"2d4f1c2a-7d2e-4c55-9d5e-0123456789ab","n":1,"at":%d,"by":"Tess","stage":"break","kind":"line","line":"8"}`, b.clock().UnixMilli())
	if status, answer := b.paired("Tess").post("/take", body); status != 200 || !strings.Contains(answer, `"state":"asks"`) {
		t.Fatal(answer)
	}
	return b
}

// TestAsks lists what asks with who and when, and YES of a phone that recorded none of
// it accepts a mark; what misses a reading is told and has no YES.
func TestAsks(t *testing.T) {
	b := asking(t)
	ann := b.paired("Ann")
	_, page := ann.get("/show/asks")
	for _, want := range []string{"3 ask", "HBR-004-V: glue-up was recorded before; the first one counts", "glue-up, 14:01", "HBR-008-N: break without a reading",
		"at the terminal: soaktag break HBR-008-N --reading READING"} {
		if !strings.Contains(page, want) {
			t.Errorf("it does not say %q:\n%s", want, page)
		}
	}
	_, due := ann.get("/show/due")
	if !strings.Contains(due, `<button type="button" data-show="asks">3 ask</button>`) {
		t.Errorf("DUE does not say that something asks:\n%s", due)
	}
	harmless(t, page)
	taps := entriesOf(t, page)
	if len(taps) != 1 {
		t.Fatalf("of three marks one can be settled by a word; the buttons are %v", taps)
	}
	for entry := range taps {
		for _, again := range []string{`"again":false`, `"again":true`} {
			status, answer := ann.post("/take", fmt.Sprintf(entry, "0d4f1c2a-7d2e-4c55-9d5e-0123456789ab", ann.clock().UnixMilli()))
			if status != 200 || !strings.Contains(answer, `"state":"good"`) || !strings.Contains(answer, again) {
				t.Errorf("%d %s", status, answer)
			}
		}
	}
	if _, page = ann.get("/show/asks"); !strings.Contains(page, "2 ask") || strings.Contains(page, "HBR-004-V") {
		t.Errorf("after YES it still shows\n%s", page)
	}
	for _, no := range []string{`{"subject":"","rule":"repeated"}`, `{"subject":"HBR-004-V","rule":""}`} {
		if status, answer := ann.post("/take", fmt.Sprintf(`{"id":"1d4f1c2a-7d2e-4c55-9d5e-0123456789ab","n":2,"at":1,"kind":"accept","accept":%s}`, no)); status != 400 {
			t.Errorf("%s: %d %s", no, status, answer)
		}
	}
}
