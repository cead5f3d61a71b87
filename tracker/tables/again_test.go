package tables_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/tables"
)

// A table that grew tells of what is on record, with more about it. Each story is
// a list of tables taken one after the other, and of what each comes to: new
// events, corrections, and what was known.
func TestATableThatGrew(t *testing.T) {
	const when = "EPX-D1,break,2026-03-17 10:00,"
	const plain, wood = "specimen,stage,at,reading,ended\n", "specimen,stage,at,reading,ended,wood_failure_pct,failure_mode\n"
	broken, judged := plain+when+"4.5 MPa,separated\n", wood+when+"4.5 MPa,separated,40,CF\n"
	const ids = "id,specimen,stage,at,reading,ended,wood_failure_pct\n"
	for name, story := range map[string][]string{
		"the same twice":               {broken, "1 0 0", broken, "0 0 1"},
		"a column more":                {broken, "1 0 0", judged, "0 1 0", judged, "0 0 1", broken, "0 0 1"},
		"a column less":                {judged, "1 0 0", broken, "0 0 1", judged, "0 0 1"},
		"one column, then another":     {broken, "1 0 0", "specimen,stage,at,reading,ended,failure_mode\n" + when + "4.5 MPa,separated,CF\n", "0 1 0", "specimen,stage,at,reading,ended,wood_failure_pct\n" + when + "4.5 MPa,separated,40\n", "0 1 0", judged, "0 0 1"},
		"in another unit and case":     {broken, "1 0 0", wood + "epx-d1,Break,2026-03-17T10:00Z,4500 kPa,separated,40,\n", "0 1 0"},
		"another reading":              {broken, "1 0 0", wood + when + "4.6 MPa,separated,40,\n", "1 0 0"},
		"another ending":               {broken, "1 0 0", wood + when + "4.5 MPa,stopped,40,\n", "1 0 0"},
		"another time":                 {broken, "1 0 0", strings.Replace(judged, "10:00", "10:01", 1), "1 0 0"},
		"another specimen":             {broken, "1 0 0", strings.Replace(judged, "D1", "D2", 1), "1 0 0"},
		"another wood failure":         {judged, "1 0 0", wood + when + "4.5 MPa,separated,50,CF\n", "1 0 0"},
		"who and a remark":             {broken, "1 0 0", "specimen,stage,at,reading,ended,by,note\n" + when + "4.5 MPa,separated,Anna,rang\n", "0 1 0"},
		"another remark":               {"specimen,stage,at,reading,ended,note\n" + when + "4.5 MPa,separated,rang\n", "1 0 0", "specimen,stage,at,reading,ended,note\n" + when + "4.5 MPa,separated,dull\n", "0 1 0", "specimen,stage,at,reading,ended,note\n" + when + "4.5 MPa,separated,dull\n", "0 0 1"},
		"two equal rows stay two":      {broken + when + "4.5 MPa,separated\n", "2 0 0", judged + when + "4.5 MPa,separated,40,CF\n", "0 2 0", judged, "0 0 1"},
		"a row more":                   {broken, "1 0 0", judged + "EPX-D2,break,2026-03-17 10:05,5.5 MPa,separated,,\n", "1 1 0"},
		"bond measures":                {"specimen,stage,at,bond_length\nEPX-D1,cut,2026-02-21 09:33,40 mm\n", "2 0 0", "specimen,stage,at,bond_length,bond_width\nEPX-D1,cut,2026-02-21 09:33,4 cm,45 mm\n", "0 1 1"},
		"bond measures only later":     {"specimen,stage,at\nEPX-D1,cut,2026-02-21 09:33\n", "1 0 0", "specimen,stage,at,bond_width\nEPX-D1,cut,2026-02-21 09:33,45 mm\n", "1 0 1"},
		"another bond measure":         {"specimen,stage,at,bond_width\nEPX-D1,cut,2026-02-21 09:33,44 mm\n", "2 0 0", "specimen,stage,at,bond_width\nEPX-D1,cut,2026-02-21 09:33,45 mm\n", "1 0 1"},
		"faces":                        {"specimen,stage,at,wood_failure_pct\nEPX-D1/1,faces,2026-03-20 10:00,35\n", "1 0 0", "specimen,half,stage,at,wood_failure_pct,failure_mode,shallow\nEPX-D1,1,faces,2026-03-20 10:00,35,CF,yes\n", "0 1 0"},
		"faces of the other half":      {"specimen,stage,at,wood_failure_pct\nEPX-D1/1,faces,2026-03-20 10:00,35\n", "1 0 0", "specimen,stage,at,wood_failure_pct,failure_mode\nEPX-D1/2,faces,2026-03-20 10:00,35,CF\n", "1 0 0"},
		"an id, a column more":         {ids + "a," + when + "4.5 MPa,separated,\n", "1 0 0", ids + "a," + when + "4.5 MPa,separated,40\n", "0 1 0", ids + "a," + when + "4.5 MPa,separated,40\n", "0 0 1", ids + "a," + when + "4.5 MPa,separated,\n", "0 0 1"},
		"an id that says otherwise":    {ids + "a," + when + "4.5 MPa,separated,\n", "1 0 0", ids + "a," + when + "4.6 MPa,separated,\n", "says otherwise"},
		"an id of another specimen":    {ids + "a," + when + "4.5 MPa,separated,\n", "1 0 0", ids + "a," + strings.Replace(when, "D1", "D2", 1) + "4.5 MPa,separated,\n", "says otherwise"},
		"an id, another wood failure":  {ids + "a," + when + "4.5 MPa,separated,40\n", "1 0 0", ids + "a," + when + "4.5 MPa,separated,50\n", "says otherwise"},
		"without an id, then with one": {broken, "1 0 0", ids + "a," + when + "4.5 MPa,separated,40\n", "0 1 0", judged, "0 1 0"},
	} {
		t.Run(name, func(t *testing.T) {
			r := begun(t)
			for i := 0; i < len(story); i += 2 {
				if got := came(t, r, story[i]); got != story[i+1] && !strings.Contains(got, story[i+1]) {
					t.Errorf("table %d comes to %s, want %s\n%s", i/2+1, got, story[i+1], story[i])
				}
			}
		})
	}
}

