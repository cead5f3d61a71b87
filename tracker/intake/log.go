package intake

import (
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A Stage is a form: specimens, baths or trial labels went through a stage, or
// were lost, found, damaged or withdrawn. Without a name it is a remark, and
// wants a note.
type Stage struct {
	Subjects   []string
	Name       string // of the stage or of the ending, in any spelling
	Device     string // whose clock is meant
	DeviceTime bool   // At is what that clock showed
	Label      bool   // it was the label that was lost
}

// MayMeanLabel reports whether a form says lost of a specimen, which leaves it out of
// the count, where people often mean its label.
func (d *Desk) MayMeanLabel(f Stage) bool {
	_, words := splitTrials(d.rec, f.Subjects)
	end, is := parseEnd(f.Name)
	return is && end == tracker.Lost && len(words) > 0
}

func (f Stage) take(d *Desk, out *Outcome) (err error) {
	trials, words := splitTrials(d.rec, f.Subjects)
	if err := d.typedTrials(trials); err != nil {
		return err
	}
	subjects, err := d.subjects(out, words)
	if err != nil {
		return err
	}
	if f.Label && len(subjects) > 0 {
		return refuse("a label that is lost is printed again, and the specimen goes on counting; nothing recorded").
			with(NewLabel{Code: subjects[0].String()})
	}
	fact, err := d.staged(f)
	if err != nil {
		return err
	}
	events, err := d.spread(out, fact, append(subjects, trials...))
	if err != nil {
		return notTaken(err)
	}
	if err := d.keep(out, events...); err != nil {
		return err
	}
	onlyLabel(out, events, NewLabel{Recorded: true})
	return nil
}

// onlyLabel tells of specimens that were lost what to do where their labels were.
func onlyLabel(out *Outcome, events []tracker.Event, help NewLabel) {
	i := slices.IndexFunc(events, func(e tracker.Event) bool { return e.End == tracker.Lost && !isTrialEvent(e) })
	if i >= 0 {
		help.Code, help.Half = events[i].Code, events[i].Half
		out.add(Advised{help})
	}
}

// staged is the event that the form describes, still without its subject.
func (d *Desk) staged(f Stage) (tracker.Event, error) {
	fact := d.event(tracker.Staged)
	fact.Device, fact.DeviceTime = f.Device, f.DeviceTime
	switch {
	case f.DeviceTime && f.Device == "":
		return fact, refuse("the time of a device's clock wants the device").because(WhichDevice{})
	case f.Name == "" && d.Note == "":
		return fact, refuse("what happened? a stage, or a remark").because(NothingSaid{})
	case f.Name == "":
		fact.Kind = tracker.Noted
		return fact, nil
	}
	if end, ok := parseEnd(f.Name); ok {
		fact.Kind, fact.End = tracker.Ended, end
		return fact, nil
	}
	stage, err := ParseStage(d.rec, f.Name)
	if err == nil && stage == schedule.Break {
		err = refuse("a break wants its reading, not only its time; nothing recorded").
			with(BreakWithReading{Choose: len(d.rec.Study().Rigs) > 1, Timed: true})
	}
	fact.Stage = stage
	return fact, err
}

// parseEnd reads what takes a specimen out of the count, or back into it.
func parseEnd(word string) (tracker.Ending, bool) {
	end := tracker.Ending(word)
	return end, end.Known()
}

// A Clock is a form: what a device's clock showed at a known instant.
type Clock struct {
	Device string
	Shown  time.Time
}

func (f Clock) take(d *Desk, out *Outcome) (err error) {
	fact := d.event(tracker.ClockSeen)
	if !fact.At.Exact() {
		return refuse("what a clock showed was seen at one instant, not in a range of time; nothing recorded")
	}
	fact.Device, fact.Shown = f.Device, f.Shown
	out.add(ClockOff{f.Device, f.Shown.Sub(fact.At.From)})
	return d.keep(out, fact)
}
