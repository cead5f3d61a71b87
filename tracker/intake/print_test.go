package intake

import (
	"errors"
	"slices"
	"testing"

	"soaktag/labels"
	"soaktag/labels/photo"
	"soaktag/tracker"
)

const film = "roll 50x25, white film"

// numbers are the issue numbers that labels would get.
func numbers(issues []Issue) (all []int) {
	for _, i := range issues {
		all = append(all, i.Number)
	}
	return all
}

// Every print counts one label up; a relabelling that nobody printed yet has its
// number already, and a print that was set aside does not count.
func TestIssueNumbers(t *testing.T) {
	d, c := deskAt(t, begun(t))
	next := func() []int {
		d.refresh()
		all, _, err := IssuesOf(d.rec, []string{"1", "2/1"}, noon)
		if err != nil {
			t.Fatal(err)
		}
		return numbers(all)
	}
	print := func(words ...string) {
		all, _, _ := IssuesOf(d.rec, words, noon)
		c.took(t, d, Print{all, film})
	}
	if got := next(); !slices.Equal(got, []int{1, 1, 1}) {
		t.Errorf("at first %v", got)
	}
	c.took(t, d, Print{AllIssues(d.rec), film})
	print("1/2")
	if got := next(); !slices.Equal(got, []int{2, 3, 2}) {
		t.Errorf("after two prints %v", got)
	}
	c.took(t, d, Relabel{Subject: "1/1"})
	if got := next(); !slices.Equal(got, []int{2, 3, 2}) {
		t.Errorf("after a relabelling %v", got)
	}
	if all := AllIssues(d.rec); Again(all) != len(all)-1 || all[0].Again {
		t.Errorf("%d of %d labels are printed, only that relabelled is not", Again(all), len(all))
	}
	if fresh, err := NewOf(AllIssues(d.rec)); err != nil || len(fresh) != 1 || fresh[0].Number != 2 {
		t.Errorf("never printed: %v, %v", fresh, err)
	}
	print("1/1")
	c.took(t, d, Void{these("last")})
	if got := next(); !slices.Equal(got, []int{2, 3, 2}) {
		t.Errorf("after a print was set aside %v", got)
	}
	if _, _, err := IssuesOf(d.rec, []string{"1", "99"}, noon); err == nil {
		t.Error("a label of nobody")
	}
}

// What was printed together is one event a label, of one moment and stock.
func TestPrintIsRecorded(t *testing.T) {
	d, c := deskAt(t, begun(t))
	trials, err := NextTrials(d.rec, 3)
	if err != nil {
		t.Fatal(err)
	}
	verdicts := c.took(t, d, Print{trials, StockName(labels.Stock{}, " ")}).Verdicts()
	if len(verdicts) != 3 || verdicts[2].Event.Code != ".TRIAL03" || verdicts[0].Event.Kind != tracker.Issued {
		t.Errorf("%+v", verdicts)
	}
	if more, err := NextTrials(d.rec, 2); err != nil || more[0].Trial != 4 {
		t.Errorf("%v, %v", more, err)
	}
	for _, n := range []int{0, MostTrials + 1} {
		if _, err := NextTrials(d.rec, n); !errors.As(err, new(*Refusal)) {
			t.Errorf("%d trial labels: %v", n, err)
		}
	}
}

func TestStockName(t *testing.T) {
	stock, err := labels.ParseStock("roll 50x25")
	if err != nil {
		t.Fatal(err)
	}
	for material, want := range map[string]string{"": "roll 50x25", " White  FILM": film, "white film": film} {
		if got := StockName(stock, material); got != want {
			t.Errorf("%q: %q", material, got)
		}
	}
}

// What judges a fresh label, at each threshold.
func TestProofFaults(t *testing.T) {
	good := photo.Print{Contrast: freshContrast, Weakest: freshFinder}
	spent := func(errors, erasures int) photo.Found {
		return photo.Found{How: photo.Decoded, Errors: errors, Erasures: erasures}
	}
	for _, test := range []struct {
		found photo.Found
		print photo.Print
		want  Fault
		spare int
	}{
		{spent(0, 0), good, Good, 17},
		{spent(2, 0), good, Good, 13},
		{spent(1, 2), good, Good, 13},
		{spent(2, 1), good, LittleToSpare, 12},
		{spent(9, 9), good, LittleToSpare, 0},
		{spent(0, 0), photo.Print{Contrast: .49, Weakest: 1}, Pale, 17},
		{spent(0, 0), photo.Print{Contrast: .9, Weakest: .34}, CornerDamaged, 17},
		{photo.Found{How: photo.Matched}, good, OnlyMatched, 17},
		{photo.Found{How: photo.Matched, Ambiguous: true}, good, OtherCode, 17},
	} {
		p := Proofed{Found: test.found, Print: test.print}
		if p.Fault() != test.want || p.Spare() != test.spare {
			t.Errorf("%+v: fault %d with %d to spare", test, p.Fault(), p.Spare())
		}
	}
}

// Of several sights of a label the best counts; a label of another study is told
// apart.
func TestProofTakesTheBestSight(t *testing.T) {
	d, c := deskAt(t, begun(t))
	c.took(t, d, Print{AllIssues(d.rec), film})
	found := func(serial, errors int, how photo.How) photo.Found {
		code := labels.New("TRF", serial)
		code.Half = 1
		return photo.Found{Text: code.Packed(), Code: code, Half: 1, Errors: errors, How: how}
	}
	prints := []photo.Print{{Contrast: 1, Weakest: 1}, {Contrast: 1, Weakest: 1}}
	p := ProofOf(d.rec, []Sheet{{[]photo.Found{found(1, 0, photo.Matched), found(2, 3, photo.Decoded)}, prints},
		{[]photo.Found{found(1, 1, photo.Decoded), found(77, 0, photo.Decoded)}, prints}})
	if len(p.Labels) != 2 || p.Labels[0].Fault() != Good || len(p.Others) != 1 || p.Others[0].Code.Serial != 77 || p.Stock != film {
		t.Fatalf("%+v", p)
	}
	again, trials := p.PrintAgain()
	if len(again) != 2 || len(trials) != 0 || again[0].Code.Serial != 2 || again[1] != p.Missed[0] {
		t.Errorf("again %v, missed %v", again, p.Missed)
	}
}
