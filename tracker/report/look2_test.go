package report_test

import (
	"os"
	"strings"
	"testing"
	"time"
)

func TestLookMore(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip()
	}
	o := ofDemo()
	big := many(t, 60)
	slide := o
	slide.Slide = true
	mid := o
	mid.At = time.Date(2026, 3, 18, 12, 0, 0, 0, time.UTC)
	var rows []string
	for _, l := range strings.Split(demoFile(t, "events.csv"), "\n") {
		f := strings.Split(l, ",")
		if len(f) > 2 && f[2] > "2026-03-17T15" && f[0] != "specimen" {
			continue
		}
		rows = append(rows, l)
	}
	half := imported(t, begun(t, demoFile(t, "oar-loft.toml"), demoFile(t, "specimens.csv")), strings.Join(rows, "\n"))
	rig := strings.ReplaceAll(demoFile(t, "oar-loft.toml"), "[rule]", "[[rig]]\nname = \"big press\"\nload = \"compression\"\nram_area = \"30 cm2\"\ngauge = { reads = \"pressure\", span = \"25 MPa\", division = \"0.2 MPa\" }\n[rule]")
	two := imported(t, begun(t, rig, demoFile(t, "specimens.csv")), strings.NewReplacer("RF-S1,break", "RF-S1,break").Replace(rigged(demoFile(t, "events.csv"))))
	for name, text := range map[string]string{"big": written(t, big, o), "bigslide": written(t, big, slide), "half": written(t, half, mid), "rigs": written(t, two, o)} {
		if err := os.WriteFile(dir+"/"+name+".html", []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		t.Log(name, len(text))
	}
}

func rigged(events string) string {
	lines := strings.Split(events, "\n")
	for i, l := range lines {
		if strings.Contains(l, "-D1,break") || strings.Contains(l, "EPX-D") || strings.Contains(l, "UF-S2,break") {
			lines[i] = strings.Replace(l, ",press,", ",big press,", 1)
		}
	}
	return strings.Join(lines, "\n")
}
