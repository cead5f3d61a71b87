package intake

import (
	"bytes"
	"cmp"
	"os"
	"path/filepath"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// A Merge is a form: what was recorded in another copy of this study since the two
// were one. Every event comes over once, by its id, and what contradicts what was
// recorded here asks. So two copies that took each other in hold the same events, and
// the record of both is the same: its lives, its marks, its results. Only the order
// of their logs differs, and in which copy an event is said to have been written.
type Merge struct {
	Name   string            // of the other file, as somebody named it: a study, a backup, or the log of an export
	Photos store.PhotoReader // reads the photographs beside the log of an export; else nil
	Dry    bool              // only say what would come of it

	Progress func(done, of int) // of recording; may be nil
}

// What is said of taking in another notebook.
type (
	// Merged: so many events came over from another notebook, Known were here already.
	Merged struct {
		Name        string
		Added       int
		Known       int
		Writers     []string  // who wrote them, in the order met; without those not named
		First, Last time.Time // when they were written
		Dry         bool
		Zone        *time.Location
	}
	// SaidOtherwise: events that both notebooks hold and that say something else in the
	// other one. What stands here stays.
	SaidOtherwise struct {
		Name   string
		Events []tracker.Event
	}
)

func (Merged) note()        {}
func (SaidOtherwise) note() {}

// IsNotebook reports whether a file is a study or a backup, to be taken in whole.
func (d *Desk) IsNotebook(name string) bool { return d.isOpen(name) || store.IsStudy(name) }

// isOpen reports whether name is the open study itself.
func (d *Desk) isOpen(name string) bool {
	here, err := os.Stat(d.db.Path())
	there, other := os.Stat(name)
	return err == nil && other == nil && os.SameFile(here, there)
}

func (f Merge) take(d *Desk, out *Outcome) (err error) {
	if d.isOpen(f.Name) {
		return refuse("%s is this study itself; name the copy of it that was written in elsewhere; nothing recorded", f.Name)
	}
	theirs, photos, done, err := f.open()
	if err != nil {
		return err
	}
	defer func() { err = cmp.Or(err, done()) }()
	if err := f.ofOne(d.rec, theirs); err != nil {
		return err
	}
	fresh, differ := f.compare(d.rec, theirs, notebook(f.Name, d.db.Path()))
	out.add(f.merged(theirs, fresh, d.rec.Zone()))
	if len(differ) > 0 {
		out.add(SaidOtherwise{f.Name, differ})
	}
	if len(fresh) == 0 {
		return nil
	}
	return d.merge(out, f, fresh, photos)
}

// open reads the events of the other notebook; done closes it.
func (f Merge) open() (theirs []tracker.Event, photos store.PhotoReader, done func() error, err error) {
	if f.Photos != nil {
		theirs, err = store.ReadLog(f.Name)
		return theirs, f.Photos, func() error { return nil }, err
	}
	other, err := store.OpenCopy(f.Name, plan.Read)
	if err != nil {
		return nil, nil, nil, err
	}
	rec, err := other.State()
	if err != nil {
		return nil, nil, nil, cmp.Or(err, other.Close())
	}
	return rec.Events(), func(sum, _ string) ([]byte, error) { return other.Photo(sum) }, other.Close, nil
}

// ofOne refuses events that are not of this study. What was saved of a damaged one may
// lack the event that began it: then both must hold some event.
func (f Merge) ofOne(ours *tracker.Record, theirs []tracker.Event) error {
	if e := theirs[0]; e.Kind == tracker.Begun {
		if e.ID == StudyID(ours) {
			return nil
		}
		title := f.Name
		if study, err := plan.Read(e.Plan); err == nil {
			title = study.Title
		}
		return refuse("%s holds another study, %s, and this one is %s: only copies of one study are made one again; nothing recorded",
			f.Name, Quoted(title), Quoted(ours.Study().Title))
	}
	for _, e := range theirs {
		if _, known := ours.Event(e.ID); known {
			return nil
		}
	}
	return refuse("%s does not say which study it is of, and shares no entry with this one, %s; nothing recorded", f.Name, Quoted(ours.Study().Title))
}

// merge records what is new, and tells what asks since then.
func (d *Desk) merge(out *Outcome, f Merge, fresh []tracker.Event, photos store.PhotoReader) error {
	before, open, stood := d.asking(), openMarks(d.rec), footingOf(d.rec, fresh)
	after, err := d.merged(f, fresh, photos)
	if err != nil {
		return err
	}
	stood.brokenSince(out, after)
	var asking []tracker.Mark
	for _, m := range after.OpenMarks() {
		if !before[keyOf(m)] {
			asking = append(asking, m)
		}
	}
	if len(asking) > 0 {
		out.add(Marked{asking})
	}
	if n := openMarks(after); n > 0 {
		out.add(AsksSince{n, open, f.Dry})
	}
	return nil
}

// merged is the record with what is new in it: recorded or, of a dry run, only
// thought of.
func (d *Desk) merged(f Merge, fresh []tracker.Event, photos store.PhotoReader) (*tracker.Record, error) {
	if f.Dry {
		return d.rec.With(fresh...)
	}
	d.db.Progress = f.Progress
	err := d.db.Merge(fresh, photos)
	if d.db.Progress = nil; err != nil {
		return nil, err
	}
	err = d.reread()
	return d.rec, err
}

// compare lists the events of the other notebook that are new here, each with the
// notebook that it was written in, and those known here that say something else there.
func (f Merge) compare(ours *tracker.Record, theirs []tracker.Event, name string) (fresh, differ []tracker.Event) {
	for _, e := range theirs {
		here, known := ours.Event(e.ID)
		switch {
		case !known:
			e.Notebook = cmp.Or(e.Notebook, name)
			fresh = append(fresh, e)
		case !saysSame(here, e):
			differ = append(differ, here)
		}
	}
	return fresh, differ
}

// saysSame compares two events but for the notebook that each was written in.
func saysSame(a, b tracker.Event) bool {
	a.Notebook, b.Notebook = "", ""
	return bytes.Equal(store.Encode(a), store.Encode(b))
}

// notebook is what another notebook is called: by its file, and by its folder too
// where its file is called as ours is.
func notebook(theirs, ours string) string {
	name := filepath.Base(theirs)
	if name != filepath.Base(ours) {
		return name
	}
	if full, err := filepath.Abs(theirs); err == nil {
		return filepath.ToSlash(filepath.Join(filepath.Base(filepath.Dir(full)), name))
	}
	return name
}

// merged counts what came over.
func (f Merge) merged(theirs, fresh []tracker.Event, zone *time.Location) Merged {
	n := Merged{Name: f.Name, Added: len(fresh), Known: len(theirs) - len(fresh), Dry: f.Dry, Zone: zone}
	met := map[string]bool{"": true}
	for _, e := range fresh {
		if !met[e.By] {
			n.Writers = append(n.Writers, e.By)
			met[e.By] = true
		}
		if n.First.IsZero() || e.Recorded.Before(n.First) {
			n.First = e.Recorded
		}
		if e.Recorded.After(n.Last) {
			n.Last = e.Recorded
		}
	}
	return n
}
