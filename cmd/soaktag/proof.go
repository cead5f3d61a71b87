package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/labels"
	"soaktag/labels/photo"
	"soaktag/tracker"
)

func proofFlag() cli.Flag {
	return &cli.StringSliceFlag{Name: "proof", Usage: "print nothing: judge printed labels by a `PHOTO` of the sheet; more photographs may follow"}
}

// A proofed label is how well one label reads in the photographs of its sheet.
type proofed struct {
	code  labels.Code // with its half
	found photo.Found
	print photo.Print
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
	files, _, err := photoFiles(append(slices.Clone(c.StringSlice("proof")), c.Args().Slice()...))
	if err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	shots, err := s.readShots(files, listOf(view.rec), photo.Options{})
	if err != nil {
		return err
	}
	for i := range shots {
		if shots[i].err != nil && len(shots) > 1 {
			s.warn("%s: %v", shots[i].path, shots[i].err)
		}
	}
	if err := noneRead(shots); err != nil {
		return err
	}
	s.sayProof(view.rec, shots)
	return nil
}

// proofsOf takes the best sight of every label of the study.
func proofsOf(rec *tracker.Record, shots []shot) []proofed {
	var all []proofed
	for i := range shots {
		for j, f := range shots[i].found {
			if f.Code.Serial == 0 || f.Half == 0 || rec.Life(f.Code.Whole()) == nil {
				continue
			}
			p := proofed{f.Code, f, shots[i].prints[j]}
			k := slices.IndexFunc(all, func(q proofed) bool { return q.code == p.code })
			switch {
			case k < 0:
				all = append(all, p)
			case p.better(all[k]):
				all[k] = p
			}
		}
	}
	slices.SortFunc(all, func(a, b proofed) int { return strings.Compare(labelKey(a.code), labelKey(b.code)) })
	return all
}

func (p proofed) better(q proofed) bool {
	if (p.found.How == photo.Decoded) != (q.found.How == photo.Decoded) {
		return p.found.How == photo.Decoded
	}
	return p.spare() > q.spare()
}

func labelKey(c labels.Code) string { return fmt.Sprintf("%s%06d/%d", c.Prefix, c.Serial, c.Half) }

func (s *session) sayProof(rec *tracker.Record, shots []shot) {
	all := proofsOf(rec, shots)
	if len(all) == 0 {
		s.warn("no label of this study is to be seen")
		s.hint("photograph the sheet from above, whole or in parts, so near that the smallest square of a symbol has 4 pixels")
		return
	}
	t := newTable("label", "reads", ">spare", ">wrong", ">left out", ">contrast", "")
	again := []labels.Code{}
	for _, p := range all {
		t.row(p.row()...)
		if p.fault() != "" {
			again = append(again, p.code)
		}
	}
	run := runOf(rec, shots)
	for _, code := range run.between {
		t.row(code.String(), "no", "", "", "", "", "not seen, though printed between labels that were")
	}
	again = append(again, run.between...)
	s.print("%s", t)
	s.print("%d of %s good; spare: check words left, of %d; contrast: of paper and ink, in its photograph\n",
		len(all)+len(run.between)-len(again), plural(len(all)+len(run.between), "label"), checkWords)
	if run.others > 0 {
		s.say("%s printed together with these on no photograph: other sheets, or the first and last labels of one", counted(run.others, "label", "labels"))
	}
	if len(again) > 0 {
		s.hint("if a nearer photograph says the same, print again: soaktag labels %s --stock %q --out again.pdf --reason \"did not read well\"",
			strings.Join(codeNames(again), " "), run.stock)
	}
}

func (p proofed) row() []string {
	contrast := fmt.Sprintf("%.0f %%", 100*p.print.Contrast)
	if p.found.How == photo.Matched {
		return []string{p.code.String(), "no", "", "", "", contrast, p.fault()}
	}
	return []string{p.code.String(), "yes", count(p.spare()), count(p.found.Errors), count(p.found.Erasures), contrast, p.fault()}
}

func codeNames(codes []labels.Code) []string {
	var names []string
	for _, c := range codes {
		names = append(names, c.String())
	}
	return names
}

// A printRun is what is known of the print runs that photographed labels are
// of.
type printRun struct {
	stock   string        // what the last of them was printed on
	between []labels.Code // seen on no photograph, but printed between two of one photograph
	others  int           // neither seen nor between
}

func runOf(rec *tracker.Record, shots []shot) printRun {
	issued, seen, between, runs := issuedLabels(rec), map[labels.Code]bool{}, map[labels.Code]bool{}, map[time.Time]bool{}
	run := printRun{stock: "STOCK"}
	for i := range shots {
		first, last := len(issued), -1
		for j, l := range issued {
			if slices.ContainsFunc(shots[i].found, func(f photo.Found) bool { return f.Code == l.code }) {
				first, last = min(first, j), j
				seen[l.code], runs[l.at], run.stock = true, true, l.stock
			}
		}
		for j := first; j <= last; j++ {
			between[issued[j].code] = true
		}
	}
	for _, l := range issued {
		switch {
		case seen[l.code] || !runs[l.at]:
		case between[l.code]:
			run.between = append(run.between, l.code)
		default:
			run.others++
		}
		seen[l.code] = true
	}
	return run
}

type issuedLabel struct {
	code  labels.Code
	at    time.Time
	stock string
}

func issuedLabels(rec *tracker.Record) []issuedLabel {
	var all []issuedLabel
	for _, e := range rec.Events() {
		code, err := labels.Parse(e.Code)
		if e.Kind != tracker.Issued || err != nil || rec.Voided(e.ID) {
			continue
		}
		code.Half = e.Half
		l := issuedLabel{code: code, at: e.Recorded}
		for _, v := range e.Values {
			if v.Name == tracker.StockValue {
				l.stock, _, _ = strings.Cut(v.Text, ",")
			}
		}
		all = append(all, l)
	}
	return all
}
