package intake

import (
	"slices"
	"testing"

	"soaktag/labels"
	"soaktag/labels/photo"
)

// TestMissedLabels: labels are missed only on the sheet that they were printed on.
func TestMissedLabels(t *testing.T) {
	const sheet, roll = "a4 1x4 63.5x29.6", "roll 50x25, white film"
	for _, c := range []struct {
		name   string
		jobs   []printJob
		photos [][]int
		missed []int
		others int
	}{
		{"a gap in the only job", jobs(sheet, serials(1, 9)), [][]int{{2, 3, 5}}, []int{4}, 5},
		{"seen on another photograph", jobs(sheet, serials(1, 9)), [][]int{{2, 3, 5}, {4}}, nil, 5},
		{"a sheet between two others", jobs(sheet, serials(1, 12)), [][]int{{1, 2, 4, 9, 10, 12}}, []int{3, 11}, 4},
		{"a roll has no sheets", jobs(roll, serials(1, 9)), [][]int{{1, 9}}, serials(2, 8), 0},
		{"printed again together", jobs(sheet, serials(1, 4), []int{1, 4}), [][]int{{1, 4}}, nil, 0},
		{"printed again, one unseen", jobs(roll, serials(1, 9), []int{1, 5, 9}), [][]int{{1, 9}}, []int{5}, 0},
		{"printed again one by one", jobs(roll, serials(1, 9), []int{3}, []int{7}), [][]int{{3, 7}}, nil, 0},
		{"the first sheet after that", jobs(roll, serials(1, 5), []int{2, 9, 4}), [][]int{{1, 2, 4, 5}}, []int{3}, 0},
		{"the first sheet without what was printed again", jobs(roll, serials(1, 5), []int{3}), [][]int{{1, 2, 4, 5}}, nil, 0},
		{"the whole study twice", jobs(roll, serials(1, 5), serials(1, 5)), [][]int{{1, 2, 4}}, []int{3}, 1},
		{"of two jobs on one sheet", jobs(roll, serials(1, 5), serials(6, 9)), [][]int{{4, 5, 6, 8}}, []int{7}, 4},
		{"two photographs of two jobs", jobs(roll, serials(1, 5), serials(6, 9)), [][]int{{3, 5}, {6, 8}}, []int{4, 7}, 3},
		{"never printed here", jobs(roll, serials(1, 5)), [][]int{{7, 9}}, nil, 0},
		{"printed on a stock not known", jobs("", serials(1, 5)), [][]int{{1, 5}}, nil, 3},
	} {
		var p Proof
		p.compare(c.jobs, sheetsOf(c.photos))
		if !slices.Equal(p.Missed, halvesOf(c.missed)) || p.Outside != c.others {
			t.Errorf("%s: missed %v and %d others, want %v and %d", c.name, p.Missed, p.Outside, c.missed, c.others)
		}
	}
}

func jobs(stock string, sheets ...[]int) []printJob {
	var all []printJob
	for _, job := range sheets {
		all = append(all, printJob{stock: stock, labels: halvesOf(job)})
	}
	return all
}

func serials(from, to int) []int {
	var all []int
	for n := from; n <= to; n++ {
		all = append(all, n)
	}
	return all
}

func halvesOf(serials []int) []Label {
	var all []Label
	for _, n := range serials {
		all = append(all, Label{Code: labels.Code{Prefix: "HBR", Serial: n, Half: 1}})
	}
	return all
}

func sheetsOf(photos [][]int) []Sheet {
	var sheets []Sheet
	for _, serials := range photos {
		var s Sheet
		for _, l := range halvesOf(serials) {
			s.Found = append(s.Found, photo.Found{Text: l.Code.Packed(), Code: l.Code, Half: l.Code.Half})
		}
		sheets = append(sheets, s)
	}
	return sheets
}
