package tracker

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
)

// StockValue names the value of an Issued event that says what the label was
// printed on.
const StockValue = "stock"

// A LabelTrial is what is known of the trial labels of one stock. They are no
// specimens: they appear in no life and in no count of any.
type LabelTrial struct {
	Stock  string       // as it was given when they were printed
	Labels []TrialLabel // by number
}

// A TrialLabel is a label on an offcut, as it went. It is a fold over the
// events whose code is its symbol, in the order of corrected time.
type TrialLabel struct {
	Trial   labels.Trial
	Spells  []Spell     // times under water; they count once for each label
	Reads   []TrialRead // each time that a scanner read it, in order
	ByEye   time.Time   // when somebody last typed it, having read it by eye; zero for never
	End     Ending      // Lost, Damaged or Withdrawn; empty otherwise
	EndNote string
}

// A TrialRead is one reading of a trial label by a scanner.
type TrialRead struct {
	At  schedule.Span // corrected
	Wet time.Duration // time under water until then, at the least; 0 in the first hour
}

// leastWet is how long a label must have lain under water for a reading to say
// anything of it: one put in and read twice in a row was read dry.
const leastWet = time.Hour

// Trials returns the label trials of the study, in the order of their lowest
// numbers. A label that was read and never printed here is in none: it asks.
func (r *Record) Trials() []LabelTrial {
	byStock := map[string]*LabelTrial{}
	for code, events := range r.stray {
		trial, ok := TrialOf(code)
		if !ok {
			continue
		}
		if stock, printed := r.trialStock(events); printed {
			if byStock[stock] == nil {
				byStock[stock] = &LabelTrial{Stock: stock}
			}
			byStock[stock].Labels = append(byStock[stock].Labels, r.trialLabel(trial, events))
		}
	}
	var all []LabelTrial
	for _, t := range byStock {
		slices.SortFunc(t.Labels, func(a, b TrialLabel) int { return cmp.Compare(a.Trial, b.Trial) })
		all = append(all, *t)
	}
	slices.SortFunc(all, func(a, b LabelTrial) int { return cmp.Compare(a.Labels[0].Trial, b.Labels[0].Trial) })
	return all
}

// TrialOf reads the code of an event about a trial label: its symbol, exactly.
func TrialOf(code string) (labels.Trial, bool) {
	t, scanned, ok := labels.ParseTrial(code)
	return t, ok && scanned && code == t.Symbol()
}

// trialStock finds the stock that a trial label was printed on; false when it
// was not printed. Of several, which only a merged log holds, the first in
// time and then by id counts.
func (r *Record) trialStock(events []*Event) (stock string, printed bool) {
	var first *Event
	for _, e := range events {
		if e.Kind != Issued || r.Voided(e.ID) || !r.visible(e) {
			continue
		}
		if first == nil || inLifeOrder(r.factOf(e), r.factOf(first)) < 0 {
			first = e
		}
	}
	if first == nil {
		return "", false
	}
	return first.stock(), true
}

// stock is what an Issued event says that it was printed on; empty when it
// does not say.
func (e *Event) stock() string {
	for _, v := range e.Values {
		if v.Name == StockValue {
			return v.Text
		}
	}
	return ""
}

// Stocks lists what the labels of specimens were printed on, without those of
// which that is not known, in alphabetical order; and whether any label of a
// specimen was printed at all.
func (r *Record) Stocks() (stocks []string, printed bool) {
	found := map[string]bool{}
	for _, e := range r.log {
		if _, trial := TrialOf(e.Code); e.Kind != Issued || trial || r.Voided(e.ID) || !r.visible(e) {
			continue
		}
		printed = true
		if s := e.stock(); s != "" {
			found[s] = true
		}
	}
	return slices.Sorted(maps.Keys(found)), printed
}

// Immersed reports whether an immersion of any specimen was recorded.
func (r *Record) Immersed() bool {
	return slices.ContainsFunc(r.log, func(e *Event) bool {
		if e.Kind != Staged || e.Stage != schedule.Immersion || r.Voided(e.ID) || !r.visible(e) {
			return false
		}
		_, known := r.meaning(e.Code, r.corrected(e).Mid())
		return known
	})
}

func (r *Record) trialLabel(trial labels.Trial, events []*Event) TrialLabel {
	var facts []fact
	for _, e := range events {
		if !r.Voided(e.ID) && r.visible(e) {
			facts = append(facts, r.factOf(e))
		}
	}
	slices.SortFunc(facts, inLifeOrder)
	label := TrialLabel{Trial: trial}
	for _, x := range facts {
		label.take(x)
	}
	return label
}

func (l *TrialLabel) take(x fact) {
	switch x.Kind {
	case Staged:
		l.stage(x)
	case Ended:
		l.End, l.EndNote = x.End, x.Note
		if x.End == Found {
			l.End, l.EndNote = "", ""
		}
	}
}

