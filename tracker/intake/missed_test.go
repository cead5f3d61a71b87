package intake

import (
	"testing"

	"soaktag/tracker"
)

// After a line that was refused at the press a bare number selects nobody: it may
// be the answer that was meant for the piece whose label was misread.
func TestNumberAfterAMisreadLabel(t *testing.T) {
	d, _ := deskAt(t, begun(t))
	if _, err := d.SitAtPress(""); err != nil {
		t.Fatal(err)
	}
	wrong := code(1)[:8] + "0"
	if q, refused := atPress(t, d, wrong, "3", "1"); refused == nil || d.sit.hand != nil {
		t.Errorf("a number behind a misread label took up something: %+v", q)
	}
	if atPress(t, d, code(2)); d.sit.hand == nil || d.sit.hand.sub.String() != code(2) {
		t.Error("a whole code is not taken up after a refusal")
	}
}

// Shallow belongs to the faces, and is not dropped in silence at the press.
func TestShallowAtThePress(t *testing.T) {
	d, _ := deskAt(t, begun(t))
	if _, err := d.SitAtPress(""); err != nil {
		t.Fatal(err)
	}
	q, refused := atPress(t, d, code(1), "9", "", "80 shallow")
	if refused == nil || q != (WoodFailed{How: tracker.Separated, Subject: code(1)}) {
		t.Errorf("asks %+v, refused %v", q, refused)
	}
}
