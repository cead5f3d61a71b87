package intake

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"soaktag/labels"
	"soaktag/labels/photo"
	"soaktag/tracker"
)

// photograph takes a photograph of labels. Page and station read it, each by itself;
// what only one of them has is kept and asks.
func (s Sent) photograph(d *Desk, out *Outcome) error {
	if err := FitToKeep("the photograph", s.Photo); err != nil {
		return s.codesAlone(d, out, err)
	}
	if s.Seen == nil && s.Found == nil {
		return refuse("the photograph could not be read, neither on the phone nor at the station; nothing recorded").
			with(Advice{"photograph it again, nearer and without glare, or type the codes"})
	}
	p := &Photograph{Name: "the photograph", Named: true, Sum: s.picture, Load: func() ([]byte, error) { return s.Photo, nil }}
	if s.Seen != nil {
		p.Exif = s.Seen.Exif
	}
	p.Found, p.unsure = s.merged()
	if apart := s.apart(p); len(apart.Phone)+len(apart.Station)+len(apart.More) > 0 {
		out.add(apart)
	}
	p.handed = &tracker.Event{At: d.At, Doubt: d.Doubt, Device: d.Device, DeviceTime: d.DeviceTime, Count: d.Count}
	d.Timed = false // the photograph has its own time, or that
	if err := s.standBehind(d); err != nil {
		return err
	}
	if err := p.take(d, out); err != nil {
		return err
	}
	switch {
	case out.YesAnswers():
		out.add(LeftOpen{})
	case slices.ContainsFunc(marksOf(out.Seen()), tracker.Mark.Open):
		out.add(Advised{Advice{"UNDO, then photograph it nearer or type its code"}})
	}
	return nil
}

// codesAlone records what the phone read in a photograph that cannot be kept: the labels
// are gone from the bench when somebody reads that, and were read. It is a *Refusal
// where the phone read nothing of ours.
func (s Sent) codesAlone(d *Desk, out *Outcome, why error) error {
	if !slices.ContainsFunc(s.Found, photo.Found.Ours) {
		return refuse("%v; nothing recorded", why).with(Advice{"photograph it as JPEG, or type the codes"})
	}
	out.add(PictureNotKept{why.Error()})
	var events []tracker.Event
	for _, f := range s.codesFirst(d) {
		made, err := s.codeAlone(d, out, f)
		if refused := (*Refusal)(nil); errors.As(err, &refused) {
			d.refuse(out, refused)
			continue
		}
		if err != nil {
			return err
		}
		for _, e := range made {
			if !slices.ContainsFunc(events, func(x tracker.Event) bool { return x.Code == e.Code && (x.Half == e.Half || e.Bath != "") }) {
				events = append(events, e)
			}
		}
	}
	return d.keepScanned(out, events)
}

// codesFirst are the symbols that the phone read, cards before labels and a bath's tag,
// which means those that do not show themselves, after them.
func (s Sent) codesFirst(d *Desk) []photo.Found {
	rank := func(f photo.Found) int {
		switch it, _ := d.lines().item(f.Text); {
		case it.card != nil:
			return 0
		case it.sub.Bath != "":
			return 2
		}
		return 1
	}
	all := slices.DeleteFunc(slices.Clone(s.Found), func(f photo.Found) bool { return !f.Ours() })
	slices.SortStableFunc(all, func(a, b photo.Found) int { return cmp.Compare(rank(a), rank(b)) })
	return all
}

// codeAlone does what one symbol says whose picture is not kept.
func (s Sent) codeAlone(d *Desk, out *Outcome, f photo.Found) ([]tracker.Event, error) {
	if _, clock := photo.ParseClock(f.Text); clock {
		return nil, nil
	}
	it, err := d.lines().item(f.Text)
	switch {
	case err != nil:
		return nil, err
	case f.Ambiguous:
		return nil, refuse("%s was read in two ways", Seen(f)).with(LookAndType{})
	case it.card != nil:
		return nil, s.card(d, out, *it.card, len(s.Found) > 1)
	}
	made, err := d.scanSent(out, it)
	if f.How == photo.Matched {
		for i := range made {
			made[i].Doubt = tracker.ProbableCode + "recognised among the codes of this study, not decoded, in a photograph that is not kept; it counts once accepted"
		}
	}
	return made, err
}

