package tracker

import "strconv"

// ViaSalvage is how the remark came in that stands where entries of a damaged study
// could not be read any more.
const ViaSalvage = "salvage"

// The values of such a remark: how many entries are missing, the place of the first of
// them in the log that was damaged, and the events before and after, by their ids.
const (
	GapCount  = "missing"
	GapFirst  = "first"
	GapAfter  = "after"
	GapBefore = "before"
)

// Missing is a place of the log where entries could not be read any more.
type Missing struct {
	Entries, First int   // how many, and which place the first had in the damaged log
	After, Before  Event // beside them; zero where the log began or ended there
	Note           string
}

func (Missing) about() {}

// gaps asks about every place where entries are missing.
func (r *Record) gaps() (all []Mark) {
	for _, e := range r.log {
		if e.Via == ViaSalvage && e.Kind == Noted && e.Code == "" && r.visible(e) && !r.Voided(e.ID) {
			all = append(all, r.plain(e, RuleGap, r.missing(e)))
		}
	}
	return all
}

func (r *Record) missing(e *Event) (m Missing) {
	m.Note = e.Note
	for _, v := range e.Values {
		switch v.Name {
		case GapCount:
			m.Entries, _ = strconv.Atoi(v.Text)
		case GapFirst:
			m.First, _ = strconv.Atoi(v.Text)
		case GapAfter:
			m.After, _ = r.Event(v.Text)
		case GapBefore:
			m.Before, _ = r.Event(v.Text)
		}
	}
	m.After.Recorded, m.Before.Recorded = r.local(m.After.Recorded), r.local(m.Before.Recorded)
	return m
}
