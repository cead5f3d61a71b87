package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/labels/photo"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

func proofFlag() cli.Flag {
	return &cli.StringSliceFlag{Name: "proof", Usage: "print nothing: judge printed labels by a `PHOTO` of the sheet; more photographs may follow"}
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
	shots, _, err := shotsIn(words)
	if err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	if err := s.readShots(shots, intake.Printed(view.rec), photo.Options{}); err != nil {
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
		if _, err := os.Stat(word); errors.Is(err, fs.ErrNotExist) && !photo.CalledPhoto(word) {
			return withHint(usageError("--proof takes photographs, and no label numbers; there is no file or folder %s", word),
				"soaktag labels --proof PHOTO judges every label that is to be seen in it")
		}
	}
	return nil
}

func (s *session) sayProof(rec *tracker.Record, shots []*shot) {
	var sheets []intake.Sheet
	for _, sh := range shots {
		sheets = append(sheets, intake.Sheet{Found: sh.Found, Prints: sh.look.Prints})
	}
	p := intake.ProofOf(rec, sheets)
	if len(p.Others) > 0 {
		s.warn("%s", wording.OtherLabels(p.Others))
	}
	switch {
	case len(p.Labels) > 0:
		s.sayProofs(p)
	case len(p.Others) > 0:
		s.hint("name the study that they are of: soaktag labels --proof %s --study FILE", wording.ShellWord(shots[0].Name))
	default:
		s.warn("no label of this study is to be seen")
		s.hint("photograph the sheet from above, whole or in parts, so near that the smallest square of a symbol has 4 pixels")
	}
}

func (s *session) sayProofs(p intake.Proof) {
	t := screen.NewTable("label", "reads", ">spare", ">wrong", ">left out", ">contrast", "")
	for _, l := range p.Labels {
		t.Row(wording.Proofed(l)...)
	}
	for _, l := range p.Missed {
		t.Row(l.String(), "no", "", "", "", "", "not seen, though printed between labels that were")
	}
	s.print("%s", t)
	s.telling("", wording.Proven(p))
	s.hintAgain(p)
}

// hintAgain says how to print labels again; trial labels have the next numbers
// then.
func (s *session) hintAgain(p intake.Proof) {
	again, trials := p.PrintAgain()
	if len(trials) > 0 {
		s.hint("if a nearer photograph says the same, print others in their place: soaktag labels --trial --count %d %s --out %s",
			len(trials), wording.StockFlags(p.Stock), freeName("trial"))
	}
	if len(again) > 0 {
		s.hint("if a nearer photograph says the same, print again: soaktag labels %s %s --out %s --reason \"did not read well\"",
			wording.LabelNames(again, " "), wording.StockFlags(p.Stock), freeName("again"))
	}
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
