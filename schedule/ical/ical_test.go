package ical

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"
	"unicode/utf8"
)

// The checks are those of RFC 5545 (September 2009), the section named beside
// each. The reader below follows the text of the RFC and shares nothing with
// what writes.

var (
	start = time.Date(2026, 3, 17, 10, 58, 30, 500e6, time.FixedZone("", 3600))
	stamp = time.Date(2026, 3, 10, 9, 0, 0, 0, time.UTC)
)

func event() Event {
	return Event{UID: "HBR-017-J.lift-out@soaktag", Start: start, End: start.Add(8 * time.Hour),
		Summary: "lift out bath B2", Description: "HBR-017-J\nHBR-018-L", Sequence: 2}
}

func write(t testing.TB, alarm time.Duration, events ...Event) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, events, stamp, alarm); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// A line is one content line, unfolded and split.
type line struct{ name, params, value string }

// read takes a calendar apart (3.1) and fails on what must not be there.
func read(t testing.TB, text string) []line {
	t.Helper()
	if !utf8.ValidString(text) {
		t.Fatal("not UTF-8 (3.1.4)")
	}
	body, ended := strings.CutSuffix(text, "\r\n")
	if !ended {
		t.Fatal("the last line does not end with CRLF (3.1)")
	}
	var unfolded []string
	for i, physical := range strings.Split(body, "\r\n") {
		checkLine(t, physical)
		if rest, folded := strings.CutPrefix(physical, " "); folded && i > 0 {
			unfolded[len(unfolded)-1] += rest
			continue
		}
		unfolded = append(unfolded, physical)
	}
	var lines []line
	for _, s := range unfolded {
		head, value, ok := strings.Cut(s, ":")
		if !ok {
			t.Fatalf("no colon in %q", s)
		}
		name, params, _ := strings.Cut(head, ";")
		lines = append(lines, line{name, params, value})
	}
	return lines
}

func checkLine(t testing.TB, s string) {
	t.Helper()
	if len(s) > 75 {
		t.Errorf("%d octets in a line: %q (3.1)", len(s), s)
	}
	if !utf8.ValidString(s) {
		t.Errorf("a character is split by folding: %q (3.1)", s)
	}
	if i := strings.IndexFunc(s, func(r rune) bool { return (r < ' ' && r != '\t') || r == 0x7f }); i >= 0 {
		t.Errorf("a control character in %q (3.3.11)", s)
	}
}

