package tracker

import (
	"slices"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
)

// readingAfter are the times under water after which trial labels are to be read.
var readingAfter = [...]time.Duration{schedule.Day, 7 * schedule.Day, 30 * schedule.Day}

// NextReading is the first of the times under water after which the labels are
// to be read that no round came near to; false after the last.
func (t LabelTrial) NextReading() (time.Duration, bool) {
	var read time.Duration
	for _, r := range t.Readings() {
		read = max(read, r.Wet)
	}
	for _, after := range readingAfter {
		if read < after*9/10 {
			return after, true
		}
	}
	return 0, false
}

// Unanswered lists the labels that the last round left out, where that was a wet
// one, and that count as not read: those that nobody answered for, and those that
// somebody read by eye since.
func (t LabelTrial) Unanswered() (open, byEye []labels.Trial) {
	rounds := t.Readings()
	if len(rounds) == 0 || rounds[len(rounds)-1].Wet == 0 {
		return nil, nil
	}
	last := rounds[len(rounds)-1]
	for _, l := range t.Labels {
		switch {
		case l.End != "" || !slices.Contains(last.Silent, l.Trial):
		case l.ByEye.Before(last.From):
			open = append(open, l.Trial)
		default:
			byEye = append(byEye, l.Trial)
		}
	}
	return open, byEye
}
