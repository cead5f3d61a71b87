package report_test

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"os/exec"
	"regexp"
	"slices"
	"strings"
)

// The report is written so that it is well-formed XML and HTML at once: each
// element closed where it was opened, each attribute quoted. That is more than
// HTML asks for, and it makes faults visible that a browser mends without a
// word. What is allowed where is the HTML standard's (html.spec.whatwg.org) and
// SVG 2's, as far as a report needs it; an element or attribute that is not in
// the tables of browser_rules_test.go is a fault until somebody adds it there.

// A node is an element of a page, as it was written.
type node struct {
	name, text string // text is its own, without that of elements in it
	attrs      []xml.Attr
	parent     *node
	children   []*node
	svg        bool
	line       int
}

func (n *node) attr(name string) (string, bool) {
	for _, a := range n.attrs {
		if attrName(a) == name {
			return a.Value, true
		}
	}
	return "", false
}

func attrName(a xml.Attr) string {
	if a.Name.Space != "" {
		return a.Name.Space + ":" + a.Name.Local
	}
	return a.Name.Local
}

// all lists the node and everything in it, as the page goes.
func (n *node) all() []*node {
	list := []*node{n}
	for _, c := range n.children {
		list = append(list, c.all()...)
	}
	return list
}

// within reports whether the node lies in an element of one of these names.
func (n *node) within(names ...string) bool {
	for p := n.parent; p != nil; p = p.parent {
		if slices.Contains(names, p.name) {
			return true
		}
	}
	return false
}

// outline is the page's elements and what lies in what: "ul(li,li(b))".
func (n *node) outline() string {
	if len(n.children) == 0 {
		return n.name
	}
	var parts []string
	for _, c := range n.children {
		parts = append(parts, c.outline())
	}
	return n.name + "(" + strings.Join(parts, ",") + ")"
}

// A reading is one pass through the text of a page.
type reading struct {
	page   []byte
	xml    *xml.Decoder
	root   node
	top    *node
	faults []string
}

// readMarkup reads a page strictly and lists what is wrong with its tags. It
// stops where the text is not well-formed.
func readMarkup(page []byte) (*node, []string) {
	r := &reading{page: page, xml: xml.NewDecoder(bytes.NewReader(page))}
	r.xml.Entity = xml.HTMLEntity
	r.top = &r.root
	if !bytes.HasPrefix(page, []byte("<!DOCTYPE html>")) {
		r.fault("does not begin with <!DOCTYPE html>")
	}
	for {
		token, err := r.xml.RawToken()
		if err == io.EOF {
			break
		}
		if err != nil {
			r.fault("not well-formed: %v", err)
			return &r.root, r.faults
		}
		r.take(token)
	}
	for n := r.top; n != &r.root; n = n.parent {
		r.fault("<%s> of line %d is never closed", n.name, n.line)
	}
	return &r.root, r.faults
}

func (r *reading) fault(format string, a ...any) {
	line, _ := r.xml.InputPos()
	r.faults = append(r.faults, fmt.Sprintf("line %d: ", line)+fmt.Sprintf(format, a...))
}

func (r *reading) take(token xml.Token) {
	switch t := token.(type) {
	case xml.StartElement:
		r.open(t)
	case xml.EndElement:
		r.shut(t.Name.Local)
	case xml.CharData:
		r.top.text += string(t)
	case xml.ProcInst:
		r.fault("<?%s is no part of HTML", t.Target)
	}
}

func (r *reading) open(t xml.StartElement) {
	line, _ := r.xml.InputPos()
	n := &node{name: t.Name.Local, attrs: t.Copy().Attr, parent: r.top, line: line}
	n.svg = n.name == "svg" || r.top.svg && r.top.name != "foreignObject"
	r.top.children = append(r.top.children, n)
	closed := bytes.HasSuffix(r.page[:r.xml.InputOffset()], []byte("/>"))
	void := strings.Contains(voidElements, " "+n.name+" ")
	if closed && !void && !n.svg {
		r.fault("<%s/> does not close <%s> in HTML", n.name, n.name)
	}
	if !void || closed { // of a closed one the end comes as a token of its own
		r.top = n
	}
}

func (r *reading) shut(name string) {
	if r.top.name == name {
		r.top = r.top.parent
		return
	}
	r.fault("</%s> where <%s> of line %d is open", name, r.top.name, r.top.line)
	for n := r.top; n != nil; n = n.parent {
		if n.name == name {
			r.top = n.parent
		}
	}
}

