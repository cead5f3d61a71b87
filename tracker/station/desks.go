package station

import (
	"soaktag/labels/photo"
	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// desks are those of the phones, one each: its stage in force, who works there. They
// share one store and are used one at a time, under the lock of the study.
type desks map[string]*intake.Desk

// desk is that of a phone. The lock is held.
func (s *Station) desk(p Phone) (*intake.Desk, error) {
	if d := s.desks[p.ID]; d != nil {
		return d, nil
	}
	d, err := s.anotherDesk()
	if err != nil {
		return nil, err
	}
	if s.desks == nil {
		s.desks = desks{}
	}
	s.desks[p.ID] = d
	return d, nil
}

// anotherDesk opens a desk beside those that there are.
func (s *Station) anotherDesk() (*intake.Desk, error) {
	for _, d := range s.desks {
		return d.Beside(intake.Now(s.Clock())), nil
	}
	return intake.Open(s.DB, intake.Now(s.Clock()), s.Clock)
}

// A labelList is the list of what was printed for a study, to recognise damaged labels by.
type labelList struct {
	*photo.List
	of        *tracker.Study
	specimens int
}

// whatIsPrinted is that list as it is now. The lock is held.
func (s *Station) whatIsPrinted(rec *tracker.Record) *photo.List {
	if p := s.list; p.List == nil || p.of != rec.Study() || p.specimens != len(rec.Specimens()) {
		s.list = labelList{intake.Printed(rec), rec.Study(), len(rec.Specimens())}
	}
	return s.list.List
}
