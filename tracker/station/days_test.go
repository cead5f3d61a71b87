package station

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"soaktag/tracker"
)

// TestRandomDays plays days at random in a real browser against the program itself:
// three, or one without SOAKTAG_CI=1. What must be true of each: every entry once in
// the log, at its time.
func TestRandomDays(t *testing.T) {
	days := 1
	if inFull() {
		days = 3
	}
	all := browse(t)
	s := newShop(t, 100)
	var did []deed
	for day := range days {
		d := s.day(all, day)
		for range 24 {
			d.happens()
		}
		did = append(did, d.ends()...)
	}
	s.kill()
	rec := s.record()
	for _, d := range did {
		s.once(rec, d)
	}
	if staged := recorded(rec, tracker.Staged); staged != len(did) {
		t.Errorf("%d events in the log, %d things were done", staged, len(did))
	}
}

// recorded counts the events of a kind.
func recorded(rec *tracker.Record, kind tracker.Kind) (n int) {
	for _, e := range rec.Events() {
		if e.Kind == kind {
			n++
		}
	}
	return n
}

// A day is what happens to one phone.
type day struct {
	*handset
	dice *rand.Rand
	home *handset // its first tab, which stays open, and elsewhere
	cut  bool
	next int // serial
}

// day pairs a phone for a day.
func (s *shop) day(browser context.Context, n int) *day {
	s.Helper()
	home := s.handset(browser, chromedp.WithNewBrowserContext())
	home.pair(fmt.Sprint("phone ", n))
	d := &day{handset: home.beside(), home: home, dice: rand.New(rand.NewPCG(1, uint64(n))), next: 30*n + 1}
	home.do(chromedp.Navigate("about:blank"))
	return d
}

// happens lets one thing happen.
func (d *day) happens() {
	d.Helper()
	switch d.dice.IntN(12) {
	case 0:
		d.cut = !d.cut
		d.offline(d.cut)
	case 1:
		d.shop.kill()
	case 2:
		d.restored()
	case 3:
		d.restored()
		d.reload()
	case 4:
		d.restored()
		d.closes()
	case 5:
		d.set(time.Duration(d.dice.IntN(7200)-3600) * time.Second)
	default:
		d.inStage()
		d.types("glue-up", serials(d.next, d.next)...)
		d.next++
	}
}

// restored gives the phone network and station back.
func (d *day) restored() {
	d.Helper()
	if d.shop.station == nil {
		d.shop.open()
	}
	d.cut = false
	d.offline(false)
}

// closes closes the page, with all that it has not sent, and opens another.
func (d *day) closes() {
	d.Helper()
	did := d.did
	d.end()
	d.handset = d.home.beside()
	d.did = did
}

// inStage puts the stage in force where it is not, or not any more.
func (d *day) inStage() {
	d.Helper()
	if eval[string](d.tab, `document.getElementById("word").textContent`) != "GLUE-UP" {
		d.stage("GLUE-UP")
	}
}

// ends gives everything back, and waits until all is at the station.
func (d *day) ends() []deed {
	d.Helper()
	d.restored()
	d.delivered()
	d.end()
	return d.did
}