// judgeMarkup reads a page strictly and lists everything that breaks a rule.
func judgeMarkup(page []byte) []string {
	root, faults := readMarkup(page)
	j := &judge{faults: faults, ids: map[string]int{}}
	for _, n := range root.all()[1:] {
		j.ids[orNone(n.attr("id"))]++
	}
	for _, n := range root.all()[1:] {
		j.element(n)
	}
	j.document(root, page)
	return j.faults
}

func orNone(s string, _ bool) string { return s }

// A judge collects what breaks the rules about elements.
type judge struct {
	faults []string
	ids    map[string]int
}

func (j *judge) fault(n *node, format string, a ...any) {
	j.faults = append(j.faults, fmt.Sprintf("line %d: <%s>: ", n.line, n.name)+fmt.Sprintf(format, a...))
}

func (j *judge) element(n *node) {
	j.place(n)
	j.attributes(n)
	j.wants(n)
	if n.svg {
		j.drawing(n)
	}
}

// place asks whether an element, and text, may stand where it stands.
func (j *judge) place(n *node) {
	in := n.parent.name
	known := htmlElements
	if n.svg {
		known = svgElements
	}
	if _, ok := known[n.name]; !ok {
		j.fault(n, "not an element that the rules know")
	}
	if only, ok := childrenOf[in]; ok && !listed(only, n.name) {
		j.fault(n, "may not stand in <%s>", in)
	}
	if listed(phrasingOnly, in) && !n.svg && !listed(phrasing, n.name) {
		j.fault(n, "may not stand in <%s>, which holds phrases", in)
	}
	if only, ok := parentsOf[n.name]; ok && !n.svg && !listed(only, in) {
		j.fault(n, "may stand in %s only, not in <%s>", only, in)
	}
	if listed("a button summary label", n.name) && n.within("a", "button") {
		j.fault(n, "may not stand in a link or button")
	}
	if _, strict := childrenOf[n.name]; strict && !listed("title desc style script text tspan", n.name) && strings.TrimSpace(n.text) != "" {
		j.fault(n, "holds bare text %q", strings.TrimSpace(n.text))
	}
}

func listed(words, word string) bool { return slices.Contains(strings.Fields(words), word) }

var (
	inURL  = regexp.MustCompile(`url\(["']?#([^"')]*)`)
	isTime = regexp.MustCompile(`^(\d{4}-\d\d-\d\d([T ]\d\d:\d\d(:\d\d(\.\d{1,3})?)?(Z|[+-]\d\d:?\d\d)?)?|P[0-9DTHMS.]+)$`)
)

func (j *judge) attributes(n *node) {
	own, global := htmlElements[n.name], htmlGlobal
	if n.svg {
		own, global = svgElements[n.name], svgGlobal
	}
	seen := map[string]bool{}
	for _, a := range n.attrs {
		name := attrName(a)
		if seen[name] {
			j.fault(n, "has %s twice", name)
		}
		seen[name] = true
		if !listed(own, name) && !listed(global, name) && !strings.HasPrefix(name, "data-") && !listed(aria, name) {
			j.fault(n, "has %s, which the rules do not know there", name)
		}
		j.value(n, name, a.Value)
	}
}

func (j *judge) value(n *node, name, value string) {
	switch {
	case name == "id" && (value == "" || strings.ContainsAny(value, " \t\n")):
		j.fault(n, "id %q is empty or holds a space", value)
	case name == "id" && j.ids[value] > 1:
		j.fault(n, "id %q stands %d times", value, j.ids[value])
	case listed("aria-labelledby aria-describedby aria-controls aria-details headers for", name):
		for _, id := range strings.Fields(value) {
			j.refers(n, name, id)
		}
	case name == "href" && strings.HasPrefix(value, "#") && value != "#":
		j.refers(n, name, value[1:])
	case name == "datetime" && !isTime.MatchString(value):
		j.fault(n, "datetime %q is no time", value)
	}
	for _, m := range inURL.FindAllStringSubmatch(value, -1) {
		j.refers(n, name, m[1])
	}
}

func (j *judge) refers(n *node, name, id string) {
	if j.ids[id] == 0 {
		j.fault(n, "%s points at %q, which is nowhere", name, id)
	}
}

// wants asks for what an element must have.
func (j *judge) wants(n *node) {
	for _, name := range strings.Fields(required[n.name]) {
		if _, ok := n.attr(name); !ok && !n.svg {
			j.fault(n, "lacks %s", name)
		}
	}
	first := ""
	if len(n.children) > 0 {
		first = n.children[0].name
	}
	if want, ok := firstChild[n.name]; ok && first != want {
		j.fault(n, "must begin with <%s>", want)
	}
	if n.name == "figure" && slices.ContainsFunc(n.children, func(c *node) bool { return c.name == "figcaption" }) {
		if _, ok := n.attr("role"); ok {
			j.fault(n, "has a caption, so it may not have a role")
		}
	}
	if n.name == "svg" && !n.parent.svg && orNone(n.attr("aria-hidden")) != "true" {
		j.figure(n)
	}
}

