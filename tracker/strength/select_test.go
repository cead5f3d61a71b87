package strength_test

import (
	"testing"

	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

// One of several planned is "so far"; one planned is one. A specimen that was
// broken in another state than its three fellows takes no comparison with it.
func TestOneSpecimenIsNotCompared(t *testing.T) {
	x := 9.0
	broke := strength.Specimen{Adhesive: "CAS", Treatment: "dry", Outcome: strength.Broke, Bound: stat.Exact, ShearMPa: &x, Rig: "press", State: "dry"}
	waits := strength.Specimen{Adhesive: "CAS", Treatment: "dry", Outcome: strength.NoneYet, State: "dry"}
	wet := strength.Group{Adhesive: "CAS", Treatment: "dry", Rig: "press", State: "wet", N: 3}
	single := strength.Group{Adhesive: "CAS", Treatment: "dry", Rig: "press", State: "dry", N: 1}
	r := strength.Report{Retention: []strength.Retention{{Adhesive: "CAS", Treatment: "dry"}}, Groups: []strength.Group{wet, single}}
	if n := len(r.WithoutSingles().Retention); n != 1 {
		t.Errorf("%d retentions left beside a group of three, want 1", n)
	}
	r.Groups = []strength.Group{single}
	if n := len(r.WithoutSingles().Retention); n != 0 {
		t.Errorf("%d retentions of one specimen", n)
	}
	for n, specimens := range [][]strength.Specimen{{broke}, {broke, waits}} {
		r.Specimens = specimens
		if r.MoreToCome() != (n > 0) || len(r.Boxed("dry", strength.BoxBondBroke)) != 1 {
			t.Errorf("%d waiting: more to come %v, in the box %v", n, r.MoreToCome(), r.Boxed("dry", strength.BoxBondBroke))
		}
	}
	broke.State = "wet"
	if r.Specimens = []strength.Specimen{broke}; len(r.Boxed("dry", strength.BoxBondBroke)) > 0 {
		t.Error("in the box of another group")
	}
}

func TestACrowdIsToldOnce(t *testing.T) {
	var all []strength.Specimen
	for _, name := range []string{"a", "b", "c", "d", "e", "f", "g", "h"} {
		s := strength.Specimen{Name: strength.Text(name), Outcome: strength.Broke}
		if name < "e" {
			s.Marks = []strength.Mark{{Rule: "too late"}, {Rule: "too late"}}
		}
		if name > "e" {
			s.Marks = append(s.Marks, strength.Mark{Rule: "moved"})
		}
		all = append(all, s)
	}
	crowds := strength.Crowds(all, strength.Specimen.Rules)
	if len(crowds) != 1 || crowds[0].Rule != "too late" || len(crowds[0].Who) != 4 {
		t.Errorf("crowds %+v", crowds)
	}
	if !all[0].Odd(1) || all[0].Odd(0) || (strength.Specimen{Outcome: strength.NoneYet}).Odd(1) || !(strength.Specimen{Outcome: strength.Lost}).Odd(0) {
		t.Error("who is odd")
	}
}
