package main

import (
	"strings"
	"testing"

	"soaktag/labels"
	"soaktag/labels/photo"
)

// TestRunOf: labels are missed only on the sheet that they were printed on.
func TestRunOf(t *testing.T) {
	const sheet, roll = "a4 1x4 63.5x29.6", "roll 50x25, white film"
	for _, c := range []struct {
		name   string
		jobs   []printJob
		photos [][]int
		missed []int
		others int
	}{
		{"a gap in the only job", jobs(sheet, span(1, 9)), [][]int{{2, 3, 5}}, []int{4}, 5},
		{"seen on another photograph", jobs(sheet, span(1, 9)), [][]int{{2, 3, 5}, {4}}, nil, 5},
		{"a sheet between two others", jobs(sheet, span(1, 12)), [][]int{{1, 2, 4, 9, 10, 12}}, []int{3, 11}, 4},
		{"a roll has no sheets", jobs(roll, span(1, 9)), [][]int{{1, 9}}, span(2, 8), 0},
		{"printed again together", jobs(sheet, span(1, 4), []int{1, 4}), [][]int{{1, 4}}, nil, 0},
		{"printed again, one unseen", jobs(roll, span(1, 9), []int{1, 5, 9}), [][]int{{1, 9}}, []int{5}, 0},
		{"printed again one by one", jobs(roll, span(1, 9), []int{3}, []int{7}), [][]int{{3, 7}}, nil, 0},
		{"the first sheet after that", jobs(roll, span(1, 5), []int{2, 9, 4}), [][]int{{1, 2, 4, 5}}, []int{3}, 0},
		{"the first sheet without what was printed again", jobs(roll, span(1, 5), []int{3}), [][]int{{1, 2, 4, 5}}, nil, 0},
		{"the whole study twice", jobs(roll, span(1, 5), span(1, 5)), [][]int{{1, 2, 4}}, []int{3}, 1},
		{"of two jobs on one sheet", jobs(roll, span(1, 5), span(6, 9)), [][]int{{4, 5, 6, 8}}, []int{7}, 4},
		{"two photographs of two jobs", jobs(roll, span(1, 5), span(6, 9)), [][]int{{3, 5}, {6, 8}}, []int{4, 7}, 3},
		{"never printed here", jobs(roll, span(1, 5)), [][]int{{7, 9}}, nil, 0},
		{"printed on a stock not known", jobs("", span(1, 5)), [][]int{{1, 5}}, nil, 3},
	} {
		run := runOf(c.jobs, shotsOf(c.photos))
		got, want := strings.Join(codeNames(run.between), " "), strings.Join(codeNames(halvesOf(c.missed)), " ")
		if got != want || run.others != c.others {
			t.Errorf("%s: missed %q and %d others, want %q and %d", c.name, got, run.others, want, c.others)
		}
	}
}

func jobs(stock string, serials ...[]int) []printJob {
	var all []printJob
	for _, job := range serials {
		all = append(all, printJob{stock: stock, labels: halvesOf(job)})
	}
	return all
}

func span(from, to int) []int {
	var all []int
	for n := from; n <= to; n++ {
		all = append(all, n)
	}
	return all
}

func halvesOf(serials []int) []printed {
	var all []printed
	for _, n := range serials {
		all = append(all, printed{code: labels.Code{Prefix: "HBR", Serial: n, Half: 1}})
	}
	return all
}

func shotsOf(photos [][]int) []*shot {
	var shots []*shot
	for _, serials := range photos {
		sh := &shot{}
		for _, l := range halvesOf(serials) {
			sh.Found = append(sh.Found, photo.Found{Text: l.code.Packed(), Code: l.code, Half: l.code.Half})
		}
		shots = append(shots, sh)
	}
	return shots
}

// TestProofOfTrialLabels: they are judged as the others are, and those of
// another study are told from those that nobody can see.
func TestProofOfTrialLabels(t *testing.T) {
	s := newShoot(t)
	path := s.put("trial.jpg", snapshot(t, phone("2026:02:21 08:30:00"), ".TRIAL01", ".TRIAL02", ".TRIAL04"))
	_, stderr := s.run(exitDone, "labels", "--proof", path)
	s.want(stderr, "3 labels of another study: TRIAL-01, TRIAL-02, TRIAL-04\n", "--proof "+path+" --study FILE")
	s.run(exitDone, "labels", "--trial", "--count", "4", "--stock", "roll 50x25", "--material", "white film", "--out", path+".pdf")
	stdout, stderr := s.run(exitDone, "labels", "--proof", path)
	s.want(stdout, "TRIAL-01  yes ", "TRIAL-03  no ", "of 4 labels good")
	s.want(stderr, `: soaktag labels --trial --count `, ` --stock "roll 50x25" --material "white film" --out trial.pdf`)
	if strings.Contains(stderr, "another study") || strings.Contains(stderr, "print again") {
		t.Error(stderr)
	}
}
