package schedule

import "time"

// Window says when the stage that ends an interval should happen, given when
// the interval began. Where that is only known as a range, its middle counts.
//
//	Target    opens at target - Early, closes at target + Late
//	AtLeast   opens at the limit, never closes
//	AtMost    opens at once, closes at the limit
//
// None, an AsPartner that has not been through AsLongAs, and a beginning that
// is not known at all give the zero Window.
func (p Planned) Window(from Span) Window {
	if from.IsZero() {
		return Window{}
	}
	at := from.Mid().Add(p.Length)
	switch p.Kind {
	case Target:
		return Window{Opens: at.Add(-p.Early), At: at, Closes: at.Add(p.Late)}
	case AtLeast:
		return Window{Opens: at, At: at}
	case AtMost:
		return Window{At: at, Closes: at}
	}
	return Window{}
}

// And is the window of two things done together: it opens with the later and
// closes with the earlier, and may be of less than nothing. At keeps within it.
func (w Window) And(o Window) Window {
	if o.Opens.After(w.Opens) {
		w.Opens = o.Opens
	}
	if w.Closes.IsZero() || !o.Closes.IsZero() && o.Closes.Before(w.Closes) {
		w.Closes = o.Closes
	}
	if w.At.Before(w.Opens) {
		w.At = w.Opens
	}
	if !w.Closes.IsZero() && w.At.After(w.Closes) {
		w.At = w.Closes
	}
	return w
}

// The limits of how long before its window an interval is called Soon.
const (
	shortestNotice = time.Hour
	longestNotice  = 2 * Day
)

// State says how an open interval stands now. The length is the planned one.
// Soon is the last tenth of it before the window opens, at least 1 h and at
// most 2 d. A window that opens at once (AtMost) is Due from the start; there
// Soon is the last tenth before it closes, at most 2 d, so that a warning
// comes before the limit and not only after. Limits are inclusive: at the
// closing instant itself it is not overdue. The zero Window is Ongoing.
func (w Window) State(length time.Duration, now time.Time) State {
	notice := min(length/10, longestNotice)
	switch {
	case w == Window{}:
		return Ongoing
	case w.Over(now) > 0:
		return Overdue
	case w.Opens.IsZero() && !now.Before(w.Closes.Add(-notice)):
		return Soon
	case !now.Before(w.Opens):
		return Due
	case !now.Before(w.Opens.Add(-max(notice, shortestNotice))):
		return Soon
	}
	return Ongoing
}

// Over returns how long ago the window closed: zero while it has not, and
// when it never does.
func (w Window) Over(now time.Time) time.Duration {
	if w.Closes.IsZero() {
		return 0
	}
	return max(0, now.Sub(w.Closes))
}

// Judge compares an actual interval with the planned length: lo and hi are
// as in Length. Limits are inclusive. If a limit lies strictly between lo and
// hi the verdict is CannotTell, for the truth may lie on either side of it;
// if not, it is the same wherever in its range the truth lies.
//
// An interval that has not ended (to is zero) is Running, with lo and hi
// zero. None has no limits, so every length is Within. An AsPartner that has
// not been through AsLongAs is CannotTell.
func (p Planned) Judge(from, to Span) (lo, hi time.Duration, v Verdict) {
	if to.IsZero() {
		return 0, 0, Running
	}
	lo, hi = Length(from, to)
	if p.Kind == AsPartner {
		return lo, hi, CannotTell
	}
	least, most := p.limits()
	return lo, hi, judge(lo, hi, least, most)
}

// limits returns the shortest and the longest length the plan allows.
func (p Planned) limits() (least, most time.Duration) {
	switch p.Kind {
	case Target:
		return p.Length - p.Early, p.Length + p.Late
	case AtLeast:
		return p.Length, Unbounded
	case AtMost:
		return -Unbounded, p.Length
	}
	return -Unbounded, Unbounded
}

func judge(lo, hi, least, most time.Duration) Verdict {
	switch {
	case lo < least && least < hi, lo < most && most < hi:
		return CannotTell
	case lo < least:
		return Early
	case hi > most:
		return Late
	}
	return Within
}

// Outside reports whether v is known to break the limits, at either end.
func (v Verdict) Outside() bool { return v == Early || v == Late }