// plain undoes the escapes of TEXT (3.3.11) and fails on any other.
func plain(t testing.TB, s string) string {
	t.Helper()
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		switch {
		case s[i] == ',' || s[i] == ';':
			t.Errorf("%q stands bare in %q (3.3.11)", s[i], s)
		case s[i] != '\\':
			b.WriteByte(s[i])
			continue
		}
		if i++; i == len(s) || !strings.ContainsRune(`\;,nN`, rune(s[i])) {
			t.Fatalf("a bad escape in %q (3.3.11)", s)
		}
		b.WriteString(map[byte]string{'\\': `\`, ';': ";", ',': ",", 'n': "\n", 'N': "\n"}[s[i]])
	}
	return b.String()
}

// values gives all values of one property inside a component.
func values(lines []line, component, name string) []string {
	var in, found []string
	for _, l := range lines {
		switch {
		case l.name == "BEGIN":
			in = append(in, l.value)
		case l.name == "END":
			in = in[:len(in)-1]
		case l.name == name && in[len(in)-1] == component:
			found = append(found, l.value)
		}
	}
	return found
}

func only(t testing.TB, lines []line, component, name, want string) {
	t.Helper()
	if got := values(lines, component, name); len(got) != 1 || got[0] != want {
		t.Errorf("%s %s is %q, want once %q", component, name, got, want)
	}
}

func TestWrite(t *testing.T) {
	lines := read(t, write(t, time.Hour, event()))
	only(t, lines, "VCALENDAR", "VERSION", "2.0")                    // 3.7.4
	only(t, lines, "VCALENDAR", "PRODID", "-//soaktag//soaktag//EN") // 3.7.3
	if got := values(lines, "VCALENDAR", "METHOD"); got != nil {
		t.Errorf("METHOD %q changes what DTSTAMP means (3.8.7.2)", got)
	}
	only(t, lines, "VEVENT", "UID", "HBR-017-J.lift-out@soaktag") // 3.8.4.7
	only(t, lines, "VEVENT", "DTSTAMP", "20260310T090000Z")       // 3.8.7.2
	only(t, lines, "VEVENT", "DTSTART", "20260317T095830Z")       // 3.3.5
	only(t, lines, "VEVENT", "DTEND", "20260317T175830Z")
	only(t, lines, "VEVENT", "SEQUENCE", "2")
	only(t, lines, "VEVENT", "SUMMARY", "lift out bath B2")
	only(t, lines, "VEVENT", "DESCRIPTION", `HBR-017-J\nHBR-018-L`)
	only(t, lines, "VEVENT", "TRANSP", "TRANSPARENT")
	only(t, lines, "VALARM", "ACTION", "DISPLAY") // 3.6.6
	only(t, lines, "VALARM", "TRIGGER", "-PT1H")  // 3.8.6.3
	only(t, lines, "VALARM", "DESCRIPTION", "lift out bath B2")
	for _, l := range lines {
		if l.params != "" {
			t.Errorf("%s has parameters %q", l.name, l.params)
		}
	}
}

func TestWriteInstant(t *testing.T) {
	for _, end := range []time.Time{{}, start, start.Add(300 * time.Millisecond)} {
		e := event()
		e.End, e.Description = end, ""
		lines := read(t, write(t, 0, e))
		for _, name := range []string{"DTEND", "DURATION", "DESCRIPTION"} {
			if got := values(lines, "VEVENT", name); got != nil {
				t.Errorf("end %v: %s is %q", end, name, got)
			}
		}
		if got := values(lines, "VALARM", "ACTION"); got != nil {
			t.Error("an alarm that nobody asked for")
		}
	}
}

func TestSafeText(t *testing.T) {
	tests := []struct{ text, want string }{
		{`a, b; c \ d: "e"`, `a, b; c \ d: "e"`},
		{"one\r\ntwo\rthree\nfour\u2028five\u0085six", "one\ntwo\nthree\nfour\nfive\nsix"},
		{"nul \x00 bell \a esc \x1b del \x7f c1 \u009b end", "nul  bell  esc  del  c1  end"},
		{"tab\tstays", "tab\tstays"},
		{"bad \xff\xfe utf \xe2\x82", "bad \uFFFD utf \uFFFD"},
		{"x\r\nEND:VEVENT\r\nBEGIN:VEVENT", "x\nEND:VEVENT\nBEGIN:VEVENT"},
		{`\n is not a break`, `\n is not a break`},
	}
	for _, test := range tests {
		e := event()
		e.Summary, e.Description = test.text, test.text
		lines := read(t, write(t, time.Hour, e))
		for _, place := range [][2]string{{"VEVENT", "SUMMARY"}, {"VEVENT", "DESCRIPTION"}, {"VALARM", "DESCRIPTION"}} {
			got := values(lines, place[0], place[1])
			if len(got) != 1 || plain(t, got[0]) != test.want {
				t.Errorf("%s of %q is %q, want %q", place, test.text, got, test.want)
			}
		}
	}
	// "A colon SHALL NOT be escaped" (3.3.11).
	e := event()
	e.Summary = "18:10"
	only(t, read(t, write(t, 0, e)), "VEVENT", "SUMMARY", "18:10")
}

// Lines of every length around the limit, in characters of 1 to 4 octets.
func TestFolding(t *testing.T) {
	for _, r := range []string{"a", "é", "€", "𝛑", " ", ",", `\`} {
		for n := 1; n < 170; n++ {
			e := event()
			e.Summary = "x" + strings.Repeat(r, n)
			got := values(read(t, write(t, 0, e)), "VEVENT", "SUMMARY")
			if len(got) != 1 || plain(t, got[0]) != e.Summary {
				t.Fatalf("%d times %q came back as %q", n, r, got)
			}
		}
	}
}

// The worked fold of 3.1, in the reader that the other tests trust.
func TestReaderUnfolds(t *testing.T) {
	text := "DESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.\r\n"
	got := read(t, text)
	if len(got) != 1 || got[0].value != "This is a long description that exists on a long line." {
		t.Errorf("%q", got)
	}
}

func TestDuration(t *testing.T) {
	// P15DT5H0M20S is the RFC's own example (3.3.6).
	tests := map[string]string{"1h": "PT1H", "15m": "PT15M", "24h": "P1D", "168h": "P7D", "25h30m": "P1DT1H30M",
		"365h0m20s": "P15DT5H0M20S", "1s": "PT1S", "90s": "PT1M30S", "24h0m5s": "P1DT5S", "1h0m0.9s": "PT1H"}
	for text, want := range tests {
		d, err := time.ParseDuration(text)
		if got := duration(d); err != nil || got != want {
			t.Errorf("duration(%s) = %s, want %s", text, got, want)
		}
	}
}

func TestSameBytes(t *testing.T) {
	a, b, c := event(), event(), event()
	b.UID, b.Start = "b", b.Start.Add(-time.Hour)
	c.UID = "c"
	one, other := write(t, time.Hour, a, b, c), write(t, time.Hour, c, a, b)
	if one != other {
		t.Error("the order of the events changes the bytes")
	}
	want := fmt.Sprint([]string{"b", "HBR-017-J.lift-out@soaktag", "c"})
	if got := fmt.Sprint(values(read(t, one), "VEVENT", "UID")); got != want {
		t.Errorf("order %s, want %s", got, want)
	}
}

// A due date that moves keeps its UID, so that it replaces the old one.
func TestMovedKeepsUID(t *testing.T) {
	e := event()
	e.Start, e.End, e.Sequence = e.Start.Add(48*time.Hour), e.End.Add(48*time.Hour), 3
	lines := read(t, write(t, 0, e))
	only(t, lines, "VEVENT", "UID", event().UID)
	only(t, lines, "VEVENT", "SEQUENCE", "3")
}

func TestRefused(t *testing.T) {
	tests := []struct {
		says   string
		change func(*Event)
	}{
		{"UID", func(e *Event) { e.UID = "" }},
		{"UID", func(e *Event) { e.UID = strings.Repeat("u", 256) }},
		{"UID", func(e *Event) { e.UID = "a\r\nb" }},
		{"summary", func(e *Event) { e.Summary = "\x00" }},
		{"start", func(e *Event) { e.Start = time.Time{} }},
		{"start", func(e *Event) { e.Start = start.AddDate(9000, 0, 0) }},
		{"end", func(e *Event) { e.End = start.Add(-time.Second) }},
		{"sequence", func(e *Event) { e.Sequence = -1 }},
	}
	for _, test := range tests {
		e := event()
		test.change(&e)
		var b bytes.Buffer
		err := Write(&b, []Event{e}, stamp, 0)
		if err == nil || !strings.Contains(err.Error(), test.says) || b.Len() > 0 {
			t.Errorf("%+v: %v, %d bytes; want an error with %q", e, err, b.Len(), test.says)
		}
	}
	if err := Write(&bytes.Buffer{}, []Event{event(), event()}, stamp, 0); err == nil {
		t.Error("two events with one UID were written")
	}
	if err := Write(&bytes.Buffer{}, nil, stamp, 0); !errors.Is(err, ErrEmpty) {
		t.Errorf("no events: %v", err)
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestWriteError(t *testing.T) {
	if err := Write(full{}, []Event{event()}, stamp, 0); err == nil || !strings.Contains(err.Error(), "disk full") {
		t.Errorf("got %v", err)
	}
}

func FuzzWrite(f *testing.F) {
	f.Add("uid", "lift out, then break; soon", "line\r\nline", int64(3600))
	f.Add("uid", "\xff\x00€\\n", strings.Repeat("𝛑", 60), int64(-1))
	f.Fuzz(func(t *testing.T, uid, summary, description string, alarm int64) {
		e := event()
		e.UID, e.Summary, e.Description = uid, summary, description
		var b bytes.Buffer
		if Write(&b, []Event{e}, stamp, time.Duration(alarm)*time.Second) != nil {
			return
		}
		lines := read(t, b.String())
		got := values(lines, "VEVENT", "SUMMARY")
		if len(got) != 1 || plain(t, got[0]) != clean(summary) {
			t.Fatalf("summary %q came back as %q", summary, got)
		}
		if got := values(lines, "VEVENT", "UID"); len(got) != 1 || plain(t, got[0]) != uid {
			t.Fatalf("UID %q came back as %q", uid, got)
		}
	})
}
