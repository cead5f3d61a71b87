package schedule

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
	"time"
)

// A bond is a row of testdata/oar-loft.csv.
type bond struct {
	adhesive, treatment string
	at                  map[string]Span
}

func oarLoft(t *testing.T) []bond {
	t.Helper()
	f, err := os.Open("../testdata/oar-loft-times.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) != 49 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	var bonds []bond
	for _, row := range rows[1:] {
		bonds = append(bonds, readBond(t, rows[0], row))
	}
	return bonds
}

func readBond(t *testing.T, head, row []string) bond {
	b := bond{at: map[string]Span{}}
	for i, name := range head {
		at, err := time.Parse("2006-01-02T15:04Z07:00", row[i])
		switch {
		case name == "adhesive":
			b.adhesive = row[i]
		case name == "treatment":
			b.treatment = row[i]
		case name == "unclamped_pm_min":
			m, err := strconv.Atoi(row[i])
			if err != nil {
				t.Fatal(err)
			}
			mid := b.at["unclamped_at"].From
			b.at["unclamped_at"] = Span{mid.Add(-time.Duration(m) * minute), mid.Add(time.Duration(m) * minute)}
		case err == nil:
			b.at[name] = At(at)
		}
	}
	return b
}

// drifts groups the bonds that have both ends by adhesive and treatment.
func drifts(bonds []bond, from, to string, p Planned) []Group {
	at := map[string]int{}
	var groups []Group
	for _, b := range bonds {
		if b.at[from].IsZero() || b.at[to].IsZero() {
			continue
		}
		key := b.adhesive + " " + b.treatment
		if _, ok := at[key]; !ok {
			at[key] = len(groups)
			groups = append(groups, Group{Key: key})
		}
		lo, hi := Length(b.at[from], b.at[to])
		g := &groups[at[key]]
		g.Lengths = append(g.Lengths, (lo+hi)/2-p.Length)
		g.Slack = append(g.Slack, (hi-lo)/2)
	}
	return groups
}

func near(t *testing.T, what string, got time.Duration, want float64, unit time.Duration) {
	t.Helper()
	if x := float64(got) / float64(unit); math.Abs(x-want) > 0.05 {
		t.Errorf("%s = %.3f, want %.1f", what, x, want)
	}
}

func find(t *testing.T, s Summary, key string) GroupDrift {
	t.Helper()
	for _, g := range s.Groups {
		if g.Key == key {
			return g
		}
	}
	t.Fatalf("no group %q", key)
	return GroupDrift{}
}

// TRADE 2.9: "cure, all six +1.8 d against 14 d (tolerance 1): D outside,
// every e_g within 0.1 d".
func TestOarLoftCure(t *testing.T) {
	p := planned(t, "14 d +/- 1 d")
	s := Summarise(drifts(oarLoft(t), "unclamped_at", "immersed_at", p), p)
	near(t, "common", s.Common, 1.8, Day)
	if s.CommonVerdict != Late || len(s.Groups) != 6 {
		t.Errorf("common %v, %d groups; want late, 6", s.CommonVerdict, len(s.Groups))
	}
	for _, g := range s.Groups {
		if g.Differential.Abs() > Day/10 || g.Verdict != Within || g.N != 4 {
			t.Errorf("%+v: want within a tenth of a day, n 4", g)
		}
	}
}

// TRADE 2.9: "Soak: D = +2.1 h; casein e = +23.9 d, polyurethane e = +4.2 h
// (limit 4)".
func TestOarLoftSoak(t *testing.T) {
	p := planned(t, "7 d +/- 4 h")
	s := Summarise(drifts(oarLoft(t), "immersed_at", "lifted_at", p), p)
	near(t, "common h", s.Common, 2.1, hour)
	near(t, "casein d", find(t, s, "CAS soak").Differential, 23.9, Day)
	near(t, "polyurethane h", find(t, s, "PUR soak").Differential, 4.2, hour)
	near(t, "polyurethane median h", find(t, s, "PUR soak").Median, 6.3, hour)
	if s.CommonVerdict != Within {
		t.Errorf("common is %v", s.CommonVerdict)
	}
	for _, g := range s.Groups {
		outside := g.Key == "CAS soak" || g.Key == "PUR soak"
		if g.Verdict.Outside() != outside {
			t.Errorf("%s is %v", g.Key, g.Verdict)
		}
	}
}

// TRADE section 8: bath B2 forgotten for 743.5 h; EPX-S2 clamped for 26 % of
// the plan; UF-D4's clamp lies between 22.7 and 28.7 h.
func TestOarLoftSpecimens(t *testing.T) {
	var casein, cannotTell, short int
	for _, b := range oarLoft(t) {
		if b.adhesive == "CAS" && b.treatment == "soak" {
			lo, _ := Length(b.at["immersed_at"], b.at["lifted_at"])
			near(t, "casein soak", lo, 743.5, hour)
			casein++
		}
		lo, hi, v := planned(t, "24 h +/- 2 h").Judge(b.at["glued_at"], b.at["unclamped_at"])
		switch v {
		case CannotTell:
			cannotTell++
			near(t, b.adhesive+" clamp from", lo, 22.7, hour)
			near(t, b.adhesive+" clamp to", hi, 28.7, hour)
		case Early:
			short++
			near(t, b.adhesive+" clamp in % of plan", lo, 25.7, Day/100)
		}
	}
	if casein != 4 || cannotTell != 1 || short != 1 {
		t.Errorf("%d casein, %d cannot tell, %d short; want 4, 1, 1", casein, cannotTell, short)
	}
}

// The same clamp as a group: one loose time of four does not undo a median.
func TestOarLoftClamp(t *testing.T) {
	p := planned(t, "24 h +/- 2 h")
	s := Summarise(drifts(oarLoft(t), "glued_at", "unclamped_at", p), p)
	if len(s.Groups) != 12 || s.CommonVerdict != Within {
		t.Fatalf("%d groups, common %v", len(s.Groups), s.CommonVerdict)
	}
	if g := find(t, s, "UF dry"); g.Verdict != Within {
		t.Errorf("UF dry is %v", g.Verdict)
	}
}

func TestSummarise(t *testing.T) {
	p := planned(t, "7 d + 4 h - 2 h")
	h := func(hours ...int) (d []time.Duration) {
		for _, x := range hours {
			d = append(d, time.Duration(x)*hour)
		}
		return d
	}
	// Two groups: the pair directly, not half each.
	s := Summarise([]Group{{Key: "a", Lengths: h(6, 5, 7)}, {Key: "b", Lengths: h(1)}}, p)
	want := []GroupDrift{{"a", 3, 6 * hour, 5 * hour, Late}, {"b", 1, hour, -5 * hour, Early}}
	if s.Common != 210*minute || s.CommonVerdict != Within || s.Groups[0] != want[0] || s.Groups[1] != want[1] {
		t.Errorf("two groups: %+v", s)
	}
	// The same two beside an empty group are still a pair.
	s = Summarise([]Group{{Key: "a", Lengths: h(6)}, {Key: "none yet"}, {Key: "b", Lengths: h(6)}}, p)
	if s.Groups[0].Differential != 0 || s.Groups[1] != (GroupDrift{Key: "none yet"}) || s.CommonVerdict != Late {
		t.Errorf("with an empty group: %+v", s)
	}
	s = Summarise([]Group{{Key: "a", Lengths: h(5, 6)}}, p)
	if s.Common != 330*minute || s.CommonVerdict != Late || s.Groups[0] != (GroupDrift{"a", 2, 330 * minute, 0, Within}) {
		t.Errorf("one group: %+v", s)
	}
	// Limits are inclusive, and differ early and late.
	s = Summarise([]Group{{"a", h(0), nil}, {"b", h(0), nil}, {"c", h(4), nil}, {"d", h(-2), nil}, {"e", h(-3), nil}}, p)
	for i, v := range []Verdict{Within, Within, Within, Within, Early} {
		if s.Groups[i].Verdict != v {
			t.Errorf("group %s is %v, want %v", s.Groups[i].Key, s.Groups[i].Verdict, v)
		}
	}
}

func TestSummariseSlack(t *testing.T) {
	p := planned(t, "7 d +/- 4 h")
	groups := []Group{
		{"a", []time.Duration{3 * hour}, []time.Duration{2 * hour}},
		{"b", []time.Duration{0}, []time.Duration{0}},
		{"c", []time.Duration{0}, nil},
	}
	s := Summarise(groups, p)
	if g := s.Groups[0]; g.Verdict != CannotTell || g.Differential != 3*hour {
		t.Errorf("a: %+v", g)
	}
	groups[0].Slack[0] = Unbounded
	if g := Summarise(groups, p).Groups[0]; g.Verdict != CannotTell {
		t.Errorf("open end: %+v", g)
	}
}

// DESIGN section 6, CONTRACT section 4: no verdict for at least and at most.
func TestSummariseNoVerdict(t *testing.T) {
	groups := []Group{{"a", []time.Duration{hour}, nil}, {"b", []time.Duration{9 * hour}, nil}}
	for _, text := range []string{"at least 12 h", "at most 30 min", "none", "as soaked"} {
		s := Summarise(groups, planned(t, text))
		if s.CommonVerdict != Running || s.Groups[0].Verdict != Running {
			t.Errorf("%s: %+v", text, s)
		}
	}
	if s := Summarise(groups, planned(t, "as soaked +/- 1 d")); s.CommonVerdict != Within {
		t.Errorf("as soaked with a tolerance: %+v", s)
	}
	if s := Summarise(nil, planned(t, "7 d")); s.CommonVerdict != Running || len(s.Groups) != 0 {
		t.Errorf("no groups: %+v", s)
	}
}

// An empty group is listed and changes nothing for the others.
func TestEmptyGroupsDoNotCount(t *testing.T) {
	p := Planned{Kind: Target, Length: 7 * Day, Early: hour, Late: hour}
	full := []Group{{Key: "a", Lengths: []time.Duration{4 * hour}}, {Key: "b", Lengths: []time.Duration{6 * hour}}}
	want, got := Summarise(full, p), Summarise(append(full, Group{Key: "c"}), p)
	if got.Common != want.Common || got.CommonVerdict != want.CommonVerdict || got.Groups[0] != want.Groups[0] || got.Groups[1] != want.Groups[1] || got.Groups[2] != (GroupDrift{Key: "c"}) {
		t.Errorf("%+v, want as %+v", got, want)
	}
}
