package learnt

import "soaktag/tracker"

// Lessons are what past studies teach a plan.
type Lessons struct {
	Studies  []string // titles
	Scatters []Scatter
	Finds    []Finds
	Shares   []Share
}

// Teach draws them. A study named twice counts once.
func Teach(study *tracker.Study, named []Past) (Lessons, error) {
	past := Each(named)
	l := Lessons{Scatters: Scatters(past), Shares: shares(past, study)}
	for _, p := range past {
		l.Studies = append(l.Studies, p.Study.Title)
	}
	var err error
	l.Finds, err = Find(study, l.Scatters)
	return l, err
}
