package station

import (
	"bytes"
	"image"
	_ "image/jpeg"
	"net/http"
	"net/url"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"

	"soaktag/labels/photo"
	"soaktag/labels/qr"
	"soaktag/tracker"
)

// fetch is one request with its answer's header.
func (v *visitor) fetch(path string) (*http.Response, string) {
	v.t.Helper()
	answer, err := v.client.Do(v.request("GET", path, ""))
	if err != nil {
		v.t.Fatal(err)
	}
	defer answer.Body.Close()
	var body bytes.Buffer
	if _, err := body.ReadFrom(answer.Body); err != nil {
		v.t.Fatal(err)
	}
	return answer, body.String()
}

func TestPhotographIsShown(t *testing.T) {
	b := lived(t, smallPlan, nil)
	ann, sum := b.paired("Ann"), tracker.PhotoSum(picture(t))
	answer, body := ann.fetch("/photo/" + sum)
	if body != string(picture(t)) || answer.Header.Get("Content-Type") != "image/jpeg" || answer.Header.Get("X-Content-Type-Options") != "nosniff" {
		t.Errorf("%d bytes, %v", len(body), answer.Header)
	}
	if keep := answer.Header.Get("Cache-Control"); !strings.Contains(keep, "immutable") || !strings.Contains(keep, "private") {
		t.Errorf("it may be kept: %q", keep)
	}
	_, small := ann.fetch("/photo/" + sum + "?small")
	about, kind, err := image.DecodeConfig(strings.NewReader(small))
	if err != nil || kind != "jpeg" || about.Width > smallSide || about.Width < smallSide/2 {
		t.Errorf("small it is %v, %s, %v", about, kind, err)
	}
	for _, other := range []string{tracker.PhotoSum(nil), "..%2f..%2fbench.soaktag", strings.ToUpper(sum), "x"} {
		if status, _ := ann.get("/photo/" + other); status != 404 {
			t.Errorf("%s: %d", other, status)
		}
	}
	if status, _ := b.stranger().get("/photo/" + sum); status != 401 {
		t.Errorf("a stranger gets %d", status)
	}
}

// TestReportCannotRun: whatever stands in the report, a browser runs nothing of it.
func TestReportCannotRun(t *testing.T) {
	ann := lived(t, smallPlan, nil).paired("Ann")
	for _, path := range []string{"/report", "/slide"} {
		answer, body := ann.fetch(path)
		rules := answer.Header.Get("Content-Security-Policy")
		if answer.StatusCode != 200 || !strings.Contains(body, "Two adhesives") {
			t.Fatalf("%s: %d %.200s", path, answer.StatusCode, body)
		}
		for _, want := range []string{"default-src 'none'", "sandbox"} {
			if !strings.Contains(rules, want) {
				t.Errorf("%s: no %s in %q", path, want, rules)
			}
		}
		if strings.Contains(rules, "script-src") || strings.Contains(rules, "allow-scripts") || strings.Contains(rules, "allow-same-origin") {
			t.Errorf("%s may run something: %q", path, rules)
		}
	}
}

// TestReportIsKept: a report is made anew when something was recorded, or after a while.
func TestReportIsKept(t *testing.T) {
	b := lived(t, smallPlan, nil)
	ann := b.paired("Ann")
	_, first := ann.fetch("/report")
	b.pass(30 * time.Second)
	if _, again := ann.fetch("/report"); again != first {
		t.Error("it is made anew though nothing happened")
	}
	b.record(b.clock(), "changed", noteOn("4"))
	if _, again := ann.fetch("/report"); again == first {
		t.Error("it is the old one though something was recorded")
	}
}

