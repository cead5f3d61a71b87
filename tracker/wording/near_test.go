package wording

import (
	"testing"
	"time"
)

// TestNear shortens times as a page shows them: which day an instant is of is the
// calendar's, by hand; Berlin set its clock back at 03:00 CEST on 25 October 2026
// (directive 2000/84/EC).
func TestNear(t *testing.T) {
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	for now, says := range map[string]map[string]string{
		"2026-05-17T14:00:00Z": {
			"by Sun 2026-05-17 23:59 CEST":                                "by 23:59",
			"by Mon 2026-05-18 00:01 CEST":                                "by Mon 00:01",
			"from Mon 2026-05-11 07:00 CEST to Sat 2026-05-23 07:00 CEST": "from Mon 07:00 to Sat 07:00",
			"Sun 2026-05-10 07:00 CEST":                                   "10 May 07:00",
			"Sun 2026-05-24 07:00 CEST":                                   "24 May 07:00",
			"since Wed 2025-12-31 07:05 CET":                              "since 31 Dec 2025 07:05",
			"Sun 2026-05-17 2 of 3":                                       "Sun 2026-05-17 2 of 3",
		},
		"2026-10-25T10:00:00Z": {
			"by Sun 2026-10-25 02:30 CEST": "by 02:30 CEST",
			"by Sun 2026-10-25 02:30 CET":  "by 02:30 CET",
			"by Sun 2026-10-25 03:00 CET":  "by 03:00",
		},
	} {
		at, err := time.Parse(time.RFC3339, now)
		if err != nil {
			t.Fatal(err)
		}
		for text, want := range says {
			if got := string(Near([]byte(text), at, berlin)); got != want {
				t.Errorf("%s at %s: %q, want %q", text, now, got, want)
			}
		}
	}
	east := time.FixedZone("+0530", 5*3600+1800)
	if got := string(Near([]byte("by Sun 2026-05-17 23:59 &#43;0530"), time.Date(2026, 5, 17, 9, 0, 0, 0, east), east)); got != "by 23:59" {
		t.Errorf("of a zone without a name: %q", got)
	}
}