// stage begins or ends a spell, and counts a reading by a scanner: the one that
// puts it under water is the last dry one, the one that takes it out a wet one.
func (l *TrialLabel) stage(x fact) {
	open := l.UnderWater()
	if x.Via == "scan" {
		wet := l.Wet(x.at)
		if wet < leastWet {
			wet = 0
		}
		l.Reads = append(l.Reads, TrialRead{x.at, wet})
		if l.End != Withdrawn { // what reads is there; only somebody's word brings back what was withdrawn
			l.End, l.EndNote = "", ""
		}
	}
	switch {
	case x.Stage == "" && x.Via != "scan":
		l.ByEye = x.on
	case x.Stage == schedule.Immersion && !open:
		l.Spells = append(l.Spells, Spell{In: x.at})
	case x.Stage == schedule.LiftOut && open:
		l.Spells[len(l.Spells)-1].Out = x.at
	}
}

// UnderWater reports whether the label lies under water now.
func (l TrialLabel) UnderWater() bool {
	return inWater(l.Spells)
}

// Wet returns how long the label had lain under water at an instant, at the
// least where a time is known only as a range; 0 where it cannot be told.
func (l TrialLabel) Wet(at schedule.Span) time.Duration {
	var sum time.Duration
	for _, s := range l.Spells {
		out := s.Out
		if out.IsZero() {
			out = at
		}
		lo, _ := schedule.Length(s.In, out)
		sum += max(0, lo)
	}
	return sum
}

// Longest returns the longest time under water after which a scanner read the
// label; false when none read it wet.
func (l TrialLabel) Longest() (time.Duration, bool) {
	var longest time.Duration
	for _, read := range l.Reads {
		longest = max(longest, read.Wet)
	}
	return longest, longest > 0
}

// A TrialReading is a round of reading: the labels of a trial, read one after
// the other.
type TrialReading struct {
	From, Until time.Time      // the first and the last of the round
	Wet         time.Duration  // the shortest time under water of those read in it; 0 for a dry round
	Read        int            // labels that were read after at least Wet, in this round or a later one
	Of          int            // labels that had gone under water that long before; of a dry round, all
	Silent      []labels.Trial // the others of these
}

// sameRound is how far apart two readings of one round may be.
const sameRound = 6 * time.Hour

// Readings lists the rounds of reading: dry ones, then the wet ones in order
// of time. A label that nobody answered for counts as not read, however it
// went; one that was withdrawn does not count.
func (t LabelTrial) Readings() []TrialReading {
	var rounds []TrialReading
	for _, read := range t.reads() {
		at, n := read.At.Mid(), len(rounds)
		if n == 0 || (read.Wet > 0) != (rounds[n-1].Wet > 0) || at.Sub(rounds[n-1].Until) > sameRound {
			rounds = append(rounds, TrialReading{From: at, Until: at, Wet: read.Wet})
			continue
		}
		rounds[n-1].Until, rounds[n-1].Wet = at, min(rounds[n-1].Wet, read.Wet)
	}
	for i := range rounds {
		t.count(&rounds[i])
	}
	return rounds
}

// reads lists the readings of all labels that count: the dry ones first, then
// by time.
func (t LabelTrial) reads() []TrialRead {
	var dry, wet []TrialRead
	for _, l := range t.Labels {
		for _, read := range l.Reads {
			switch {
			case l.End == Withdrawn:
			case read.Wet > 0:
				wet = append(wet, read)
			default:
				dry = append(dry, read)
			}
		}
	}
	byTime := func(a, b TrialRead) int { return a.At.Mid().Compare(b.At.Mid()) }
	slices.SortFunc(dry, byTime)
	slices.SortFunc(wet, byTime)
	return append(dry, wet...)
}

func (t LabelTrial) count(round *TrialReading) {
	for _, l := range t.Labels {
		if !l.counts(*round) {
			continue
		}
		round.Of++
		longest, _ := l.Longest()
		if len(l.Reads) > 0 && longest >= round.Wet {
			round.Read++
		} else {
			round.Silent = append(round.Silent, l.Trial)
		}
	}
}

// counts reports whether a label could have been read in a round: whether it
// went under water that long before, those of one round not to the minute. One
// that was taken out again counts as well: it may be out because it failed.
func (l TrialLabel) counts(round TrialReading) bool {
	switch {
	case l.End == Withdrawn:
		return false
	case round.Wet == 0:
		return true
	}
	return len(l.Spells) > 0 && !l.Spells[0].In.Mid().After(round.Until.Add(sameRound-round.Wet))
}

// ReadWet reports whether any label of the trial was read after it had lain
// under water.
func (t LabelTrial) ReadWet() bool {
	return slices.ContainsFunc(t.Labels, func(l TrialLabel) bool {
		_, wet := l.Longest()
		return wet && l.End != Withdrawn
	})
}

// InWater counts the labels that lie under water, and says since when the first
// of them does; the zero time for none.
func (t LabelTrial) InWater() (n int, since time.Time) {
	for _, l := range t.Labels {
		if !l.UnderWater() || l.End != "" {
			continue
		}
		n++
		if at := l.Spells[0].In.Mid(); since.IsZero() || at.Before(since) {
			since = at
		}
	}
	return n, since
}

// GoneInWater counts the labels that went under water and did not come through it.
func (t LabelTrial) GoneInWater() (n int) {
	for _, l := range t.Labels {
		if len(l.Spells) > 0 && (l.End == Lost || l.End == Damaged) {
			n++
		}
	}
	return n
}
