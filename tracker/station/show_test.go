package station

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// lived is a bench whose specimens were glued, soaked and partly broken: 3 and 4 went
// into B1, 7 and 8 into B2, a day later than 4 the rest; 3 is broken, 7 fell apart, 6
// is lost. The note of 3 is what a stranger might write, and so is its own name.
func lived(t testing.TB, plan string, change func([]tracker.Specimen)) *bench {
	specimens := dealt()
	if change != nil {
		change(specimens)
	}
	b := benchOf(t, begun(t, plan, specimens))
	b.record(noon, "", intake.Stage{Subjects: []string{"1-8"}, Name: "glue-up"})
	b.record(noon.Add(24*time.Hour), "", intake.Stage{Subjects: []string{"1-8"}, Name: "clamp removal"})
	b.record(noon.Add(8*24*time.Hour), "", intake.Stage{Subjects: []string{"3", "4", "7", "8"}, Name: "immersion"})
	b.record(noon.Add(9*24*time.Hour), hostile, intake.Stage{Subjects: []string{"3"}})
	b.record(noon.Add(15*24*time.Hour), "", intake.Stage{Subjects: []string{"3"}, Name: "lift-out"})
	b.record(noon.Add(15*24*time.Hour+10*time.Minute), "", intake.Try{Subject: "3", Reading: "7 MPa", Ended: "separated"})
	b.record(noon.Add(15*24*time.Hour+20*time.Minute), "", intake.Try{Subject: "7", Ended: "fell apart"})
	b.record(noon.Add(15*24*time.Hour+30*time.Minute), "", intake.Stage{Subjects: []string{"6"}, Name: "lost"})
	b.record(noon.Add(15*24*time.Hour+40*time.Minute), "", intake.Faces{Subject: "3/1", WoodFailure: "30", Picture: picture(t)})
	b.pass(noon.Add(15*24*time.Hour + time.Hour).Sub(b.clock()))
	return b
}

const hostile = `<script>alert(1)</script><img src=x onerror=alert(2)> "quoted' & {{.}}`

// noteOn is a remark about a specimen; what it says stands in the entry.
func noteOn(code string) intake.Input { return intake.Stage{Subjects: []string{code}} }

// record has a desk take something at an instant, which the clock then shows.
func (b *bench) record(at time.Time, note string, form intake.Input) {
	b.t.Helper()
	b.pass(at.Sub(b.clock()))
	e := intake.Now(at)
	e.Note = note
	desk, err := intake.Open(b.DB, e, b.clock)
	if err != nil {
		b.t.Fatal(err)
	}
	if _, err := desk.Take(form); err != nil {
		b.t.Fatal(err)
	}
}

// picture is a photograph of 800 x 600 pixels with nothing in it.
func picture(t testing.TB) []byte {
	p := image.NewGray(image.Rect(0, 0, 800, 600))
	for i := range p.Pix {
		p.Pix[i] = uint8(i / 800 * 255 / 600)
	}
	p.Set(0, 0, color.White)
	var out bytes.Buffer
	if err := jpeg.Encode(&out, p, nil); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// shownPages are the fragments that there are, by the name of their golden file.
var shownPages = map[string]string{
	"asks": "asks", "due": "due", "due-all": "due?all=1", "baths": "bath", "bath": "bath?name=B1", "bath-fell-apart": "bath?name=B2",
	"specimens": "specimen", "specimen-broken": "specimen?code=3", "specimen-soaking": "specimen?code=4", "specimen-blind": "specimen?code=1",
	"specimen-lost": "specimen?code=6", "specimen-fell-apart": "specimen?code=7",
	"drift": "drift", "results": "results", "papers": "papers", "clock": "clock",
}

// TestShown compares every fragment with the one kept of it. These are golden files, no
// check values: SOAKTAG_REWRITE=1 writes them anew, and the difference is read.
func TestShown(t *testing.T) {
	ann := lived(t, smallPlan, nil).paired("Ann's phone")
	for name, path := range shownPages {
		t.Run(name, func(t *testing.T) {
			status, got := ann.get("/show/" + path)
			if status != 200 {
				t.Fatalf("%d %s", status, got)
			}
			golden := filepath.Join("testdata", "show", name+".html")
			if os.Getenv("SOAKTAG_REWRITE") == "1" {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil || string(want) != got {
				t.Errorf("%v; it shows\n%s", err, got)
			}
		})
	}
}

// TestShownIsHarmless puts script into everything that a person or a stranger may name,
// and looks at every fragment for what could run, as a parser sees it that is not ours.
func TestShownIsHarmless(t *testing.T) {
	plan := strings.ReplaceAll(smallPlan, `"Two adhesives"`, `"<script>alert(0)</script>"`)
	plan = strings.ReplaceAll(plan, `name = "casein"`, `name = "casein\"><script>alert(3)</script>"`)
	b := lived(t, plan, func(all []tracker.Specimen) {
		for i := range all {
			all[i].Name = `<b onclick="alert(4)">` + all[i].Code.String()
			if all[i].Bath != "" {
				all[i].Bath = `T"><script>alert(5)</script>`
			}
		}
	})
	ann := b.paired(`<script>alert(6)</script>`)
	b.record(b.clock(), "", intake.Stage{Subjects: []string{"4"}, Name: "damaged"})
	pages := map[string]string{"bath of another name": "/show/bath?name=" + url.QueryEscape(`T"><script>alert(5)</script>`), "links": "/show/calendar", "guests": "/show/guest"}
	for name, path := range shownPages {
		pages[name] = "/show/" + path
	}
	for name, path := range pages {
		t.Run(name, func(t *testing.T) {
			status, got := ann.get(path)
			if status != 200 {
				t.Fatalf("%d %s", status, got)
			}
			harmless(t, got)
		})
	}
	_, guest := ann.get(strings.TrimPrefix(b.GuestURL(), b.URL("")))
	harmless(t, guestHead.ReplaceAllString(guest, ""))
}

// guestHead is what only the guest's page has: its head with a style, which the policy
// names by its hash.
var guestHead = regexp.MustCompile(`(?s)<!DOCTYPE html>\n|<head>.*</head>`)

// loose is what HTML leaves open that XML does not.
var loose = strings.NewReplacer("<br>", "<br/>", " data-filter", ` data-filter=""`)

var empty = regexp.MustCompile(`<(img|input)\b([^>]*)>`)

// harmless reports what is not well formed in a fragment, and what could run.
func harmless(t *testing.T, page string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader("<page>" + empty.ReplaceAllString(loose.Replace(page), "<$1$2/>") + "</page>"))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatalf("%v in\n%s", err, page)
		}
		if e, is := token.(xml.StartElement); is {
			judge(t, e)
		}
	}
}

func judge(t *testing.T, e xml.StartElement) {
	t.Helper()
	switch e.Name.Local {
	case "script", "style", "iframe", "object", "embed", "b", "base", "meta":
		t.Errorf("an element %s", e.Name.Local)
	}
	for _, a := range e.Attr {
		name, value := a.Name.Local, a.Value
		address := name == "href" || name == "src" || name == "action"
		own := strings.HasPrefix(value, "/") && !strings.HasPrefix(value, "//") || strings.HasPrefix(value, "http://127.0.0.1:") ||
			strings.HasPrefix(value, "webcal://127.0.0.1:") || value == "report" || value == "slide"
		if strings.HasPrefix(name, "on") || name == "style" || address && !own {
			t.Errorf("%s %s=%q", e.Name.Local, name, value)
		}
	}
}
