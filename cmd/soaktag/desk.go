package main

import (
	"errors"

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
		default:
			s.say("%s", text)
		}
	}
}

// tell prints an outcome: on stdout what was recorded, on stderr the rest.
func (b *book) tell(out intake.Outcome) {
	for _, n := range out.Notes {
		if r, ok := n.(intake.Recorded); ok {
			for _, v := range r.Verdicts {
				b.print("%s\n", wording.Recorded(v, b.zone()))
			}
		}
		b.telling("", wording.Note(n, b.desk.Record().Study()))
	}
}

// take hands a form to the desk, tells what came of it, and asks about what
// looks wrong.
func (b *book) take(form intake.Input) error {
	out, err := b.desk.Take(form)
	b.tell(out)
	if err != nil {
		return desked(err)
	}
	return b.answer(out.Asks())
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
