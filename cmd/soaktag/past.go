package main

import (
	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/learnt"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// lessons are what the studies named with --from teach a plan; nil where none is named.
func (s *session) lessons(c *cli.Context, study *tracker.Study) (*learnt.Lessons, error) {
	var past []learnt.Past
	for _, path := range c.StringSlice("from") {
		p, err := s.past(path)
		if err != nil {
			return nil, err
		}
		past = append(past, p)
	}
	if len(past) == 0 {
		return nil, nil
	}
	lessons, err := learnt.Teach(study, past)
	return &lessons, err
}

// past reads one study and closes it again.
func (s *session) past(path string) (learnt.Past, error) {
	db, err := store.OpenToRead(path, plan.Read)
	if err != nil {
		return learnt.Past{}, err
	}
	defer db.Close()
	rec, err := db.State()
	if err != nil {
		return learnt.Past{}, err
	}
	if loss := db.Lost(); loss != nil {
		s.attention = true
		s.warn("%s: %s", fromHere(path), loss)
	}
	p, ok := learnt.Of(rec)
	if !ok {
		return p, usageError("%s holds no study to learn from", fromHere(path))
	}
	return p, nil
}
