package station

import "net/http"

// An audience says who may have something.
type audience int

const (
	phones    audience = iota // with the cookie that pairing gave
	anyone                    // the page itself, and what pairs
	guests                    // with the token in the path, {token}; phones too
	calendars                 // with the calendar's token in the query; phones too
)

// A route is one thing that is served.
type route struct {
	pattern string // of http.ServeMux
	who     audience
	body    int64 // the most bytes that come with it; what GET has is nothing
	serve   func(s *Station, w http.ResponseWriter, r *http.Request)
}

// What may come with a request, in bytes.
const (
	noBody    = 0
	smallBody = 64 << 10 // a form
	photoBody = 66 << 20 // a photograph of the most bytes that a study keeps, and its entry
)

// routes is everything that is served, a line each. GET / takes the first page
// alone; what no line is for is told so.
var routes = []route{
	// doors
	{"POST /pair", anyone, 4 << 10, (*Station).servePair},

	// the page
	{"GET /{$}", anyone, noBody, (*Station).servePage},
	{"GET /station.js", anyone, noBody, (*Station).serveScript},
	{"GET /later.js", phones, noBody, (*Station).serveScript},

	// what comes in
	{"POST /take", phones, photoBody, (*Station).take},
	{"POST /read", phones, photoBody, (*Station).read},
	{"GET /state", phones, noBody, (*Station).state},
	{"GET /news", phones, noBody, (*Station).news},
	{"GET /clock", phones, noBody, (*Station).clock},

	// what is shown
	{"GET /show/{name}", phones, noBody, (*Station).serveShow},
	{"GET /shown.css", phones, noBody, (*Station).serveShownStyle},
	{"GET /show/results", phones, noBody, (*Station).serveResults},
	{"GET /show/clock.svg", phones, noBody, (*Station).serveClockSymbol},
	{"GET /report", phones, noBody, (*Station).serveReport},
	{"GET /slide", phones, noBody, (*Station).serveSlide},
	{"GET /papers/{name}", phones, noBody, (*Station).servePaper},
	{"POST /papers/labels.pdf", phones, smallBody, (*Station).servePrint},
	{"GET /photo/{sum}", phones, noBody, (*Station).servePhoto},
	{"GET /calendar.ics", calendars, noBody, (*Station).serveCalendar},
	{"GET /guest/{token}/{$}", guests, noBody, (*Station).serveGuest},
	{"GET /guest/{token}/report", guests, noBody, (*Station).serveReport},
	{"GET /guest/{token}/slide", guests, noBody, (*Station).serveSlide},

	// the reader in the page
	{"GET /reader.js", phones, noBody, (*Station).serveReaderScript},
	{"GET /reader.wasm", phones, noBody, (*Station).serveReader},
}
