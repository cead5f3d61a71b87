package intake

import (
	"cmp"
	"maps"
	"slices"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/tracker"
)

// A printJob is what one command printed, in its order.
type printJob struct {
	at     time.Time
	stock  string // with its material
	labels []Label
}

// jobsOf finds the jobs by what they recorded at one moment, the latest last.
func jobsOf(rec *tracker.Record) []printJob {
	var jobs []printJob
	for _, e := range rec.Events() {
		l, ok := labelOf(e)
		if !ok || rec.Voided(e.ID) {
			continue
		}
		stock := stockOf(e)
		same := func(j printJob) bool {
			return j.at.Equal(e.Recorded) && j.stock == stock && !slices.Contains(j.labels, l)
		}
		i := slices.IndexFunc(jobs, same)
		if i < 0 {
			i, jobs = len(jobs), append(jobs, printJob{at: e.Recorded, stock: stock})
		}
		jobs[i].labels = append(jobs[i].labels, l)
	}
	slices.SortStableFunc(jobs, func(a, b printJob) int { return a.at.Compare(b.at) })
	return jobs
}

// labelOf is the label that an event says was printed.
func labelOf(e tracker.Event) (Label, bool) {
	if e.Kind != tracker.Issued {
		return Label{}, false
	}
	if t, ok := tracker.TrialOf(e.Code); ok {
		return Label{Trial: t}, true
	}
	code, err := labels.Parse(e.Code)
	code.Half = e.Half
	return Label{Code: code}, err == nil
}

func stockOf(e tracker.Event) string {
	for _, v := range e.Values {
		if v.Name == tracker.StockValue {
			return v.Text
		}
	}
	return ""
}

// fills reports whether n labels in a row may be a whole sheet, which need not
// have been photographed.
func (j printJob) fills(n int) bool {
	size, _, _ := strings.Cut(j.stock, ",")
	stock, err := labels.ParseStock(size)
	return err != nil || !stock.Roll() && n >= stock.Cells()
}

// sights are labels, each with the number of the job that it is held to be of.
type sights map[Label]int

// latestOf gives every label the last job that printed it.
func latestOf(jobs []printJob) sights {
	at := sights{}
	for j, job := range jobs {
		for _, l := range job.labels {
			at[l] = j
		}
	}
	return at
}

// sightsOf says which jobs the labels of a photograph are of. No symbol says it,
// so of what can be the study takes what leaves the fewest labels unseen: all
// are of one job, the latest first, or each is of the last that printed it.
func sightsOf(jobs []printJob, latest sights, sheet Sheet) sights {
	each := sights{}
	for _, f := range sheet.Found {
		l, ok := labelIn(f)
		if j, known := latest[l]; ok && known {
			each[l] = j
		}
	}
	can := []sights{}
	for j := len(jobs) - 1; j >= 0; j-- {
		if one := each.within(jobs[j], j); len(one) == len(each) {
			can = append(can, one)
		}
	}
	return slices.MinFunc(append(can, each), func(a, b sights) int {
		return cmp.Compare(len(a.between(jobs, false)), len(b.between(jobs, false)))
	})
}

// within are those of the labels that a job printed.
func (at sights) within(job printJob, number int) sights {
	one := sights{}
	for _, l := range job.labels {
		if _, seen := at[l]; seen {
			one[l] = number
		}
	}
	return one
}

// between are the labels printed between two of one job that were seen: all, or
// the surely missed only, which are of no sheet that was left out as a whole.
func (at sights) between(jobs []printJob, surely bool) sights {
	missed := sights{}
	for j, job := range jobs {
		begun, gap := false, []Label{}
		for _, l := range job.labels {
			of, seen := at[l]
			switch {
			case !seen:
				gap = append(gap, l)
			case of == j:
				for _, g := range gap {
					if begun && !(surely && job.fills(len(gap))) {
						missed[g] = j
					}
				}
				begun, gap = true, nil
			}
		}
	}
	return missed
}

// compare compares the photographs with the jobs that their labels are of. What
// a later job printed again is looked for in no earlier one.
func (p *Proof) compare(jobs []printJob, sheets []Sheet) {
	latest, seen, missed, used := latestOf(jobs), sights{}, map[Label]bool{}, map[int]bool{}
	for _, sheet := range sheets {
		at := sightsOf(jobs, latest, sheet)
		maps.Copy(seen, at)
		for _, j := range at {
			used[j] = true
		}
		for l, j := range at.between(jobs, true) {
			missed[l] = missed[l] || latest[l] == j
		}
	}
	for j, job := range jobs {
		if used[j] {
			p.Stock = job.stock
			p.count(job, func(l Label) bool { _, sighted := seen[l]; return !sighted && latest[l] == j }, missed)
		}
	}
}

// count takes up the labels of a job that are on no photograph.
func (p *Proof) count(job printJob, unseen func(Label) bool, missed map[Label]bool) {
	for _, l := range job.labels {
		switch {
		case !unseen(l):
		case missed[l]:
			p.Missed = append(p.Missed, l)
		default:
			p.Outside++
		}
	}
}
