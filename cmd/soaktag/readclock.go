package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// shotsIn are those of the photographs that show something, and of which it holds.
func shotsIn(shots []shot, holds func(*shot) bool) (some []*shot) {
	for i := range shots {
		if sh := &shots[i]; sh.err == nil && sh.has() && holds(sh) {
			some = append(some, sh)
		}
	}
	return some
}

// sayUnused says for which photographs --at was not taken: those with a time of
// their own.
func (r *photoReading) sayUnused(shots []shot) {
	own := shotsIn(shots, func(sh *shot) bool { return r.timed && sh.stamp.At != r.entry.At })
	if len(own) == 0 {
		return
	}
	var texts []string
	for _, sh := range own[:min(fewPhotos, len(own))] {
		texts = append(texts, fmt.Sprintf("%s has its own time, %s", filepath.Base(sh.path), wording.Span(r.rec.Corrected(sh.stamp), r.zone())))
	}
	if more := len(own) - len(texts); more > 0 {
		texts = append(texts, fmt.Sprintf("and %d more", more))
	}
	r.say("--at not used for %s: %s", wording.Plural(len(own), "photograph"), strings.Join(texts, "; "))
	r.hint("where its own time is wrong: soaktag read %s --at %s --correct --reason \"why\"", shellWord(own[0].path), shellWord(r.atWord))
}

// longBefore is how long before a study a photograph of its labels is taken by
// no clock that is right: before the first glue-up planned, or before the study
// was begun where the plan does not say, which may be written up later.
const (
	longBefore      = 60 * 24 * time.Hour
	longBeforeBegun = 365 * 24 * time.Hour
)

// unset says what is wrong with the time of a photograph that no study can be
// at; empty where nothing is.
func (r *photoReading) unset(at time.Time) string {
	first, begun := r.rec.Study().FirstGlueUp, r.begun()
	switch {
	case at.After(r.now().Add(time.Minute)):
		return "still to come"
	case first.IsZero() && at.Before(begun.Add(-longBeforeBegun)),
		!first.IsZero() && at.Before(first.Add(-longBefore)) && at.Before(begun.Add(-longBefore)):
		return "long before this study"
	}
	return ""
}

// begun is when the study began.
func (r *photoReading) begun() time.Time {
	for _, e := range r.rec.Events() {
		if e.Kind == tracker.Begun {
			return e.At.Mid()
		}
	}
	return time.Time{}
}

// sayUnset warns, once a camera, of a clock that was hardly ever set. What was
// put right since is not told again, nor is anything with --yes.
func (r *photoReading) sayUnset(shots []shot) {
	if r.entry.Yes || r.correct && r.timed {
		return
	}
	odd := shotsIn(shots, func(sh *shot) bool {
		return !sh.exif.Wall.IsZero() && !sh.stamp.At.IsZero() && r.unset(r.at(sh)) != "" && !r.timedSince(sh)
	})
	for len(odd) > 0 {
		first := odd[0]
		others := slices.DeleteFunc(slices.Clone(odd), func(sh *shot) bool { return sh.exif.Camera == first.exif.Camera })
		r.warnUnset(first, len(odd)-len(others))
		odd = others
	}
}

// warnUnset warns of the first of so many photographs.
func (r *photoReading) warnUnset(sh *shot, of int) {
	r.attention = true
	more := ""
	if of > 1 {
		more = fmt.Sprintf(" and %d more", of-1)
	}
	r.warn("%s%s: the camera's clock says %s, %s: is it set?", sh.path, more, wording.Span(r.rec.Corrected(sh.stamp), r.zone()), r.unset(r.at(sh)))
	if sh.stamp.DeviceTime {
		r.hint("say what it shows at what time, for all its photographs: soaktag log --stage clock --device %s --shown TIME --at TIME", shellWord(sh.exif.Camera))
	}
	r.hint("or give the time of one: soaktag read %s --at TIME --correct --reason \"why\"", shellWord(sh.path))
}

// timedSince reports whether all that stands of a photograph that was read
// before has a time that can be.
func (r *photoReading) timedSince(sh *shot) bool {
	entries := r.entriesOf(sh)
	return len(entries) > 0 && !slices.ContainsFunc(entries, func(e tracker.Event) bool {
		now, stands := r.rec.Stands(e.ID)
		return stands && r.unset(r.rec.Corrected(now).Mid()) != ""
	})
}
