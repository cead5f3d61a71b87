package station

import "soaktag/tracker/wording"

// An asksView is what asks for an answer.
type asksView struct {
	Counts string
	Rules  []wording.AskedOf
}

func showAsks(l look) (any, error) {
	open := l.rec.OpenMarks()
	return asksView{wording.AskCount(len(open)), wording.AsksOf(l.rec, open)}, nil
}
