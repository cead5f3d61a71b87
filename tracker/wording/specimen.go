package wording

import "soaktag/tracker/strength"

// Marks writes the sentences of the record's marks into the specimens of a
// report, which come with the facts alone.
func Marks(of []strength.Specimen) {
	for _, sp := range of {
		for i, m := range sp.Marks {
			if m.Of.Rule != "" {
				sp.Marks[i].Text = MarkText(m.Of)
			}
		}
	}
}