// TestGuest: a guest's link shows results and report, and opens nothing else.
func TestGuest(t *testing.T) {
	b := lived(t, smallPlan, nil)
	guest, home := b.stranger(), strings.TrimPrefix(b.GuestURL(), b.URL(""))
	for _, path := range []string{"", "report", "slide"} {
		if answer, body := guest.fetch(home + path); answer.StatusCode != 200 || !strings.Contains(body, "Two adhesives") {
			t.Errorf("%q: %d %.200s", path, answer.StatusCode, body)
		}
	}
	token := strings.Trim(strings.TrimPrefix(home, "/guest/"), "/")
	for path, want := range map[string]int{
		"/guest/0000/": 404, "/guest/" + token + "x/report": 404, home + "show/due": 404, home + "../report": 404, home + "papers/cards.pdf": 404,
		"/show/due": 401, "/report": 401, "/papers/cards.pdf": 401, "/calendar.ics?token=" + token: 404, "/calendar.ics": 404,
		"/photo/" + tracker.PhotoSum(picture(t)): 401, "/show/clock.svg": 401,
	} {
		if status, _ := guest.get(path); status != want {
			t.Errorf("%s: %d, want %d", path, status, want)
		}
	}
	if answer, _ := guest.fetch(home); !strings.Contains(answer.Header.Get("Content-Security-Policy"), "style-src 'self' 'sha256-") {
		t.Errorf("its style is not let through: %v", answer.Header)
	}
}

// TestGuestStyle compares the hash that the policy names with that of the style as it
// is sent (CSP level 3, 2.3.1: of the element's text).
func TestGuestStyle(t *testing.T) {
	b := lived(t, smallPlan, nil)
	_, body := b.stranger().fetch(strings.TrimPrefix(b.GuestURL(), b.URL("")))
	style := regexp.MustCompile(`(?s)<style>(.*)</style>`).FindStringSubmatch(body)
	if style == nil || hashOf(style[1]) != guestStyle {
		t.Errorf("the style is not the one that is let through: %q", style)
	}
}

func TestCalendarIsSubscribedTo(t *testing.T) {
	b := lived(t, smallPlan, nil)
	path := strings.TrimPrefix(b.CalendarURL(), b.URL(""))
	answer, body := b.stranger().fetch(path)
	if answer.StatusCode != 200 || !strings.HasPrefix(answer.Header.Get("Content-Type"), "text/calendar") || !strings.Contains(body, "SUMMARY:HBR: lift-out") {
		t.Errorf("%d %v\n%s", answer.StatusCode, answer.Header, body)
	}
	if n := strings.Count(body, "BEGIN:VEVENT"); n < 2 {
		t.Errorf("%d entries", n)
	}
	if _, shown := b.paired("Ann").get("/show/calendar"); !strings.Contains(shown, "webcal://"+b.Address+"/calendar.ics?token=") {
		t.Errorf("no link to subscribe to:\n%s", shown)
	}
}

func TestEmptyCalendar(t *testing.T) {
	b := newBench(t) // nothing is glued, and the plan has no date for it
	if status, body := b.stranger().get(strings.TrimPrefix(b.CalendarURL(), b.URL(""))); status != 200 || !strings.HasPrefix(body, "BEGIN:VCALENDAR\r\n") {
		t.Errorf("%d %s", status, body)
	}
}

// TestClockSymbol reads the symbol that is shown as the reader of photographs does.
func TestClockSymbol(t *testing.T) {
	b := newBench(t)
	b.pass(90 * time.Second)
	answer, body := b.paired("Ann").fetch("/show/clock.svg")
	symbol, err := qr.Encode(photo.ClockText(b.clock()))
	if err != nil || body != symbol.SVG() || answer.Header.Get("Content-Type") != "image/svg+xml" || answer.Header.Get("Cache-Control") != "no-store" {
		t.Errorf("%v %v\n%s", err, answer.Header, body)
	}
}

func TestPapers(t *testing.T) {
	ann := lived(t, smallPlan, nil).paired("Ann")
	for _, name := range []string{"cut", "lift-out", "break", "faces", "cards", url.PathEscape("clamp removal")} {
		answer, body := ann.fetch("/papers/" + name + ".pdf")
		done := name == url.PathEscape("clamp removal") // everybody's clamps are off
		switch {
		case done && (answer.StatusCode != 409 || !strings.Contains(body, "no specimen still has its clamp removal to come")):
			t.Errorf("%s: %d %q", name, answer.StatusCode, body)
		case !done && (answer.StatusCode != 200 || answer.Header.Get("Content-Type") != "application/pdf" || !strings.HasPrefix(body, "%PDF-")):
			t.Errorf("%s: %d %.100q", name, answer.StatusCode, body)
		}
	}
	for _, name := range []string{"cut", "nothing.pdf", "labels.pdf", "labels.pdf?with=x&start=1", "..%2fbench.pdf"} {
		if status, _ := ann.get("/papers/" + name); status != 404 {
			t.Errorf("%s: %d", name, status)
		}
	}
}

