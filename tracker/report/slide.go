package report

import (
	"fmt"
	"html/template"
	"slices"
	"strings"
)

// A slide is one page for an audience.
type slide struct {
	Title    string
	Headline string
	Long     bool
	More     string // the next finding
	Dots     template.HTML
	Empty    bool
	Running  string
	Key      string
	Foot     string
}

func newSlide(s *source) slide {
	v := slide{Title: s.study.Title, Headline: s.study.Title, Running: s.running(), Empty: len(s.results.Groups) == 0}
	if found := s.results.Findings; len(found) > 0 {
		v.Headline = asSentence(found[0])
	}
	v.More = s.second()
	v.Long = len(v.Headline) > 110
	o := s.orderOf()
	if !v.Empty {
		v.Dots = s.dots(s.shown(o), s.slideForm(o), "dots")
	}
	v.Foot = s.foot(o)
	return v
}

// second is the finding under the headline: the next about the leading
// treatment, else whatever comes next.
func (s *source) second() string {
	found := s.results.Findings
	if len(found) < 2 {
		return ""
	}
	about := func(text string) bool { return strings.HasPrefix(text, s.leading()+": ") }
	return asSentence(found[1+max(0, slices.IndexFunc(found[1:], about))])
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
	f := form{class: "fig", width: 1720, left: 620, right: 1330, note: 1450, letter: 27, small: 22, r: 7, ticks: 10}
	f.sub = min(52, max(27, (400-8*float64(len(small.Rows)))/float64(max(s.rows(small), 1))))
	for _, r := range small.Rows {
		f.keys = max(f.keys, min(200, float64(len([]rune(r.Key)))*f.letter*letterWidth*bold+16))
	}
	return f
}

// foot is one line of caution, with n and where it comes from.
func (s *source) foot(o order) string {
	parts := []string{plural(len(s.results.Specimens), "specimen")}
	if shown := s.shown(o); s.rows(shown) < s.rows(o) {
		parts = append(parts, fmt.Sprintf("%d of %d groups shown", s.rows(shown), s.rows(o)))
	}
	if g := s.largest(firstKey(o), o.Treatment); g != nil && !s.anySingle(o.Treatment) {
		parts = append(parts, "thin line: 95 % interval")
	}
	if s.anySingle(o.Treatment) {
		parts = append(parts, "one specimen of a kind: nothing can be ranked")
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
