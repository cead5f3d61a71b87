package strength

import (
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
	f := unequal(drift)
	report.Groups = groups(study, report.Specimens)
	report.Retention = retention(study, report.Groups, f, drift)
	report.Comparisons, report.Letters = comparisons(study, report.Groups, f)
	return report
}
