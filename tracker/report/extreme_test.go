package report

import (
	"bytes"
	"fmt"
	"html/template"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

// extreme is a study of two adhesives whose strengths are as given.
func extreme(shears ...float64) *source {
	s := &source{study: &tracker.Study{Title: "extreme", Zone: time.UTC, Adhesives: []tracker.Adhesive{{Key: "A"}, {Key: "B"}},
		Treatments: []tracker.Treatment{{Key: "dry", Control: true}, {Key: "soaked", Soaked: true}}}, o: Options{At: time.Unix(0, 0)}}
	first, last := &shears[0], &shears[len(shears)-1]
	for _, a := range s.study.Adhesives {
		for _, treatment := range s.study.Treatments {
			group := strength.Group{Adhesive: a.Key, Treatment: treatment.Key, N: len(shears), Broke: len(shears),
				Mean: first, MeanSurvivors: first, Low: first, High: last, Fitted: last, FittedLow: first, FittedHigh: last}
			for i := range shears {
				group.Members = append(group.Members, strength.Specimen{Code: fmt.Sprint(a.Key, treatment.Key, i), Adhesive: a.Key,
					Treatment: treatment.Key, Outcome: strength.Broke, Bound: stat.Exact, ShearMPa: &shears[i], PlusMinus: last})
			}
			s.results.Groups, s.results.Specimens = append(s.results.Groups, group), append(s.results.Specimens, group.Members...)
		}
		s.results.Retention = append(s.results.Retention, strength.Retention{Adhesive: a.Key, Treatment: "soaked", Ratio: last, Low: first, High: last,
			PairedRatio: first, PairedLow: first, PairedHigh: last, Comparable: true})
	}
	s.results.Comparisons = []strength.Comparison{{Treatment: "soaked", A: "A", B: "B", Ratio: last, Low: first, High: last, PAdjusted: first, Comparable: true}}
	return s
}

// Numbers that no press gives must neither stop the page nor show as such.
func TestExtremeNumbers(t *testing.T) {
	pages := template.Must(template.ParseFS(templateFiles, "templates/*.tmpl"))
	bad := regexp.MustCompile(`NaN|[^a-z]Inf|%!|[0-9]{60}`)
	for _, shears := range [][]float64{{0, 0}, {1e308, 1e308}, {5e-324, 1e308}, {-1e308, 1e308}, {1e-9, 2e-9}, {math.Inf(1), 1}, {math.NaN(), 3}, {7, 7, 7}, {0}} {
		s := extreme(shears...)
		for name, view := range map[string]any{"report.tmpl": newPage(s), "slide.tmpl": newSlide(s)} {
			var b bytes.Buffer
			if err := pages.ExecuteTemplate(&b, name, view); err != nil {
				t.Errorf("%v: %v", shears, err)
			}
			if at := bad.FindStringIndex(b.String()); at != nil {
				t.Errorf("%v, %s: %q", shears, name, b.String()[max(0, at[0]-120):min(b.Len(), at[1]+20)])
			}
		}
	}
}

// Every label of an axis lies on it.
func FuzzScale(f *testing.F) {
	f.Add(18.0, 10)
	f.Add(1e-300, 5)
	f.Fuzz(func(t *testing.T, top float64, most int) {
		if !(top > 1e-12 && top < 1e12) || most < 3 || most > 30 {
			t.Skip()
		}
		values, decimals := scale{0, 100, top}.ticks(most)
		if len(values) < 2 || len(values) > most+1 || decimals < 0 || decimals > 20 {
			t.Errorf("up to %g, %d: %v, %d", top, most, values, decimals)
		}
		for i, v := range values {
			if strings.Contains(fixed(v, decimals), "e") && v < 1e7 || i > 0 && v <= values[i-1] || v > top*1.001 {
				t.Errorf("up to %g, %d: %v", top, most, values)
			}
		}
	})
}
