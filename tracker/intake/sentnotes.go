package intake

// What a desk notes of an entry of a phone.
type (
	// SentAgain: the entry came before, and nothing is recorded again.
	SentAgain struct{}
	// UndoAhead: UNDO came before what it means; that will count for nothing when it comes.
	UndoAhead struct{}
	// UndoneBefore: the UNDO of this entry came before it, so that it does not count.
	UndoneBefore struct{}
	// PictureNotKept: the photograph that came with a form cannot be kept; the form is.
	PictureNotKept struct{ Why string }
	// ReadApart: phone and station did not read the same in a photograph. Only are
	// codes that one of them alone has.
	ReadApart struct {
		Phone, Station []string
	}
)

func (SentAgain) note()      {}
func (UndoAhead) note()      {}
func (UndoneBefore) note()   {}
func (PictureNotKept) note() {}
func (ReadApart) note()      {}

// A Heed says how much a note wants somebody to look.
type Heed int

const (
	NoHeed  Heed = iota
	LookAt       // something is doubtful, or an earlier entry asks now
	Answer       // it waits for YES or UNDO, or for a stage card
	Refused      // something was not taken
)

// HeedOf says how much a note wants somebody to look.
func HeedOf(n Note) Heed {
	switch n.(type) {
	case NotTaken, NotRecorded:
		return Refused
	case NoLabel:
		return Refused
	case LeftOpen, StageExpired:
		return Answer
	case AsksNow, AsksAgain, TimeInDoubt, ReadApart, PictureNotKept, SeveralStages, ProbableCard, Twin:
		return LookAt
	}
	return NoHeed
}

// Heed is the most that a note of an outcome wants.
func (o Outcome) Heed() (most Heed) {
	for _, n := range o.Notes {
		most = max(most, HeedOf(n))
	}
	return most
}
