package store

import (
	"bytes"
	"errors"
	"reflect"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

var noon = time.Date(2026, 3, 10, 12, 0, 0, 123e6, time.UTC)

func ptr[T any](v T) *T { return &v }

// fullEvent has every field set, so that a field forgotten by the codec or by
// the log in words shows up.
func fullEvent() tracker.Event {
	return tracker.Event{
		ID: "id-full", Kind: tracker.Tried,
		At: schedule.Span{From: noon, To: noon.Add(time.Hour)}, DeviceTime: true,
		Recorded: noon.Add(2 * time.Hour), By: "Anna", Device: "phone", Count: -7, Via: "scan",
		Code: "HBR-017-J", Half: 2, Stage: schedule.LiftOut, Bath: "B2", Note: "a \"note\"\nof two lines <&>", Reason: "r",
		Values: []tracker.Value{{Name: "bond_length", Text: "40.1 mm"}, {}, {Name: "room"}},
		Try: &tracker.Try{Rig: "press", Reading: "1310 psi", How: tracker.Separated, WoodFailure: ptr(0.0),
			Mode: "SF", State: "wet"},
		Faces: &tracker.Faces{WoodFailure: 12.5, Mode: "mixed", Shallow: true},
		End:   tracker.Lost, Target: "id-1", Rule: "double scan", Other: "HBR-018-K",
		Until: schedule.Span{From: noon, To: time.Time{}}, Shown: time.UnixMilli(0).UTC(), Issue: 3,
		Plan: []byte("title = \"x\"\r\n\x00é"), DealtBy: "seed 20260221", Doubt: "the time exists twice",
		Dealt: []tracker.Specimen{{Code: labels.Code{Prefix: "HBR", Serial: 1}, Name: "left", Adhesive: "EPX",
			Treatment: "soaked", Board: "A", BondedBlock: "b1", Bath: "B2", Order: 4, BondLength: 0.0401, BondWidth: 0.1 + 0.2, Parent: "HBR-007-K"},
			{Code: labels.Code{Prefix: "HBR", Serial: 2, Half: 1}}},
		Photo: tracker.PhotoSum(fullPhoto), PhotoType: "image/jpeg", Notebook: "tub.soaktag",
	}
}

// fullPhoto is the photograph that fullEvent names.
var fullPhoto = []byte("\xff\xd8\xff of a full event")

// minEvent has what no event can be without.
func minEvent() tracker.Event { return tracker.Event{ID: "a", Kind: tracker.Noted} }

// TestFullEventIsFull keeps fullEvent honest when the vocabulary grows.
func TestFullEventIsFull(t *testing.T) {
	e := fullEvent()
	for _, v := range []any{e, *e.Try, *e.Faces, e.Dealt[0], e.Values[0]} {
		for i, r := 0, reflect.ValueOf(v); i < r.NumField(); i++ {
			if name := r.Type().Field(i).Name; name != "Seq" && r.Field(i).IsZero() {
				t.Errorf("%T.%s is not set", v, name)
			}
		}
	}
}

func TestCodecRoundTrip(t *testing.T) {
	for _, e := range []tracker.Event{fullEvent(), minEvent()} {
		got, err := Decode(Encode(e))
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, e) {
			t.Errorf("got\n%+v\nwant\n%+v", got, e)
		}
	}
}

