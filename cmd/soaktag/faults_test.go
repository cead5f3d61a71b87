package main

import (
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/cmd/soaktag/demo"
	"soaktag/tracker/strength"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// A fault is something that went wrong on purpose in the invented study: the
// command and field that say so, what the findings say of it, and the same
// study with the fault taken out.
type fault struct {
	name  string
	field string // where it can be seen
	says  string // part of a line of the findings
	seen  func(t *testing.T, r replayed) bool
	mend  func(t *testing.T) demoStudy
}

// TestDemoFaults wants every fault found in the study, and not found in the
// study without it.
func TestDemoFaults(t *testing.T) {
	whole := replay(t, demoStudy{})
	for i, f := range faults() {
		if i%atLength(1, 2) > 0 {
			continue // every other one where not everything is asked for
		}
		t.Run(f.name, func(t *testing.T) {
			if !f.seen(t, whole) || !whole.finds(t, f.says) {
				t.Errorf("%s, or the finding %q, does not show it", f.field, f.says)
			}
			mended := replay(t, f.mend(t))
			if f.seen(t, mended) || mended.finds(t, f.says) {
				t.Errorf("%s, or the finding %q, still shows it after it was taken out", f.field, f.says)
			}
		})
	}
}

// finds reports whether a line of the findings holds a text.
func (r replayed) finds(t *testing.T, text string) bool {
	t.Helper()
	found, err := demo.Answer(childRun).Found(r.study, storyEnd)
	if err != nil {
		t.Fatal(err)
	}
	return slices.ContainsFunc(found, func(f demo.Finding) bool {
		return slices.ContainsFunc(f.Lines, func(line string) bool { return strings.Contains(line, text) })
	})
}

func faults() []fault {
	return slices.Concat(timeFaults(), breakFaults(), labelFaults())
}

func timeFaults() []fault {
	return []fault{
		{"high water: all cured 15.8 d", "drift: intervals[cure].common", "cure: 15.8 d for all", cureOutside, cureInTime},
		{"bath B2 forgotten", "drift: intervals[soak].groups[CAS].differential; results: retention[CAS].comparable", "casein soaked 23 d",
			caseinOutside, liftCaseinInTime},
		{"bath B3 lifted in the evening", "drift: intervals[soak].groups[PUR].differential", "polyurethane soaked 4 h",
			soakOutside("PUR", 4.2), shiftRows("PUR-S", "2026-03-11", -5*time.Hour)},
		{"clamp borrowed after 6 h 10", "drift: intervals[clamp].specimens[EPX-S2].verdict", "EPX-S2: clamp early",
			verdictOf("clamp", "EPX-S2", "early"), setTime("EPX-S2", "clamp removal", "2026-02-22T14:24:00+00:00")},
		{"held 95 min in air", "drift: intervals[wet hold].specimens[EPX-S4].verdict", "EPX-S4: wet hold late",
			verdictOf("wet hold", "EPX-S4", "late"), setTime("EPX-S4", "break", "2026-03-17T12:15:00+00:00")},
		{"clamp removal written up on Monday", "drift: intervals[clamp].specimens[UF-D4].verdict", "UF-D4: cannot tell",
			verdictOf("clamp", "UF-D4", "cannot tell"), knownExactly},
		{"phone 47 min slow", "history EPX-S1: events[immersion].at, read_at", "the clock of P2", phoneSlow, phoneRight},
	}
}

func breakFaults() []fault {
	return []fault{
		{"found in two halves", "results: groups[CAS soaked].fell_apart", "casein: 1 of 4", casFellApart,
			try("CAS-S3", "2.5 MPa", "separated", "0")},
		{"bolt of the shear tool gave way", "results: specimens[PUR-D4].outcome, bound, shear_mpa", "PUR-D4: fixture failure", boltGaveWay,
			try("PUR-D4", "13.0 MPa", "separated", "50")},
		{"wood failed first", "results: groups[].wood_limited, retention[RF].bound", "a lower bound only", woodFirst, lessWood},
		{"readings under 15 % of the gauge", "results: specimens[].marks, shear_plus_minus_mpa", "under 15 %", lowReadings, higherReadings},
	}
}

func labelFaults() []fault {
	return []fault{
		{"labels of PVA-S2 and PVA-D2 exchanged", "results: specimens[PVA-S2].marks; history: events[glue-up].at", "PVA-S2: ",
			labelsExchanged, neverExchanged},
		{"label washed off", "history UF-S1: specimen.issue", "UF-S1: ", labelWashedOff, labelKept},
		{"double scan of a break", "results: specimens[RF-D1].marks", "RF-D1: ", marked("RF-D1", "double scan"), scannedOnce()},
	}
}

func cureOutside(t *testing.T, r replayed) bool {
	iv := intervalOf(t, r, "cure")
	if iv.Common == "outside" {
		same(t, "common_h", oneDecimal(*iv.CommonH/24), "1.8")
		for _, g := range iv.Groups {
			same(t, g.Adhesive+" differential", string(g.Differential), "within")
		}
	}
	return iv.Common == "outside"
}

// cureInTime moves everything from immersion on to two weeks after clamping.
func cureInTime(t *testing.T) demoStudy {
	d := shiftRows("", "2026-03-01", -43*time.Hour)(t)
	d.amend = func(line []string) []string {
		for i, word := range line {
			line[i] = strings.NewReplacer("2026-03-10 09:30", "2026-03-07 09:30", "2026-03-17 10:11", "2026-03-15 15:11").Replace(word)
		}
		return line
	}
	return d
}

func caseinOutside(t *testing.T, r replayed) bool {
	if !soakOutside("CAS", 23.9*24)(t, r) {
		return false
	}
	ret := retentionOf(t, r.results(t), "CAS")
	if ret.Comparable || len(ret.Reasons) == 0 {
		t.Errorf("retention of CAS stands: %+v", ret)
	}
	for _, sp := range intervalOf(t, r, "soak").Specimens {
		if sp.Name == "CAS-S1" {
			near(t, "CAS-S1 across the clock change", sp.ActualH, "743.5", 1e-6)
		}
	}
	return true
}

func liftCaseinInTime(t *testing.T) demoStudy {
	return shiftRows("CAS-S", "2026-04-01", -575*time.Hour)(t)
}

// soakOutside wants a group's soak to stand out by about so many hours.
func soakOutside(adhesive string, hours float64) func(*testing.T, replayed) bool {
	return func(t *testing.T, r replayed) bool {
		for _, g := range intervalOf(t, r, "soak").Groups {
			if g.Adhesive == adhesive && g.Differential == "outside" {
				near(t, adhesive+" differential_h", g.DifferentialH, oneDecimal(hours), max(0.06, hours/400))
				return true
			}
		}
		return false
	}
}

func verdictOf(interval, name, verdict string) func(*testing.T, replayed) bool {
	return func(t *testing.T, r replayed) bool {
		for _, sp := range intervalOf(t, r, interval).Specimens {
			if string(sp.Name) == name {
				return sp.Verdict == verdict
			}
		}
		t.Errorf("no %s of %s", interval, name)
		return false
	}
}

func intervalOf(t *testing.T, r replayed, name string) tables.Interval {
	t.Helper()
	for _, iv := range r.drift(t).Intervals {
		if iv.Interval == name {
			return iv
		}
	}
	t.Fatalf("no interval %s", name)
	return tables.Interval{}
}

func knownExactly(*testing.T) demoStudy {
	return demoStudy{rows: func(row map[string]string) bool {
		row["plus_minus_min"] = ""
		return true
	}}
}

func phoneSlow(t *testing.T, r replayed) bool {
	for _, e := range r.history(t, "EPX-S1").Events {
		if e.Stage != "" && string(e.Stage) == "immersion" {
			same(t, "immersion at", string(e.At), "2026-03-10T10:43:00Z")
			if e.ReadAt != "" {
				same(t, "immersion read_at", string(e.ReadAt), "2026-03-10T09:56:00Z")
			}
			return e.ReadAt != ""
		}
	}
	t.Error("no immersion")
	return false
}

func phoneRight(t *testing.T) demoStudy {
	return demoStudy{rows: func(row map[string]string) bool {
		if row["clock"] == "device" {
			row["clock"] = ""
			shift(t, row, 47*time.Minute)
		}
		return row["stage"] != "clock"
	}}
}

func casFellApart(t *testing.T, r replayed) bool {
	g := group(t, r.results(t), "CAS", "soaked")
	if g.FellApart == 1 {
		same(t, "mean_mpa", number2(g.Mean), "1.70")
		same(t, "mean_survivors_mpa", number2(g.MeanSurvivors), "2.26")
	}
	return g.FellApart > 0
}

func boltGaveWay(t *testing.T, r replayed) bool {
	sp := specimenNamed(t, r.results(t), "PUR-D4")
	if sp.Outcome == strength.FixtureFailure {
		same(t, "bound", sp.Bound.String(), "at_least")
		same(t, "shear_mpa", number2(sp.ShearMPa), "8.46")
	}
	return sp.Outcome == strength.FixtureFailure
}

func woodFirst(t *testing.T, r replayed) bool {
	results := r.results(t)
	limited := map[string]int{}
	total := 0
	for _, g := range results.Groups {
		limited[g.Adhesive+" "+g.Treatment] = g.WoodLimited
		total += g.WoodLimited
	}
	if total > 0 {
		want := map[string]int{"RF dry": 4, "RF soaked": 2, "UF dry": 2, "PVA dry": 1, "EPX dry": 2}
		for key, n := range want {
			same(t, key+" wood_limited", count(limited[key]), count(n))
		}
		same(t, "wood-limited in all", count(total), "11")
		same(t, "retention[RF].bound", retentionOf(t, results, "RF").Bound, "?")
	}
	return total > 0
}

func lessWood(*testing.T) demoStudy {
	return demoStudy{rows: func(row map[string]string) bool {
		if wood := row["wood_failure_pct"]; len(wood) == 3 || wood >= "80" {
			row["wood_failure_pct"] = "70"
		}
		return true
	}}
}

func lowReadings(t *testing.T, r replayed) bool {
	var low []string
	for _, sp := range r.results(t).Specimens {
		if slices.ContainsFunc(sp.Marks, func(m tables.Mark) bool { return m.Rule == "low on the gauge" }) {
			low = append(low, string(sp.Name))
			if share := *sp.PlusMinus / *sp.ShearMPa; share < 0.165 || share > 0.225 {
				t.Errorf("%s: uncertain by %.1f %%, want 17 to 22", sp.Name, 100*share)
			}
		}
	}
	if len(low) > 0 {
		same(t, "low on the gauge", strings.Join(low, " "), "CAS-S1 CAS-S2 CAS-S4")
	}
	return len(low) > 0
}

func higherReadings(*testing.T) demoStudy {
	return demoStudy{rows: func(row map[string]string) bool {
		if strings.HasPrefix(row["reading"], "2.") && strings.HasSuffix(row["reading"], "MPa") {
			row["reading"] = "4" + row["reading"][1:]
		}
		return true
	}}
}

func marked(name, rule string) func(*testing.T, replayed) bool {
	return func(t *testing.T, r replayed) bool {
		return slices.ContainsFunc(specimenNamed(t, r.results(t), name).Marks,
			func(m tables.Mark) bool { return m.Rule == rule })
	}
}

func labelsExchanged(t *testing.T, r replayed) bool {
	for _, e := range r.history(t, "PVA-S2").Events {
		if e.Stage != "" && string(e.Stage) == "glue-up" {
			same(t, "PVA-S2 glue-up", string(e.At), "2026-02-21T16:34:00Z")
		}
	}
	return marked("PVA-S2", "exchanged")(t, r) && marked("PVA-D2", "exchanged")(t, r)
}

// neverExchanged writes the codes that should have been read.
func neverExchanged(*testing.T) demoStudy {
	other := map[string]string{"PVA-S2": "PVA-D2", "PVA-D2": "PVA-S2"}
	return demoStudy{
		rows: func(row map[string]string) bool {
			if name, ok := other[row["specimen"]]; ok && (row["stage"] == "glue-up" || row["stage"] == "clamp removal") {
				row["specimen"] = name
			}
			return true
		},
		amend: dropAmend("exchange"),
	}
}

func labelWashedOff(t *testing.T, r replayed) bool {
	issue := r.history(t, "UF-S1").Specimen.Issue
	return issue[0] == 2 && issue[1] < 2
}

func labelKept(*testing.T) demoStudy { return demoStudy{amend: dropAmend("relabel")} }

func dropAmend(word string) func([]string) []string {
	return func(line []string) []string {
		if line[1] == word {
			return nil
		}
		return line
	}
}

func scannedOnce() func(*testing.T) demoStudy {
	return func(*testing.T) demoStudy {
		seen := 0
		return demoStudy{rows: func(row map[string]string) bool {
			if row["specimen"] == "RF-D1" && row["stage"] == "break" {
				seen++
			}
			return seen < 2 || row["specimen"] != "RF-D1" || row["stage"] != "break"
		}}
	}
}

// shiftRows moves the times, from a day on, of specimens whose names begin so.
func shiftRows(prefix, from string, by time.Duration) func(*testing.T) demoStudy {
	return func(t *testing.T) demoStudy {
		return demoStudy{rows: func(row map[string]string) bool {
			if strings.HasPrefix(row["specimen"], prefix) && row["at"] >= from {
				shift(t, row, by)
			}
			return true
		}}
	}
}

func setTime(name, stage, at string) func(*testing.T) demoStudy {
	return func(*testing.T) demoStudy {
		return demoStudy{rows: func(row map[string]string) bool {
			if row["specimen"] == name && row["stage"] == stage {
				row["at"] = at
			}
			return true
		}}
	}
}

// try gives a break another ending.
func try(name, reading, ended, wood string) func(*testing.T) demoStudy {
	return func(*testing.T) demoStudy {
		return demoStudy{rows: func(row map[string]string) bool {
			if row["specimen"] == name && row["stage"] == "break" {
				row["reading"], row["rig"], row["ended"], row["wood_failure_pct"] = reading, "press", ended, wood
				shiftIfSame(row)
			}
			return true
		}}
	}
}

// shiftIfSame moves a break out of the minute of its lift-out.
func shiftIfSame(row map[string]string) {
	row["at"] = strings.Replace(row["at"], "10:42:00+01:00", "11:02:00+01:00", 1)
}

func oneDecimal(x float64) string { return wording.Decimals(&x, 1) }
