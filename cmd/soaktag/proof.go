package main

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/labels"
	"soaktag/labels/photo"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

func proofFlag() cli.Flag {
	return &cli.StringSliceFlag{Name: "proof", Usage: "print nothing: judge printed labels by a `PHOTO` of the sheet; more photographs may follow"}
}

// A proofed label is how well one label reads in the photographs of its sheet.
type proofed struct {
	label printed
	found photo.Found
	print photo.Print
}

// A printed label is that of a half of a specimen, or a trial label.
type printed struct {
	code  labels.Code // with its half
	trial labels.Trial
}

func (l printed) String() string {
	if l.trial != 0 {
		return l.trial.String()
	}
	return l.code.String()
}

func (l printed) compare(m printed) int {
	return cmp.Or(cmp.Compare(l.trial, m.trial), strings.Compare(l.code.Prefix, m.code.Prefix),
		cmp.Compare(l.code.Serial, m.code.Serial), cmp.Compare(l.code.Half, m.code.Half))
}

// printedOf reads a label off its symbol; false for a card, a whole specimen
// and what is none of ours.
func printedOf(f photo.Found) (printed, bool) {
	if t, ok := tracker.TrialOf(f.Text); ok {
		return printed{trial: t}, true
	}
	return printed{code: f.Code}, f.Code.Serial != 0 && f.Half != 0
}

// checkWords is how many code words of a symbol of ours its check words make up
// for: a wrong one takes two of them, one left out takes one. Source: ISO/IEC
// 18004, version 1 at level H has 17.
const checkWords = 17

// A label fresh from the printer reads with nearly all of its check words left:
// common practice, no published source. The water takes the rest later.
const (
	freshSpare    = 13
	freshContrast = 0.5
	freshFinder   = 0.35
)

// spare is how many check words are left.
func (p proofed) spare() int { return max(0, checkWords-2*p.found.Errors-p.found.Erasures) }

// fault says why a label should be printed again; empty when it is good.
func (p proofed) fault() string {
	switch {
	case p.found.Ambiguous:
		return "another code was read in the same place"
	case p.found.How == photo.Matched:
		return "does not read by itself, only by what it looks like"
	case p.spare() < freshSpare:
		return "reads, with too little to spare for a fresh label"
	case p.print.Contrast < freshContrast:
		return "pale"
	case p.print.Weakest < freshFinder:
		return "a corner is damaged or pale"
	}
	return ""
}

// proof says label by label how well a printed sheet reads.
func (s *session) proof(c *cli.Context) error {
	if c.IsSet("out") || c.IsSet("stock") {
		return usageError("--proof looks at labels that are printed already; leave out --stock and --out")
	}
	words := append(slices.Clone(c.StringSlice("proof")), c.Args().Slice()...)
	if err := onlyPhotos(words); err != nil {
		return err
	}
	files, _, err := photoFiles(words)
	if err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	shots, err := s.readShots(files, intake.Printed(view.rec), photo.Options{})
	if err != nil {
		return err
	}
	for _, sh := range shots {
		if sh.Err != nil && len(shots) > 1 {
			s.warn("%s: %v", sh.Name, sh.Err)
		}
	}
	if err := noneRead(shots); err != nil {
		return err
	}
	s.sayProof(view.rec, shots)
	return nil
}

// onlyPhotos refuses the number of a label, which is no file.
func onlyPhotos(words []string) error {
	for _, word := range words {
		if _, err := os.Stat(word); errors.Is(err, fs.ErrNotExist) && !calledPhoto(word) {
			return withHint(usageError("--proof takes photographs, and no label numbers; there is no file or folder %s", word),
				"soaktag labels --proof PHOTO judges every label that is to be seen in it")
		}
	}
	return nil
}

// proofsOf takes the best sight of every label of the study, and lists the
// labels that are of none of its specimens and trials.
func proofsOf(rec *tracker.Record, shots []*shot) (ours []proofed, others []printed) {
	best, trials := map[printed]proofed{}, printedTrials(rec)
	for _, sh := range shots {
		for j, f := range sh.Found {
			l, ok := printedOf(f)
			p := proofed{l, f, sh.prints[j]}
			switch was, again := best[l]; {
			case !ok:
			case rec.Life(l.code.Whole()) == nil && !slices.Contains(trials, l.trial):
				others = append(others, l)
			case !again || p.better(was):
				best[l] = p
			}
		}
	}
	slices.SortFunc(others, printed.compare)
	for _, l := range slices.SortedFunc(maps.Keys(best), printed.compare) {
		ours = append(ours, best[l])
	}
	return ours, slices.Compact(others)
}

