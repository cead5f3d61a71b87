package report

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"soaktag/tracker/wording"
)

// A ratioPlot draws pairs as ratios with their limits, on a scale on which
// twice and half are equally far from equal.
type ratioPlot struct {
	canvas
	form
	low, high float64 // ends of the axis, as ratios
	y         float64
}

// mostPairs is how many a figure can hold; the table has all of them.
const mostPairs = 45

// An edge is a pair with the stronger first.
type edge struct {
	pair             string
	ratio, low, high float64
	sure             bool
	doubt            string // where it is told apart, and not for sure
}

func drawPairs(rows []pairRow, id, treatment string) figure {
	var edges []edge
	for _, r := range rows {
		c := r.C
		if exact(c.Ratio) == "" || exact(c.Low) == "" || exact(c.High) == "" || *c.Low <= 0 || len(edges) == mostPairs {
			continue
		}
		e := edge{c.A + " / " + c.B, *c.Ratio, *c.Low, *c.High, c.Sure, wording.Unsure(c.Doubt)}
		edges = append(edges, e)
	}
	if len(edges) == 0 {
		return figure{}
	}
	wide := form{class: "fig wide", width: 960, left: 190, right: 880, sub: 23, letter: 14, small: 13, r: 5}
	narrow := form{class: "fig narrow", width: 360, left: 104, right: 344, sub: 23, letter: 13, small: 12, r: 5}
	return figure{ratios(edges, wide, id+"-wide", treatment), ratios(edges, narrow, id+"-narrow", treatment)}
}

func ratios(edges []edge, f form, id, treatment string) template.HTML {
	p := &ratioPlot{form: f, low: 0.8, high: 1.25, y: 6}
	p.w = f.width
	for _, e := range edges {
		p.low, p.high = min(p.low, max(e.low, e.ratio/4)), max(p.high, min(e.high, e.ratio*4))
	}
	bottom := p.y + p.sub*float64(len(edges))
	p.axis(bottom)
	for _, e := range edges {
		p.edge(e)
	}
	p.h = bottom + p.small*3.4
	return p.finish(id, f.class, "Ratios of strengths, "+treatment, edgesInWords(edges))
}

func (p *ratioPlot) at(ratio float64) float64 {
	share := math.Log(ratio/p.low) / math.Log(p.high/p.low)
	return p.left + (p.right-p.left)*min(max(share, 0), 1)
}

// axis marks round ratios that stand far enough apart, "equal" among them.
func (p *ratioPlot) axis(bottom float64) {
	last := p.at(1)
	p.line("even", last, 0, last, bottom)
	p.text("mid", last, bottom+p.small*1.2, p.small, "equal")
	p.text("soft", p.left, bottom+p.small*2.6, p.small, "times as strong")
	for _, v := range []float64{1.1, 1.2, 1.5, 2, 3, 4, 5, 7, 10, 15, 20, 30, 50, 100} {
		if x := p.at(v); v <= p.high && x-last > p.small*3.4 {
			p.line("grid", x, 0, x, bottom)
			p.text("mid soft", x, bottom+p.small*1.2, p.small, "×"+strings.TrimSuffix(fixed(v, 1), ".0"))
			last = x
		}
	}
}

func (p *ratioPlot) edge(e edge) {
	y := p.y + p.sub/2
	p.y += p.sub
	p.named(e.pair, []string{fits(e.pair, p.letter, p.left-12)}, func(line string) { p.text("end", p.left-12, y+p.small*0.35, p.letter, line) })
	p.line("limit", p.at(e.low), y, p.at(e.high), y)
	x, class := p.at(e.ratio), "tie"
	if e.sure {
		class = "odds"
	}
	p.closed(class, x, y-p.r, x+p.r, y, x, y+p.r, x-p.r, y)
}

func edgesInWords(edges []edge) string {
	var all []string
	for _, e := range edges {
		word := "not told apart"
		switch {
		case e.sure:
			word = "told apart"
		case e.doubt != "":
			word = "the readings differ, but " + e.doubt
		}
		all = append(all, fmt.Sprintf("%s: %s (%s to %s), %s", e.pair, fixed(e.ratio, 2), fixed(e.low, 2), fixed(e.high, 2), word))
	}
	return strings.Join(all, ". ") + "."
}
