package report_test

// The elements and attributes that a report may use. Source: HTML Living
// Standard (element index, attribute index, content models), SVG 2 (element and
// property index), WAI-ARIA 1.2 (states and properties).

const voidElements = " area base br col embed hr img input link meta source track wbr "

const (
	htmlGlobal = "class dir hidden id lang role style tabindex title translate"
	svgGlobal  = "class id lang role style tabindex transform clip-path clip-rule color dominant-baseline fill fill-opacity fill-rule " +
		"font-family font-size font-style font-variant font-weight letter-spacing marker-end marker-mid marker-start mask opacity " +
		"paint-order pointer-events shape-rendering stroke stroke-dasharray stroke-dashoffset stroke-linecap stroke-linejoin " +
		"stroke-miterlimit stroke-opacity stroke-width text-anchor text-rendering vector-effect visibility xml:space"
	aria = "aria-label aria-labelledby aria-describedby aria-details aria-hidden aria-current aria-roledescription aria-controls aria-sort"

	phrasing = "a abbr b bdi br cite code data dfn em i img kbd mark q s samp small span strong sub sup svg time u var wbr"
	// phrasingOnly are the elements that hold phrases and nothing else.
	phrasingOnly = "p h1 h2 h3 h4 h5 h6 span em strong b i small sub sup code kbd samp var abbr cite q s u mark time data dfn pre"
	shapes       = "a circle clipPath defs desc ellipse g image line linearGradient marker mask metadata path pattern polygon polyline " +
		"rect style svg switch symbol text title use"
)

// htmlElements are the known elements with the attributes of their own.
var htmlElements = map[string]string{
	"html": "xmlns", "head": "", "title": "", "body": "", "style": "media", "main": "", "header": "", "footer": "", "section": "", "article": "",
	"meta": "charset name content http-equiv", "link": "rel href type sizes media",
	"nav": "", "aside": "", "h1": "", "h2": "", "h3": "", "h4": "", "h5": "", "h6": "", "hgroup": "", "p": "", "pre": "", "blockquote": "cite",
	"div": "", "span": "", "a": "href rel target download", "em": "", "strong": "", "b": "", "i": "", "u": "", "s": "", "small": "", "sub": "", "sup": "",
	"code": "", "kbd": "", "samp": "", "var": "", "abbr": "", "cite": "", "q": "", "mark": "", "bdi": "", "dfn": "", "br": "", "wbr": "", "hr": "",
	"time": "datetime", "data": "value", "ul": "", "ol": "start reversed type", "li": "value", "dl": "", "dt": "", "dd": "",
	"figure": "", "figcaption": "", "img": "src alt width height loading decoding", "details": "open name", "summary": "",
	"table": "", "caption": "", "colgroup": "span", "col": "span", "thead": "", "tbody": "", "tfoot": "", "tr": "",
	"th": "scope colspan rowspan headers abbr", "td": "colspan rowspan headers",
}

// svgElements are the same for drawings.
var svgElements = map[string]string{
	"svg": "xmlns viewBox width height preserveAspectRatio x y", "g": "", "defs": "", "title": "", "desc": "", "style": "type", "switch": "",
	"symbol": "viewBox", "use": "href x y width height", "a": "href", "path": "d pathLength", "line": "x1 y1 x2 y2",
	"rect": "x y width height rx ry", "circle": "cx cy r", "ellipse": "cx cy rx ry", "polyline": "points", "polygon": "points",
	"text": "x y dx dy rotate textLength lengthAdjust", "tspan": "x y dx dy rotate textLength lengthAdjust", "image": "href x y width height",
	"clipPath": "clipPathUnits", "mask": "x y width height", "marker": "refX refY markerWidth markerHeight orient markerUnits viewBox",
	"pattern":        "x y width height patternUnits patternTransform viewBox",
	"linearGradient": "x1 y1 x2 y2 gradientUnits", "stop": "offset stop-color stop-opacity",
}

// childrenOf are the only elements that may stand in one; such an element
// holds no bare text.
var childrenOf = map[string]string{
	"": "html", "html": "head body", "head": "meta title style link", "ul": "li", "ol": "li", "dl": "dt dd div", "hgroup": "h1 h2 h3 h4 h5 h6 p",
	"table": "caption colgroup thead tbody tfoot", "thead": "tr", "tbody": "tr", "tfoot": "tr", "tr": "th td", "colgroup": "col",
	"svg": shapes, "g": shapes, "defs": shapes, "symbol": shapes, "clipPath": "path rect circle ellipse line polygon polyline text use title",
	"marker": shapes, "pattern": shapes, "mask": shapes, "text": "tspan title desc a", "tspan": "tspan title desc a",
	"path": "title desc", "line": "title desc", "rect": "title desc", "circle": "title desc", "ellipse": "title desc", "polyline": "title desc",
	"polygon": "title desc", "use": "title desc", "image": "title desc", "linearGradient": "stop", "title": "", "desc": "", "style": "",
}

// parentsOf are the only elements that one may stand in.
var parentsOf = map[string]string{
	"li": "ul ol", "dt": "dl div", "dd": "dl div", "figcaption": "figure", "summary": "details", "caption": "table", "thead": "table", "tbody": "table",
	"tfoot": "table", "tr": "thead tbody tfoot", "td": "tr", "th": "tr", "col": "colgroup", "main": "body div", "title": "head", "meta": "head",
}

// required are attributes that an element must have. The standard leaves scope
// out; a table that is read aloud needs it.
var required = map[string]string{"html": "lang", "img": "alt src", "a": "href", "th": "scope", "data": "value"}

// firstChild is what an element must begin with. The standard leaves the
// caption out.
var firstChild = map[string]string{"details": "summary", "table": "caption"}