// TestCodecGolden pins the stored bytes: they may never change.
func TestCodecGolden(t *testing.T) {
	e := tracker.Event{Seq: 9, ID: "id", Kind: tracker.Staged, At: schedule.At(time.UnixMilli(1).UTC()), Count: -1, Code: "HBR-017-J",
		Stage: "cut", Faces: &tracker.Faces{WoodFailure: 80}}
	want := "\x01" + "\x01\x02id" + "\x02\x01\x08" + "\x03\x08\x00\x00\x00\x00\x00\x00\x00\x01" + "\x04\x08\x00\x00\x00\x00\x00\x00\x00\x01" +
		"\x09\x01\x01" + "\x0b\x09HBR-017-J" + "\x0d\x03cut" + "\x13\x04\x01\x0280"
	if got := string(Encode(e)); got != want {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

// TestEncodeNormalises lists what the record does not keep.
func TestEncodeNormalises(t *testing.T) {
	e := minEvent()
	e.Seq, e.Note = 7, "a\xff\xfeb"
	e.At = schedule.At(noon.Add(999 * time.Microsecond).In(time.FixedZone("x", 3600)))
	e.Values, e.Plan, e.Dealt = []tracker.Value{}, []byte{}, []tracker.Specimen{}
	want := minEvent()
	want.Note, want.At = "a\uFFFDb", schedule.At(noon)
	got, err := Decode(Encode(e))
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, %v; want %+v", got, err, want)
	}
}

func TestDecodeRefuses(t *testing.T) {
	const ok = "\x01\x01\x01a\x02\x01\x16"
	if _, err := Decode([]byte(ok)); err != nil {
		t.Fatal(err)
	}
	long := minEvent()
	long.ID = strings.Repeat("x", 65)
	late := minEvent()
	late.Recorded = time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC)
	nan := minEvent()
	nan.Faces = &tracker.Faces{WoodFailure: nanValue()}
	for name, body := range map[string]string{
		"empty":             "",
		"version":           "\x02" + ok[1:],
		"no id":             "\x01\x02\x01\x16",
		"no kind":           "\x01\x01\x01a",
		"unknown kind":      "\x01\x01\x01a\x02\x01\x40",
		"kind over 255":     "\x01\x01\x01a\x02\x02\x96\x04",
		"order":             "\x01\x02\x01\x16\x01\x01a",
		"twice":             ok + "\x02\x01\x16",
		"unknown field":     ok + "\x23\x01a",
		"photo no hash":     ok + "\x20\x01a\x21\x09image/png",
		"photo in capitals": ok + "\x20\x40" + strings.Repeat("AB", 32) + "\x21\x09image/png",
		"photo of no type":  ok + "\x20\x40" + strings.Repeat("ab", 32),
		"photo of a type":   ok + "\x20\x40" + strings.Repeat("ab", 32) + "\x21\x09image/gif",
		"type of no photo":  ok + "\x21\x09image/png",
		"cut":               ok[:len(ok)-1],
		"cut tag":           ok + "\x80",
		"long tag":          "\x01\x81\x00\x01a\x02\x01\x16",
		"long length":       "\x01\x01\x81\x00a\x02\x01\x16",
		"huge length":       "\x01\x01\xff\xff\xff\xff\xff\xff\xff\xff\xff\x01a",
		"overflow":          "\x01\xff\xff\xff\xff\xff\xff\xff\xff\xff\x7f",
		"empty text":        ok + "\x07\x00",
		"not UTF-8":         ok + "\x07\x01\xff",
		"zero int":          ok + "\x09\x01\x00",
		"bool of 2":         ok + "\x05\x01\x04",
		"short time":        ok + "\x06\x01\x01",
		"zero time":         ok + "\x06\x08\xff\xff\xc7\x7c\xed\xd3\x28\x00",
		"empty list":        ok + "\x11\x00",
		"number spelling":   ok + "\x13\x04\x01\x0208",
		"number exponent":   ok + "\x13\x05\x01\x0380.",
		"zero number":       ok + "\x13\x03\x01\x010",
		"minus zero":        ok + "\x12\x04\x04\x02-0",
		"infinite":          ok + "\x13\x06\x01\x04+Inf",
		"unknown in a list": ok + "\x11\x04\x03\x03\x01a",
		"long id":           string(Encode(long)),
		"year 10000":        string(Encode(late)),
		"not a number":      string(Encode(nan)),
	} {
		if e, err := Decode([]byte(body)); !errors.Is(err, ErrBody) {
			t.Errorf("%s: got %+v, %v", name, e, err)
		}
	}
}

func nanValue() float64 {
	zero := 0.0
	return zero / zero
}

// FuzzDecode: what is accepted is canonical, and nothing panics.
func FuzzDecode(f *testing.F) {
	f.Add(Encode(fullEvent()))
	f.Add(Encode(minEvent()))
	f.Add([]byte("\x01\x01\x01a\x02\x01\x16\x11\x01\x00"))
	f.Fuzz(func(t *testing.T, body []byte) {
		e, err := Decode(body)
		if err != nil {
			return
		}
		if again := Encode(e); !bytes.Equal(again, body) {
			t.Errorf("accepted %q, which is spelt %q", body, again)
		}
	})
}

// FuzzEncode: what is accepted once reads back as the same, whatever the texts.
func FuzzEncode(f *testing.F) {
	f.Add("id", uint8(4), int64(0), int64(1e12), "note", 1.5, []byte("plan"))
	f.Add("i\xff", uint8(16), int64(-62135596800000), int64(-1), "\x00", 0.0, []byte(nil))
	f.Fuzz(func(t *testing.T, id string, kind uint8, at, count int64, note string, share float64, plan []byte) {
		e := tracker.Event{ID: id, Kind: tracker.Kind(kind), At: schedule.At(time.UnixMilli(at)), Count: count, Note: note, Plan: plan,
			Faces: &tracker.Faces{WoodFailure: share}, Try: &tracker.Try{WoodFailure: &share}, Values: []tracker.Value{{Text: note}}}
		body := Encode(e)
		back, err := Decode(body)
		if err == nil && !bytes.Equal(Encode(back), body) {
			t.Errorf("%+v came back as %+v", e, back)
		}
	})
}
