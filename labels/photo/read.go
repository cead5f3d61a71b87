// Package photo reads the symbols of labels in photographs, damaged ones too.
//
// It knows what was printed: QR version 1 at level H with one text of capitals
// and digits, and may be given the list of all that exist. A symbol is first
// decoded; where too little is left of it for that, it is recognised among
// what is on the list. Both are said apart.
package photo

import (
	"image"
	"slices"
	"strings"

	"soaktag/labels"
)

// How tells how a symbol was read.
type How string

const (
	// Decoded means that the symbol's own check words carry the text.
	Decoded How = "decoded"
	// Matched means that the symbol looks like one entry of the list and like
	// no other: probable, to be confirmed before it counts.
	Matched How = "matched"
)

// Found is a symbol in a picture.
type Found struct {
	Text      string      // what it says
	Code      labels.Code // the specimen's code with its half; zero unless the text is one
	Half      int         // the half that the code names, 0 for a whole specimen
	How       How
	Corners   [4]Point // of the symbol without its light border, in pixels, clockwise from its own top left
	Errors    int      // code words that were wrong, of 26
	Erasures  int      // code words that were left out because they could not be told
	Margin    float64  // how sure: decoded, the share of check words left unspent; matched, the lead over the next entry
	Ambiguous bool     // another text was found in the same place: ask, never pick
	Foreign   bool     // none of ours, whatever it says
}

// Ours reports whether a symbol is a label, a tag or a card that soaktag printed.
func (f Found) Ours() bool {
	return !f.Foreign && (f.Code.Serial != 0 || strings.HasPrefix(f.Text, "."))
}

// Options say what else is wanted.
type Options struct {
	Any   bool // QR codes that are none of ours too, of every version and level
	Quick bool // what takes long is left out: of a frame of a camera, as another follows
}

// Read returns the symbols of the picture, sorted from top to bottom and then
// from left to right by their first corner: codes of specimens, cards, and on
// request any other. The list may be nil; then nothing is matched. The same
// picture, list and options always give the same answer. Read never changes
// the picture, and several may run at once.
func Read(img image.Image, list *List, o Options) []Found {
	r := newReader(img, list, o)
	if len(r.light) == 0 {
		return nil
	}
	r.firstPass()
	if r.wanting() || o.Any {
		r.generalPass()
	}
	if o.Any {
		r.anyPass()
	}
	r.secondPass()
	if !o.Quick {
		r.longPasses()
	}
	return r.results()
}

// longPasses look for what is blurred, damaged or stained, while anything is wanting.
func (r *reader) longPasses() {
	for _, pass := range []func(){r.blurredPass, r.ringsPass, r.lastPass, r.redPass} {
		if !r.wanting() && !r.many() {
			break
		}
		pass()
	}
}

type reader struct {
	img     image.Image
	list    *List
	options Options
	light   pyramid
	found   []Found
	open    []candidate // finders that belong to nothing found, in pixels of the picture
	weak    []fit       // registered but neither decoded nor matched
	grown   float64     // how many times the picture was enlarged

	strangers []Found // that say a code and are not registered as ours
}

// tiny is the longer side up to which a picture is enlarged first.
const tiny = 400

func newReader(img image.Image, list *List, o Options) *reader {
	r := &reader{img: img, list: list, options: o, grown: 1}
	if b := img.Bounds(); min(b.Dx(), b.Dy()) < size { // less than a pixel a module
		return r
	}
	r.look(lumaOf(img))
	return r
}

// look takes a plane as the picture to be read, enlarged where it is tiny.
func (r *reader) look(p *plane) {
	r.grown = 1
	for max(p.w, p.h) <= tiny {
		p, r.grown = p.double(), r.grown*2
	}
	r.light, r.open, r.weak = newPyramid(p), nil, nil
}

// wanting reports whether there is anything to look for still.
func (r *reader) wanting() bool {
	return len(r.found) == 0 || slices.ContainsFunc(r.open, candidate.strong)
}

// many reports whether the picture shows several symbols: then there may be one
// more that no finder gives away, and it is worth a longer look.
func (r *reader) many() bool { return len(r.found) > 1 }

// file notes a symbol. One that is there already with the same text is not
// noted twice; with another text, both are ambiguous.
func (r *reader) file(f Found) {
	for i := range r.found {
		if g := &r.found[i]; overlap(g.Corners, f.Corners) {
			if g.Text == f.Text {
				return
			}
			g.Ambiguous, f.Ambiguous = true, true
		}
	}
	r.found = append(r.found, f)
}

// overlap reports whether the middle of one symbol lies in the other.
func overlap(a, b [4]Point) bool {
	return inside(a, middle(b), 0) || inside(b, middle(a), 0)
}

func middle(c [4]Point) Point { return c[0].plus(c[1]).plus(c[2]).plus(c[3]).by(0.25) }

// explained reports whether the point lies in a symbol that is found.
func (r *reader) explained(p Point) bool {
	return slices.ContainsFunc(r.found, func(f Found) bool { return inside(f.Corners, p, 0.1) })
}

// close drops the candidates that now belong to a symbol.
func (r *reader) close() {
	r.open = slices.DeleteFunc(r.open, func(c candidate) bool { return r.explained(c.Point) })
}

// results names the codes, drops what is not wanted and sorts.
func (r *reader) results() []Found {
	var out []Found
	r.fileStrangers()
	for _, f := range r.found {
		c, isCode := codeOf(f.Text)
		f.Foreign = f.Foreign || !isCode && !isCard(f.Text)
		if f.Foreign && !r.options.Any {
			continue
		}
		if !f.Foreign {
			f.Code, f.Half = c, c.Half
		}
		for i := range f.Corners {
			f.Corners[i] = f.Corners[i].by(1 / r.grown)
		}
		out = append(out, f)
	}
	slices.SortStableFunc(out, func(a, b Found) int {
		if c := compare(a.Corners[0].Y, b.Corners[0].Y); c != 0 {
			return c
		}
		return compare(a.Corners[0].X, b.Corners[0].X)
	})
	return out
}

// codeOf returns the code that the text is, exactly as it is printed.
func codeOf(text string) (labels.Code, bool) {
	c, err := labels.Parse(text)
	return c, err == nil && c.Packed() == text && c.Valid() == nil
}

// isCard reports whether the text is that of a card, a trial label or a clock
// symbol, exactly as it is printed: any name may be that of a stage, and only
// that of a person has spaces.
func isCard(text string) bool {
	name, marked := strings.CutPrefix(text, ".")
	if !marked || name == "" {
		return false
	}
	who := labels.Card{Kind: labels.CardWho, Name: strings.TrimPrefix(name, "WHO")}
	for _, c := range []labels.Card{{Kind: labels.CardStage, Name: name}, who, {Kind: labels.CardTest}} {
		if c.Text() == text {
			return true
		}
	}
	return false
}
