package intake

import (
	"maps"
	"slices"

	"soaktag/labels/photo"
	"soaktag/tracker"
)

// A Sheet is what one photograph of printed labels shows: what was found, and
// beside each how well it is printed.
type Sheet struct {
	Found  []photo.Found
	Prints []photo.Print
}

// A Proof says how well printed labels read, by photographs of them.
type Proof struct {
	Labels []Proofed // of the study, each by its best sight
	Others []Label   // of none of its specimens and trials

	Stock   string  // of the last of the jobs that the labels are of, with its material; empty where not known
	Missed  []Label // seen on no photograph, but printed between two of one photograph
	Outside int     // printed together with the others, and neither seen nor missed
}

// A Proofed label is how well one label reads in the photographs of its sheet.
type Proofed struct {
	Label
	Found photo.Found
	Print photo.Print
}

// A Fault says why a label should be printed again.
type Fault int

const (
	Good          Fault = iota
	OtherCode           // another code was read in the same place
	OnlyMatched         // does not read by itself, only by what it looks like
	LittleToSpare       // reads, with too little to spare for a fresh label
	Pale
	CornerDamaged // or pale
)

// A label fresh from the printer reads with nearly all of its check words left:
// common practice, no published source. The water takes the rest later.
const (
	freshSpare    = 13
	freshContrast = 0.5
	freshFinder   = 0.35
)

// CheckWords is how many check words a label has.
const CheckWords = photo.CheckWords

// Reads reports whether a label reads by itself, and not only by what it looks like.
func (p Proofed) Reads() bool { return p.Found.How != photo.Matched }

// Spare is how many check words are left, of CheckWords: a wrong code word takes
// two of them, one left out takes one.
func (p Proofed) Spare() int { return max(0, CheckWords-2*p.Found.Errors-p.Found.Erasures) }

// Fault judges a label fresh from the printer.
func (p Proofed) Fault() Fault {
	switch {
	case p.Found.Ambiguous:
		return OtherCode
	case !p.Reads():
		return OnlyMatched
	case p.Spare() < freshSpare:
		return LittleToSpare
	case p.Print.Contrast < freshContrast:
		return Pale
	case p.Print.Weakest < freshFinder:
		return CornerDamaged
	}
	return Good
}

// better reports whether a sight shows more than another of the same label.
func (p Proofed) better(q Proofed) bool {
	if p.Reads() != q.Reads() {
		return p.Reads()
	}
	return p.Spare() > q.Spare()
}

// ProofOf judges printed labels by photographs of them.
func ProofOf(rec *tracker.Record, sheets []Sheet) (p Proof) {
	p.Labels, p.Others = sorted(rec, sheets)
	p.compare(jobsOf(rec), sheets)
	return p
}

// sorted takes the best sight of every label of the study, and lists the labels
// that are of none of its specimens and trials.
func sorted(rec *tracker.Record, sheets []Sheet) (ours []Proofed, others []Label) {
	best, trials := map[Label]Proofed{}, printedTrials(rec)
	for _, s := range sheets {
		for i, f := range s.Found {
			l, ok := labelIn(f)
			p := Proofed{l, f, s.Prints[i]}
			switch was, again := best[l]; {
			case !ok:
			case rec.Life(l.Code.Whole()) == nil && !slices.Contains(trials, l.Trial):
				others = append(others, l)
			case !again || p.better(was):
				best[l] = p
			}
		}
	}
	slices.SortFunc(others, Label.Compare)
	for _, l := range slices.SortedFunc(maps.Keys(best), Label.Compare) {
		ours = append(ours, best[l])
	}
	return ours, slices.Compact(others)
}

// labelIn reads a label off its symbol; false for a card, a whole specimen and
// what is none of ours.
func labelIn(f photo.Found) (Label, bool) {
	if t, ok := tracker.TrialOf(f.Text); ok {
		return Label{Trial: t}, true
	}
	return Label{Code: f.Code}, f.Code.Serial != 0 && f.Half != 0
}

// PrintAgain lists the labels to be printed again, those of specimens and, apart,
// the trial labels, which have other numbers then.
func (p Proof) PrintAgain() (again, trials []Label) {
	for _, l := range p.Labels {
		if l.Fault() != Good {
			again = append(again, l.Label)
		}
	}
	isTrial := func(l Label) bool { return l.Trial != 0 }
	again = append(again, p.Missed...)
	for _, l := range again {
		if isTrial(l) {
			trials = append(trials, l)
		}
	}
	return slices.DeleteFunc(again, isTrial), trials
}