// standBehind has a YES or UNDO card in the photograph mean the entry before.
func (s Sent) standBehind(d *Desk) error {
	answers := func(f photo.Found) bool {
		card, is := labels.ParseCard(f.Text, nil)
		return is && f.Ours() && (card.Kind == labels.CardYes || card.Kind == labels.CardUndo)
	}
	if !slices.ContainsFunc(append(s.seen(), s.Found...), answers) {
		return nil
	}
	of, known := s.theOther(d)
	if !known {
		return nil
	}
	facts, err := s.meant(d, of)
	if err != nil || len(facts) == 0 {
		return err
	}
	d.done = [][]tracker.Event{facts}
	for _, e := range facts {
		if now, stands := d.rec.Stands(e.ID); stands {
			d.asked = append(d.asked, d.openOf(now)...)
		}
	}
	return nil
}

// muchOlder is from when on a photograph was not made for the entry that hands it in,
// but chosen among older ones.
const muchOlder = 10 * time.Minute

// takenBefore reports whether the camera says that a photograph was taken long before
// it was handed in.
func (d *Desk) takenBefore(p *Photograph) bool {
	if p.Exif.Wall.IsZero() {
		return false
	}
	e, err := d.shownBy(p)
	return err == nil && p.handed.At.Mid().Sub(e.At.Mid()) > muchOlder
}

// merged is what phone and station found together, and why what only one of them has
// is doubtful, by what it says. What the station decoded where the phone saw nothing is not.
func (s Sent) merged() (all []photo.Found, unsure map[string]string) {
	unsure = map[string]string{}
	station := s.seen()
	if s.Found == nil || s.Seen == nil {
		return append(station, s.Found...), unsure
	}
	for i, f := range station {
		j := slices.IndexFunc(s.Found, func(g photo.Found) bool { return g.Text == f.Text })
		switch {
		case j < 0 && f.How == photo.Decoded && !slices.ContainsFunc(s.Found, func(g photo.Found) bool { return inOnePlace(f, g) }):
			// its own check words carry it, and the phone reads a smaller picture
		case j < 0:
			unsure[f.Text] = s.onlyOne("the station", f, s.Found)
		case s.Found[j].How == photo.Decoded:
			station[i].How = photo.Decoded
		}
	}
	all = station
	for _, f := range s.Found {
		if !slices.ContainsFunc(station, func(g photo.Found) bool { return g.Text == f.Text }) {
			all, unsure[f.Text] = append(all, f), s.onlyOne("the phone", f, station)
		}
	}
	return all, unsure
}

// seen is what the station found, with corners as the picture is looked at.
func (s Sent) seen() []photo.Found {
	if s.Seen == nil {
		return nil
	}
	found := slices.Clone(s.Seen.Found)
	for i := range found {
		if i < len(s.Seen.Upright) {
			found[i].Corners = s.Seen.Upright[i]
		}
	}
	return found
}

// onlyOne says why what one of the two readers found alone is doubtful.
func (s Sent) onlyOne(who string, f photo.Found, other []photo.Found) string {
	i := slices.IndexFunc(other, func(g photo.Found) bool { return inOnePlace(f, g) })
	if i >= 0 {
		return fmt.Sprintf("%sread by %s alone; the other reads %s in the same place: compare it with the photograph, it counts once accepted", tracker.OneOfTwo, who, Seen(other[i]))
	}
	return fmt.Sprintf("%sread by %s alone; compare it with the photograph, it counts once accepted", tracker.ProbableCode, who)
}

// inOnePlace reports whether two symbols lie over each other in the picture.
func inOnePlace(a, b photo.Found) bool {
	mid := func(f photo.Found) (x, y float64) {
		for _, c := range f.Corners {
			x, y = x+c.X/4, y+c.Y/4
		}
		return x, y
	}
	ax, ay := mid(a)
	bx, by := mid(b)
	return math.Hypot(ax-bx, ay-by) < math.Hypot(a.Corners[0].X-a.Corners[2].X, a.Corners[0].Y-a.Corners[2].Y)/2
}

// apart is what only one of the two readers found of ours.
func (s Sent) apart(p *Photograph) (n ReadApart) {
	station := s.seen()
	missed := func(f photo.Found) bool {
		return s.Seen != nil && s.Found != nil && !slices.ContainsFunc(s.Found, func(g photo.Found) bool { return g.Text == f.Text })
	}
	for _, f := range p.Found {
		switch {
		case !f.Ours() || p.unsure[f.Text] == "" && !missed(f):
		case p.unsure[f.Text] == "":
			n.More = append(n.More, Seen(f))
		case slices.ContainsFunc(station, func(g photo.Found) bool { return g.Text == f.Text }):
			n.Station = append(n.Station, Seen(f))
		default:
			n.Phone = append(n.Phone, Seen(f))
		}
	}
	return n
}
