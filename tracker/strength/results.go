package strength

import (
	"slices"
	"time"

	"soaktag/tracker"
)

// Results returns what the record says about strength: every specimen, groups,
// retention and comparisons with their reasons.
func Results(r *tracker.Record) Report {
	if r.Study() == nil {
		return Sums(&tracker.Study{}, nil, nil)
	}
	return Sums(r.Study(), r.Lives(), r.Drift(latest(r)))
}

// latest is when the last event was written down. Only intervals that ended
// decide what is comparable, so any later instant would do as well.
func latest(r *tracker.Record) (t time.Time) {
	for _, e := range r.Events() {
		if e.Recorded.After(t) {
			t = e.Recorded
		}
	}
	return t
}

// Sums does the arithmetic of Results on lives and drift that are given.
func Sums(study *tracker.Study, lives []*tracker.Life, drift []tracker.IntervalDrift) Report {
	report := Report{Specimens: []Specimen{}}
	for _, life := range lives {
		report.Specimens = append(report.Specimens, Of(study, life))
	}
	report.Groups = groups(study, report.Specimens)
	stray := strays(drift)
	for i := range report.Groups {
		report.Groups[i].straggle(stray)
	}
	report.Retention = retention(study, report.Groups, drift)
	all := comparers(study, report.Groups, drift)
	report.compare(all)
	report.Sensitivity = sensitivity(report.Groups, stray)
	report.Findings = findings(study, report, all, drift)
	dealt(report.Groups, report.Specimens)
	return report
}

// dealt puts the members of groups into the order dealt. Sums are taken before,
// those that met no rig last, so that rounding never hangs on who fell apart.
func dealt(groups []Group, all []Specimen) {
	place := map[string]int{}
	for i, s := range all {
		place[s.Code] = i
	}
	for _, g := range groups {
		slices.SortFunc(g.Members, func(a, b Specimen) int { return place[a.Code] - place[b.Code] })
	}
}

// compare takes what the comparers of all treatments found.
func (r *Report) compare(all []comparer) {
	r.Comparisons, r.Letters = []Comparison{}, map[string]LettersByKey{}
	for _, c := range all {
		r.Comparisons = append(r.Comparisons, c.made...)
		if l := c.letters(); len(l) > 0 {
			r.Letters[c.treatment.Key] = l
		}
	}
}
