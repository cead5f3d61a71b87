package intake

import (
	"io/fs"
	"testing"
)

// A photograph that is gone, or is another, when it is to be kept is left out;
// those after it are taken.
func TestAPhotographThatIsGone(t *testing.T) {
	gone, other := snap("b", "12:31", "2/1"), snap("c", "12:32", "3/1")
	gone.Load = func() ([]byte, error) { return nil, fs.ErrNotExist }
	other.Load = func() ([]byte, error) { return []byte("\xff\xd8\xffanother"), nil }
	said := newAlbum(t).reads(Given{Stage: "cut"}, Entry{}, snap("a", "12:30", "1/1"), gone, other, snap("d", "12:33", "4/1"))
	said.adds(4) // two photographs, each with its label
	if untaken := said.roll.untaken(); untaken != 2 {
		t.Errorf("%d photographs are left out, want 2", untaken)
	}
}

// A line that gives a year in which no study was is not recorded, and the next
// one is.
func TestAYearBeyondAnyStudy(t *testing.T) {
	d, _ := deskAt(t, begun(t))
	for _, line := range []string{code(1) + " 0001-01-01 00:00", code(1) + " 9999-12-31 23:59"} {
		out, err := d.Take(Line(line))
		if err != nil || len(out.Refused()) != 1 {
			t.Errorf("%s: %+v, %v; want a refusal", line, out.Notes, err)
		}
	}
	if out, err := d.Take(Line(code(2))); err != nil || len(out.Verdicts()) != 1 {
		t.Errorf("the next line: %+v, %v", out.Notes, err)
	}
}
