package main

import (
	"errors"
	"slices"

	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// telling prints what a desk has to say. place names the line or photograph in
// hand, "line 3", for what is about it.
func (s *session) telling(place string, sentences []wording.Sentence) {
	for _, sentence := range sentences {
		text := sentence.Text
		if sentence.Placed && place != "" {
			text = place + ": " + text
		}
		switch sentence.Tone {
		case wording.Warned:
			s.warn("%s", text)
		case wording.Advised:
			s.hint("%s", text)
		case wording.Answered:
			s.print("%s\n", text)
		default:
			s.say("%s", text)
		}
	}
}

// anyWarned reports whether something is to be looked at.
func anyWarned(sentences []wording.Sentence) bool {
	return slices.ContainsFunc(sentences, func(s wording.Sentence) bool { return s.Tone == wording.Warned })
}

// tell prints an outcome: on stdout what was recorded, on stderr the rest.
func (b *book) tell(out intake.Outcome) {
	for _, n := range out.Notes {
		if r, ok := n.(intake.Recorded); ok {
			for _, line := range wording.RecordedAll(r.Verdicts, b.zone()) {
				b.print("%s\n", line)
			}
		}
		b.telling("", wording.Note(n, b.desk.Record().Study()))
		b.attention = b.attention || intake.AsksSomething(n)
	}
}

// take hands a form to the desk, tells what came of it, and asks about what
// looks wrong as soon as its marks are told.
func (b *book) take(form intake.Input) error {
	out, err := b.desk.Take(form)
	return b.came(out, err)
}

// came tells what came of a form. What looks wrong is asked about as soon as it
// is told, before what is told after it.
func (b *book) came(out intake.Outcome, err error) error {
	if err != nil {
		b.tell(out)
		return desked(err)
	}
	asked := 1 + slices.IndexFunc(out.Notes, func(n intake.Note) bool { _, is := n.(intake.Marked); return is })
	b.tell(intake.Outcome{Notes: out.Notes[:asked]})
	if err := b.answer(out.Asks()); err != nil {
		return err
	}
	b.tell(intake.Outcome{Notes: out.Notes[asked:]})
	return nil
}

// desked makes a refusal of the desk an error of status 2, with what would put
// it right as its hint.
func desked(err error) error {
	var r *intake.Refusal
	if !errors.As(err, &r) {
		return err
	}
	why, help := wording.Refusal(r)
	if help != "" {
		return withHint(usageError("%s", why), "%s", help)
	}
	return usageError("%s", why)
}