// figure asks that a drawing says what it shows.
func (j *judge) figure(n *node) {
	var names []string
	for _, c := range n.children {
		if listed("title desc", c.name) && strings.TrimSpace(c.text) != "" {
			names = append(names, c.name)
		}
	}
	if strings.Join(names, " ") != "title desc" || len(n.children) < 2 || n.children[0].name != "title" {
		j.fault(n, "must begin with a title and have a description, both with words in them")
	}
	if orNone(n.attr("role")) != "img" || orNone(n.attr("aria-labelledby")) == "" {
		j.fault(n, `must have role="img" and aria-labelledby`)
	}
}

const number = `[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?`

var (
	isNumber = regexp.MustCompile(`^` + number + `(px|em|rem|%)?$`)
	isPath   = regexp.MustCompile(`^\s*[Mm]([MmLlHhVvCcSsQqTtAaZz\s,]|` + number + `)+$`)
	isPoints = regexp.MustCompile(`^[\s,]*` + number + `([\s,]+` + number + `)*[\s,]*$`)
	noNumber = regexp.MustCompile(`(?i)\b(nan|[-+]?inf(inity)?|undefined|%!)`)
)

// drawing asks that what is drawn has numbers for numbers.
func (j *judge) drawing(n *node) {
	for _, a := range n.attrs {
		name := attrName(a)
		ok := true
		switch {
		case listed("x y x1 y1 x2 y2 cx cy r rx ry width height dx dy font-size stroke-width opacity fill-opacity stroke-opacity", name):
			ok = isPoints.MatchString(a.Value) && listed("x y dx dy", name) || isNumber.MatchString(a.Value)
			ok = ok && (!listed("r rx ry width height font-size stroke-width", name) || !strings.HasPrefix(a.Value, "-"))
		case name == "d":
			ok = isPath.MatchString(a.Value)
		case listed("points viewBox", name):
			ok = isPoints.MatchString(a.Value)
		case listed("transform style", name):
			ok = !noNumber.MatchString(a.Value)
		}
		if !ok {
			j.fault(n, "%s is %q", name, a.Value)
		}
	}
}

// document asks for what a page as a whole must have.
func (j *judge) document(root *node, page []byte) {
	count := map[string]int{}
	for _, n := range root.all()[1:] {
		if !n.svg {
			count[n.name]++
		}
		if text := n.text; noNumber.MatchString(text) && !listed("style script", n.name) {
			j.fault(n, "says %q", strings.TrimSpace(text))
		}
	}
	for _, name := range []string{"html", "head", "body", "title", "main", "h1"} {
		if count[name] != 1 {
			j.faults = append(j.faults, fmt.Sprintf("page: has %d <%s>, not one", count[name], name))
		}
	}
	if !bytes.Contains(page[:min(1024, len(page))], []byte(`<meta charset="utf-8"`)) {
		j.faults = append(j.faults, `page: no <meta charset="utf-8"> in its first 1024 bytes`)
	}
}

// Tidy of 2017 does not know all of today's HTML: <data>, an id on the title of
// a drawing, and groups in a list of terms.
var (
	tidyErrs  = regexp.MustCompile(`<title> proprietary attribute "id"|<data> is not approved by W3C`)
	termLists = regexp.MustCompile(`(?s)<dl[ >].*?</dl>`)
	groupTags = regexp.MustCompile(`</?div[^>]*>`)
)

// judgeTidy lists what tidy, which is not ours, finds in a page. It does not
// look into drawings.
func judgeTidy(page []byte) []string {
	page = termLists.ReplaceAllFunc(page, func(list []byte) []byte { return groupTags.ReplaceAll(list, nil) })
	tidy := exec.Command("tidy", "-quiet", "-errors", "-utf8", "--show-info", "no", "--drop-empty-elements", "no", "--new-inline-tags", "data")
	tidy.Stdin = bytes.NewReader(page)
	out, _ := tidy.CombinedOutput() // its status only says that there is something to say
	var faults []string
	for line := range strings.Lines(string(out)) {
		if (strings.Contains(line, "Warning:") || strings.Contains(line, "Error:")) && !tidyErrs.MatchString(line) {
			faults = append(faults, "tidy: "+strings.TrimSpace(line))
		}
	}
	return faults
}
