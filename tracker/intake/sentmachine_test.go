package intake

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels/photo"
	"soaktag/schedule"
	"soaktag/tracker"
)

// The model of delivery is delivery itself, once and in order. Whatever the network does
// with the same entries, what they come to must be the same: in any order, several times
// each, with the station killed after it committed and before its answer came.

// A parcel is an entry with what came with it.
type parcel struct {
	doc
	from Phone
	file []byte
	look *photo.Look
}

// day is what two phones do in some hours, with clocks of their own: one is ahead by
// minutes, and set back by an hour on the way. ordered has what means whoever lies there
// now, or what asks: that stays in the order of its phone.
func day(b *inbox, rng *rand.Rand, entries int, ordered bool) (all []parcel) {
	epoch, ahead := map[string]int{ann.ID: 1, bob.ID: 1}, map[string]time.Duration{ann.ID: 7 * time.Minute, bob.ID: 0}
	now := b.clock.now
	for i := range entries {
		now = now.Add(time.Duration(61+rng.IntN(600)) * time.Second)
		from := pick(rng, ann, bob)
		if rng.IntN(20) == 0 {
			epoch[from.ID]++
			ahead[from.ID] -= time.Hour
		}
		shown := now.Add(ahead[from.ID]).UnixMilli()
		more := doc{"at": shown, "by": pick(rng, "Ann", "Bob"), "stage": string(pick(rng, stages...)),
			"clock": doc{"epoch": fmt.Sprint("e-", epoch[from.ID]), "fact": doc{"shown": shown - int64(now.Sub(b.clock.now)/time.Millisecond), "at": b.clock.now.UnixMilli(), "trip": 9}}}
		p := parcel{from: from}
		p.doc = b.entry(from, "line", more)
		p.of(b, rng, i, all, ordered)
		all = append(all, p)
	}
	return all
}

// of makes an entry one of the many kinds that there are.
func (p *parcel) of(b *inbox, rng *rand.Rand, i int, before []parcel, ordered bool) {
	one := code(1 + rng.IntN(8))
	mine := slices.DeleteFunc(slices.Clone(before), func(o parcel) bool { return o.from != p.from || o.doc["kind"] == "undo" || o.doc["kind"] == "yes" })
	switch n := rng.IntN(20); {
	case n < 3 && len(mine) > 0:
		p.doc["kind"], p.doc["of"] = "undo", pick(rng, mine...).doc["id"]
	case n < 5 && len(mine) > 0 && ordered:
		p.doc["kind"], p.doc["of"] = "yes", pick(rng, mine...).doc["id"]
	case n < 7 && ordered:
		p.doc["line"] = pick(rng, "bath B1", "bath B2", ".UNDO", ".GLUEUP", ".WHOCY", "jammed")
	case n < 9:
		p.doc["kind"], p.doc["break"] = "break", doc{"subject": one, "reading": fmt.Sprint(5+rng.IntN(9), " MPa"), "ended": pick(rng, "separated", "stopped")}
	case n < 11:
		e, file, look := b.shot(p.from, "", fmt.Sprint("shot ", i), fmt.Sprint(1+rng.IntN(8), "/1"), "-")
		p.doc["kind"], p.doc["found"], p.file, p.look = "photo", e["found"], file, look
	case n < 12:
		p.doc["kind"], p.doc["ended"] = "ended", doc{"subject": one, "how": pick(rng, "lost", "found", "fell apart")}
	default:
		p.doc["line"] = pick(rng, one, one+code(1+rng.IntN(8)))
	}
}

// delivers hands parcels in.
func (b *inbox) delivers(all []parcel) {
	b.Helper()
	for _, p := range all {
		_, _ = b.takesOf(p.from, p.doc, p.file, p.look) // what is refused is refused each time
	}
}

// comesTo is what a study came to: lives, what asks, and every fact that was kept.
func (b *inbox) comesTo() string {
	b.Helper()
	var asks, facts []string
	for _, m := range b.record().OpenMarks() {
		asks = append(asks, fmt.Sprint(m.Rule, " ", m.Code, " ", m.Event))
	}
	for _, e := range b.record().Events() {
		if e.Kind != tracker.Voided {
			facts = append(facts, fmt.Sprint(e.ID, " ", e.Code, " ", e.Stage, " ", b.record().Corrected(e), " ", b.record().Voided(e.ID)))
		}
	}
	slices.Sort(asks)
	slices.Sort(facts)
	return b.standing() + "\n" + strings.Join(asks, "\n") + "\n" + strings.Join(facts, "\n")
}

// mixed is what a bad network does: each parcel once to three times, in the order given
// or in any.
func mixed(rng *rand.Rand, all []parcel, anyOrder bool) (out []parcel) {
	for _, p := range all {
		for range 1 + rng.IntN(3) {
			out = append(out, p)
		}
	}
	if anyOrder {
		rng.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	}
	return out
}

func TestSentInAnyOrder(t *testing.T) { sweepSent(t, true) }

func TestSentAgainAndAgain(t *testing.T) { sweepSent(t, false) }

func sweepSent(t *testing.T, anyOrder bool) {
	runs := 12
	if os.Getenv("SOAKTAG_CI") != "" {
		runs = 100
	}
	for seed := range runs {
		rng := rand.New(rand.NewPCG(uint64(seed), 13))
		first, second := newInbox(t), newInbox(t)
		all := day(first, rng, 30, !anyOrder)
		later := first.clock.now.Add(3 * schedule.Day)
		first.clock.now, second.clock.now = later, later
		first.delivers(all)
		for i, p := range mixed(rng, all, anyOrder) {
			if rng.IntN(8) == 0 {
				second.restart()
			}
			second.delivers([]parcel{p})
			if rng.IntN(4) == 0 && !anyOrder { // the answer was lost some time ago
				second.delivers(all[:1+rng.IntN(1+i/3)])
			}
		}
		if want, got := first.comesTo(), second.comesTo(); got != want {
			t.Fatalf("seed %d: %s\n\nonce and in order:\n%s", seed, got, want)
		}
	}
}
