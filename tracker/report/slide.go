package report

import (
	"fmt"
	"html/template"
	"strings"

	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// A slide is one page for an audience.
type slide struct {
	Title    string
	Soak     string // planned and actual
	Headline string
	Size     string // class of its type
	More     string // the next findings
	Dots     template.HTML
	Empty    bool
	Running  string
	Key      string
	Foot     string
}

func newSlide(s *source) slide {
	title := cutShort(s.study.Title, mostTitle)
	v := slide{Title: title, Headline: title, Running: s.running(), Empty: len(s.results.Groups) == 0}
	o := s.orderOf()
	if claims := s.toldOnSlide(o); len(claims) > 0 {
		v.Headline = s.headlined(claims[0][0], wording.Finding)
		v.More = strings.Join(s.someOf(claims, o.Treatment, len([]rune(v.Headline))), " ")
	}
	v.Size = headlineSize(v.Headline)
	if !v.Empty {
		v.Dots = s.dots(s.shown(o), s.slideForm(o), "dots")
	}
	v.Foot, v.Soak = s.foot(o), unbroken(s.soakText(o.Treatment))
	return v
}

// A claim is a finding with what it hangs on: a slide says both or neither.
type claim []strength.Finding

// claims puts every finding together with its doubt, which follows it.
func claims(found []strength.Finding) (out []claim) {
	for _, f := range found {
		if n := len(out); n > 0 && f.Kind == strength.HangsOnWay && out[n-1][0].Treatment == f.Treatment {
			out[n-1] = append(out[n-1], f)
			continue
		}
		out = append(out, claim{f})
	}
	return out
}

// toldOnSlide are the claims in the order in which an audience wants them:
// the headline, then what is about the leading treatment, then the rest. With
// one specimen of a kind, what became of those comes before that they are few.
func (s *source) toldOnSlide(o order) (out []claim) {
	found := claims(s.told())
	if len(found) > 0 && !s.onlySingles(o.Treatment) {
		out, found = found[:1:1], found[1:]
	}
	for _, leading := range []bool{true, false} {
		for _, c := range found {
			if (c[0].Treatment == o.Treatment) == leading {
				out = append(out, c)
			}
		}
	}
	return out
}

// A slide has room for so many sentences, and so many letters, under its
// headline; one that is too long takes of theirs.
const mostSaid, mostLetters = 3, 420

// someOf are the doubts of the headline, the further claims that there is room for,
// and how many findings there are besides; the headline has named the treatment.
func (s *source) someOf(all []claim, treatment string, headline int) []string {
	out := s.sentences(all[0][1:], treatment)
	room := mostLetters - max(0, headline-mostHeadline)
	for _, text := range out {
		room -= len([]rune(text))
	}
	left, full := 0, false
	for _, c := range all[1:] {
		said := s.sentences(c, treatment)
		need := len([]rune(strings.Join(said, " ")))
		if full = full || len(out)+len(said) > mostSaid || need > room; full {
			left += len(c)
			continue
		}
		out, room = append(out, said...), room-need
	}
	if left > 0 {
		out = append(out, wording.Plural(left, "more finding")+" in the report.")
	}
	return out
}

// sentences says findings, those of a treatment without naming it.
func (s *source) sentences(found []strength.Finding, treatment string) (out []string) {
	for _, f := range found {
		word := wording.Finding
		if f.Treatment == treatment {
			word = wording.FindingSays
		}
		out = append(out, s.headlined(f, word))
	}
	return out
}

// mostRows is how many groups a slide shows; of more, only those of the
// leading treatment, and of these the first.
const mostRows = 14

// shown leaves out what a slide has no room for.
func (s *source) shown(o order) order {
	if s.rows(o) <= mostRows {
		return o
	}
	small := order{Sorted: o.Sorted, Treatment: o.Treatment}
	for _, r := range o.Rows {
		var own []int
		for _, i := range r.Groups {
			if s.results.Groups[i].Treatment == o.Treatment {
				own = append(own, i)
			}
		}
		if r.Groups = own; len(own) > 0 && s.rows(small)+len(own) <= mostRows {
			small.Rows = append(small.Rows, r)
		}
	}
	return small
}

func (s *source) rows(o order) (n int) {
	for _, r := range o.Rows {
		n += len(r.Groups)
	}
	return n
}

// slideForm fills the height that a slide has for its figure.
func (s *source) slideForm(o order) form {
	small := s.shown(o)
	f := form{class: "fig", width: 1720, left: 620, right: 1280, note: 1400, letter: 27, small: 22, r: 7, ticks: 10, reasons: true}
	f.sub = min(52, max(27, (400-8*float64(len(small.Rows)))/float64(max(s.rows(small), 1))))
	for _, r := range small.Rows {
		f.keys = max(f.keys, min(200, letters([]rune(r.Key))*f.letter*letterWidth*bold+keyGap+1))
	}
	return f
}

// foot is one line of caution, with n and where it comes from.
func (s *source) foot(o order) string {
	parts := []string{wording.Plural(len(s.results.Specimens), "specimen")}
	if shown := s.shown(o); s.rows(shown) < s.rows(o) {
		parts = append(parts, fmt.Sprintf("%d of %d groups shown", s.rows(shown), s.rows(o)))
	}
	if g := s.largest(firstKey(o), o.Treatment); g != nil && !s.onlySingles(o.Treatment) {
		parts = append(parts, "thin line: 95 % interval")
	}
	if s.onlySingles(o.Treatment) {
		parts = append(parts, "one specimen of a kind: nothing can be ranked")
	}
	if at := s.asOfText(); at != "" {
		parts = append(parts, at)
	}
	parts = append(parts, "holds for these specimens only", "made "+s.madeText())
	if s.o.Head != "" {
		parts = append(parts, "log head "+shortHash(s.o.Head))
	}
	return strings.Join(parts, " · ")
}

func firstKey(o order) string {
	if len(o.Rows) == 0 {
		return ""
	}
	return o.Rows[0].Key
}
