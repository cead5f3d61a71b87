package intake

import (
	"slices"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// A BathNow is everything that belongs into one bath, as it stands at an instant.
type BathNow struct {
	Name   string
	In     []*tracker.Life // under water
	ToCome []*tracker.Life // not yet, or between two passes
	Out    []*tracker.Life // lifted out, or broken
	Gone   []*tracker.Life // fell apart, lost, damaged, withdrawn
	Means  []Means
	Water  *tracker.Due // the next change of its water; nil where none is asked for
}

// A Means is whom a bath's tag stands for at a stage, and why not the others.
type Means struct {
	Stage  schedule.Stage // with its pass
	Codes  []labels.Code
	Others []NotMeant
}

// InBath tells of a bath what lies in it at an instant, which is now; due is what is
// due then.
func InBath(rec *tracker.Record, bath string, due []tracker.Due, now time.Time) BathNow {
	b := BathNow{Name: bath}
	for _, life := range rec.Lives() {
		if life.Specimen.Bath == bath && isSoaked(rec, life) {
			b.place(life)
		}
	}
	for _, d := range due {
		if d.Stage == tracker.WaterChange && d.Bath == bath {
			b.Water = &d
		}
	}
	d := &Desk{rec: rec, now: func() time.Time { return now }}
	for _, life := range slices.Concat(b.In, b.ToCome) {
		d.means(&b, life.NextNamed(), now)
	}
	return b
}

func (b *BathNow) place(life *tracker.Life) {
	parted := life.Break()
	switch {
	case life.End != "", parted != nil && parted.How == tracker.FellApart:
		b.Gone = append(b.Gone, life)
	case parted == nil && life.InWater():
		b.In = append(b.In, life)
	case parted == nil && (len(life.Spells) == 0 || life.Next == schedule.Immersion):
		b.ToCome = append(b.ToCome, life)
	default:
		b.Out = append(b.Out, life)
	}
}

// means adds whom the tag means at a stage under water, once.
func (d *Desk) means(b *BathNow, stage schedule.Stage, now time.Time) {
	if of, _ := schedule.PassOf(stage); !of.Wet() || slices.ContainsFunc(b.Means, func(m Means) bool { return m.Stage == stage }) {
		return
	}
	m := Means{Stage: stage}
	lives, others := d.inBath(tracker.Event{Kind: tracker.Staged, Stage: stage, At: schedule.At(now), Recorded: now}, b.Name)
	for _, life := range lives {
		m.Codes = append(m.Codes, life.Specimen.Code)
	}
	m.Others = others
	b.Means = append(b.Means, m)
}

// Became lists what may be said of a specimen that does not go on as it was meant
// to, in the words of How and Ending: of one that is out of the count that it is
// found, of one that is broken nothing.
func Became(life *tracker.Life) []string {
	switch {
	case life.End != "":
		return []string{string(tracker.Found)}
	case life.Break() != nil:
		return nil
	}
	return []string{string(tracker.FellApart), string(tracker.Damaged), string(tracker.Lost), string(tracker.Withdrawn)}
}