// TestLabelsArePrintedOnce: the form records each label once, and its paper can be
// loaded again and again.
func TestLabelsArePrintedOnce(t *testing.T) {
	b := lived(t, smallPlan, nil)
	ann := b.paired("Ann")
	form := url.Values{"stock": {"a4 3x9 63.5x29.6"}, "start": {"3"}}
	paper, first := ann.submit("/papers/labels.pdf", form)
	if !strings.HasPrefix(first, "%PDF-") || b.issued() != 16 {
		t.Fatalf("%d are issued: %.200q", b.issued(), first)
	}
	b.pass(time.Minute)
	if _, again := ann.get(paper); again != first || b.issued() != 16 {
		t.Errorf("loaded again it is another paper, and %d are issued", b.issued())
	}
	if _, body := ann.submit("/papers/labels.pdf", form); body != "every label is printed already\n" {
		t.Errorf("%q", body)
	}
	if _, body := ann.submit("/papers/labels.pdf", url.Values{"stock": {"roll 50x25"}, "code": {"HBR-004-V"}}); !strings.HasPrefix(body, "%PDF-") || b.issued() != 18 {
		t.Errorf("%d are issued: %.200q", b.issued(), body)
	}
	for _, bad := range []url.Values{{"stock": {"a4"}}, {"stock": {"roll 50x25"}, "code": {"HBR-999"}}, {"stock": {"a4 3x9 63.5x29.6"}, "code": {"4"}, "start": {"99"}}} {
		if _, body := ann.submit("/papers/labels.pdf", bad); strings.HasPrefix(body, "%PDF-") || b.issued() != 18 {
			t.Errorf("%v: %d are issued: %.200q", bad, b.issued(), body)
		}
	}
}

// submit sends a form and follows to where it leads.
func (v *visitor) submit(path string, form url.Values) (led, body string) {
	v.t.Helper()
	r := v.request("POST", path, form.Encode())
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	answer, err := v.client.Do(r)
	if err != nil {
		v.t.Fatal(err)
	}
	defer answer.Body.Close()
	var text bytes.Buffer
	if _, err := text.ReadFrom(answer.Body); err != nil {
		v.t.Fatal(err)
	}
	return answer.Request.URL.RequestURI(), text.String()
}

// issued counts the labels whose print is on record.
func (b *bench) issued() (n int) {
	_ = b.withRecord(func(rec *tracker.Record, _ time.Time) error {
		for _, e := range rec.Events() {
			if e.Kind == tracker.Issued {
				n++
			}
		}
		return nil
	})
	return n
}

// TestShownByTidy has every fragment judged by tidy, which is not ours.
func TestShownByTidy(t *testing.T) {
	tidy, err := exec.LookPath("tidy")
	if err != nil && inFull() {
		t.Fatal("no HTML checker (tidy): apt-get install tidy")
	}
	if err != nil {
		t.Skip("no HTML checker (tidy): apt-get install tidy")
	}
	ann := lived(t, smallPlan, nil).paired("Ann")
	for name, path := range shownPages {
		_, body := ann.get("/show/" + path)
		check := exec.Command(tidy, "-quiet", "-errors", "-utf8", "--show-info", "no", "--drop-empty-elements", "no")
		check.Stdin = strings.NewReader("<!DOCTYPE html><html lang=\"en\"><head><title>x</title></head><body>" + body + "</body></html>")
		out, _ := check.CombinedOutput() // its status only says that there is something to say
		for line := range strings.Lines(string(out)) {
			if !newerThanTidy.MatchString(line) {
				t.Errorf("%s: %s", name, line)
			}
		}
	}
}

// newerThanTidy are attributes of the HTML standard that tidy does not know yet.
var newerThanTidy = regexp.MustCompile(`<(input|img)> proprietary attribute "(inputmode|autocapitalize|loading)"`)
