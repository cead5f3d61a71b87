package intake

import (
	"slices"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// What a filling does with an answer that does not fit what is asked: it takes
// what can only be meant, or says how to get out.

// The help about answers that were not taken.
type (
	// GoBack: the answer before can be taken back, or the whole thing left.
	GoBack struct {
		Reading bool // it is asked; nothing stands for none
		InWords bool // in a stream of scans, which no word ends
	}
	// GiveReading: how a try ended is asked after nothing was given as its reading,
	// which can be given now.
	GiveReading struct {
		Unit    string // of a bare number; empty: none is certain
		InWords bool
	}
	// WithoutReading: a way to end without a reading was said of a try that has one.
	WithoutReading struct {
		How     tracker.How
		Reading string
		InWords bool // endings have no keys here
	}
	// WhichIsMeant: a bare number after something was taken back: the specimen with
	// that serial, or an answer about the one taken back.
	WhichIsMeant struct{ Serial, Again string }
)

func (GoBack) help()         {}
func (GiveReading) help()    {}
func (WithoutReading) help() {}
func (WhichIsMeant) help()   {}

// readsAfterAll reports whether a text is the reading, where nothing was given as
// one and how the try ended is asked. A key of the list stays a key.
func (f *Filling) readsAfterAll(s step, text string) bool {
	if s != askEnding || f.try.Reading != "" || !slices.Contains(f.said, askReading) || !f.inWords && numbered(text) != text {
		return false
	}
	_, err := quantity.ParseReading(inUnit(text, f.unit()))
	return err == nil
}

// back takes the last answer back, as somebody asks who fills in one form.
func (f *Filling) back(out *Outcome) bool {
	answer, ok := f.unsay()
	if !ok {
		out.add(NotTaken{refuse("nothing was answered yet about %s", f.sub).with(GoBack{InWords: f.inWords})})
		return false
	}
	out.add(Unsaid{f.sub, answer})
	return true
}

// wayOut says of an answer that was not taken what can be said instead.
func (f *Filling) wayOut(s step, r *Refusal) *Refusal {
	without, unread := r.Cause.(NothingToRead)
	_, apart := r.Help.(CameApart)
	switch {
	case s != askEnding:
		return r.with(GoBack{s == askReading && f.how == "", f.inWords})
	case f.try.Reading == "":
		return r.with(GiveReading{f.unit(), f.inWords})
	case unread:
		return r.with(WithoutReading{without.How, f.try.Reading, f.inWords})
	case apart:
		return r.with(WithoutReading{tracker.FellApart, f.try.Reading, f.inWords})
	}
	return r.with(GoBack{InWords: f.inWords})
}

// whichMeant asks what a bare number means after a try was taken back: most often
// it is an answer about that one, and the serial of another glue as well.
func (d *Desk) whichMeant(out *Outcome, text string) error {
	sp, _, err := d.rec.Resolve(text)
	if err != nil {
		return err
	}
	why := refuse("%s: an answer about %s, or the specimen %s?", text, d.sit.again, sp.Code)
	return d.unanswered(out, why.with(WhichIsMeant{sp.Code.String(), d.sit.again.String()}))
}