func (p proofed) better(q proofed) bool {
	if (p.found.How == photo.Decoded) != (q.found.How == photo.Decoded) {
		return p.found.How == photo.Decoded
	}
	return p.spare() > q.spare()
}

func (s *session) sayProof(rec *tracker.Record, shots []*shot) {
	all, others := proofsOf(rec, shots)
	if len(others) > 0 {
		s.warn("%s", othersText(others))
	}
	switch {
	case len(all) > 0:
		s.sayProofs(all, runOf(jobsOf(rec), shots))
	case len(others) > 0:
		s.hint("name the study that they are of: soaktag labels --proof %s --study FILE", shellWord(shots[0].Name))
	default:
		s.warn("no label of this study is to be seen")
		s.hint("photograph the sheet from above, whole or in parts, so near that the smallest square of a symbol has 4 pixels")
	}
}

// othersText names a few labels of another study.
func othersText(others []printed) string {
	const few = 4
	text := wording.Counted(len(others), "label", "labels") + " of another study: " + strings.Join(codeNames(others[:min(few, len(others))]), ", ")
	if n := len(others) - few; n > 0 {
		text += fmt.Sprintf(" and %d more", n)
	}
	return text
}

func codeNames[T fmt.Stringer](all []T) []string {
	var names []string
	for _, l := range all {
		names = append(names, l.String())
	}
	return names
}

func (s *session) sayProofs(all []proofed, run printRun) {
	t := screen.NewTable("label", "reads", ">spare", ">wrong", ">left out", ">contrast", "")
	var again []printed
	for _, p := range all {
		t.Row(p.row()...)
		if p.fault() != "" {
			again = append(again, p.label)
		}
	}
	for _, l := range run.between {
		t.Row(l.String(), "no", "", "", "", "", "not seen, though printed between labels that were")
	}
	again = append(again, run.between...)
	s.print("%s", t)
	s.print("%d of %s good; spare: check words left, of %d; contrast: of paper and ink, in its photograph\n",
		len(all)+len(run.between)-len(again), wording.Plural(len(all)+len(run.between), "label"), checkWords)
	if run.others > 0 {
		s.say("%s printed together with these on no photograph: other sheets, or the first and last labels of one", wording.Counted(run.others, "label", "labels"))
	}
	s.hintAgain(again, run.stock)
}

// hintAgain says how to print labels again; trial labels have the next numbers
// then.
func (s *session) hintAgain(again []printed, stock string) {
	all := len(again)
	again = slices.DeleteFunc(again, func(l printed) bool { return l.trial != 0 })
	trials := all - len(again)
	if trials > 0 {
		s.hint("if a nearer photograph says the same, print others in their place: soaktag labels --trial --count %d %s --out %s",
			trials, stockWords(stock), freeName("trial"))
	}
	if len(again) > 0 {
		s.hint("if a nearer photograph says the same, print again: soaktag labels %s %s --out %s --reason \"did not read well\"",
			strings.Join(codeNames(again), " "), stockWords(stock), freeName("again"))
	}
}

// stockWords are the flags that name a stock as a print of labels recorded it.
func stockWords(text string) string {
	stock, material, _ := strings.Cut(orUnknown(text, "STOCK"), ", ")
	words := fmt.Sprintf("--stock %q", stock)
	if material != "" {
		words += fmt.Sprintf(" --material %q", material)
	}
	return words
}

// freeName is a name for a PDF that no file has yet.
func freeName(stem string) string {
	name := stem + ".pdf"
	for n := 2; ; n++ {
		if _, err := os.Lstat(name); err != nil {
			return name
		}
		name = fmt.Sprintf("%s-%d.pdf", stem, n)
	}
}

func (p proofed) row() []string {
	contrast := fmt.Sprintf("%.0f %%", 100*p.print.Contrast)
	if p.found.How == photo.Matched {
		return []string{p.label.String(), "no", "", "", "", contrast, p.fault()}
	}
	return []string{p.label.String(), "yes", count(p.spare()), count(p.found.Errors), count(p.found.Erasures), contrast, p.fault()}
}