// came takes a table into a record and tells how many events were new, corrections,
// and known.
func came(t *testing.T, r *tracker.Record, text string) string {
	t.Helper()
	return cameAt(t, r, text, now)
}

func cameAt(t *testing.T, r *tracker.Record, text string, now time.Time) string {
	t.Helper()
	events, _, err := tables.ReadEvents("t.csv", strings.NewReader(text), r, now)
	if err != nil {
		return err.Error()
	}
	added, fuller, known := 0, 0, 0
	for _, e := range events {
		_, there := r.Event(e.ID)
		switch {
		case there:
			known++
		case e.Target != "":
			fuller++
		default:
			added++
		}
		add(t, r, e)
	}
	return fmt.Sprintf("%d %d %d", added, fuller, known)
}

// What stands after a table that grew is one break with all that is known of it,
// however it was recorded and corrected first; a break that was voided is no ground
// for a correction.
func TestWhatStandsAfterATableThatGrew(t *testing.T) {
	const text = "specimen,stage,at,reading,ended,wood_failure_pct\nEPX-D1,break,2026-03-17 10:00,4.5 MPa,separated,40\n"
	at := schedule.At(now.AddDate(0, 0, -1).UTC())
	typed := tracker.Event{ID: "typed", Kind: tracker.Tried, At: at, Recorded: at.From, Via: "typed", By: "Anna",
		Try: &tracker.Try{Reading: "4.5 MPa", How: tracker.Separated, Rig: "press", State: "wet"}}
	for name, changed := range map[string]func(*tracker.Event){
		"typed":             nil,
		"reading put right": func(e *tracker.Event) { e.Try.Reading = "5.4 MPa" },
		"voided":            func(e *tracker.Event) { e.Kind, e.Try = tracker.Voided, nil },
	} {
		r := begun(t)
		first := typed
		first.Code = r.Specimens()[8].Code.Whole().String()
		name9 := r.Specimens()[8].Name
		add(t, r, first)
		if changed != nil {
			next, try := first, *first.Try
			next.ID, next.Target, next.Try = "next", first.ID, &try
			changed(&next)
			add(t, r, next)
		}
		row := strings.NewReplacer("EPX-D1", name9, "2026-03-17 10:00", at.From.Format("2006-01-02T15:04:05Z")).Replace(text)
		got := came(t, r, row)
		tries := r.Life(r.Specimens()[8].Code).Tries
		if len(tries) != 1 || tries[0].WoodFailure == nil || *tries[0].WoodFailure != 40 {
			t.Fatalf("%s: %s, tries %+v", name, got, tries)
		}
		switch {
		case name == "voided" && got != "1 0 0", name != "voided" && got != "0 1 0",
			name == "typed" && (tries[0].State != "wet" || tries[0].Reading != "4.5 MPa"),
			name == "reading put right" && tries[0].Reading != "5.4 MPa":
			t.Errorf("%s: %s, %+v", name, got, tries[0])
		}
	}
}

// A day alone is the same day when it is over, and with a column more it completes the
// entry of the evening; a time that ends there is another.
func TestADayThatIsOver(t *testing.T) {
	const plain, more = "specimen,stage,at,reading,ended\nEPX-D1,break,%s,4.5 MPa,separated\n", "specimen,stage,at,reading,ended,wood_failure_pct\nEPX-D1,break,%s,4.5 MPa,separated,40\n"
	evening := time.Date(2026, 3, 17, 18, 0, 0, 0, time.UTC)
	for _, test := range []struct{ at, later, want string }{
		{"2026-03-17", "2026-03-17", "0 1 0"},
		{"2026-03-16", "2026-03-16", "0 1 0"},
		{"2026-03-17", "2026-03-17 10:00", "1 0 0"},
		{"2026-03-17 00:00..2026-03-17 17:00", "2026-03-17", "1 0 0"},
	} {
		r := begun(t)
		if got := cameAt(t, r, fmt.Sprintf(plain, test.at), evening); got != "1 0 0" {
			t.Fatalf("%s: %s", test.at, got)
		}
		if got := cameAt(t, r, fmt.Sprintf(more, test.later), evening.Add(15*time.Hour)); got != test.want {
			t.Errorf("%s, then %s: %s, want %s", test.at, test.later, got, test.want)
		}
	}
}

// Who did it is no ground for a second entry, and not lost without a word.
func TestAnotherPersonIsTold(t *testing.T) {
	const text = "specimen,stage,at,by\nEPX-D1,cut,2026-02-21 09:33,%s\n"
	for _, test := range []struct{ first, second, want string }{
		{"Anna", "Ben", `by "Ben" is not recorded, the entry is there already, by "Anna": soaktag amend correct`},
		{"Anna", "ANNA", ""},
		{"", "Ben", ""},
		{"Anna", "", ""},
	} {
		r := begun(t)
		cameAt(t, r, fmt.Sprintf(text, test.first), now)
		_, warnings, err := tables.ReadEvents("t.csv", strings.NewReader(fmt.Sprintf(text, test.second)), r, now)
		if got := fmt.Sprint(warnings); err != nil || !strings.Contains(got, test.want) || test.want == "" && len(warnings) > 0 {
			t.Errorf("%s, then %s: %s, %v", test.first, test.second, got, err)
		}
	}
}
