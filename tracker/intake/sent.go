package intake

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/google/uuid"

	"soaktag/labels"
	"soaktag/labels/photo"
)

// A Phone is a device that hands in what people did at it.
type Phone struct{ ID, Name string }

// A SentKind says what an entry of a phone is.
type SentKind string

// The kinds of entries.
const (
	SentLine  SentKind = "line"  // a code or a card: typed, tapped, or seen by the camera
	SentPhoto SentKind = "photo" // a photograph of labels
	SentBreak SentKind = "break" // a try at breaking one
	SentFaces SentKind = "faces" // fracture faces of one half, or a photograph of them
	SentEnded SentKind = "ended" // fell apart, or out of the count, or back into it
	SentUndo  SentKind = "undo"  // another entry is taken back
	SentYes   SentKind = "yes"   // what another entry asks stands

	SentAccept SentKind = "accept" // what asks stands, whoever recorded it

	SentMeasure SentKind = "measure" // a mass, or how warm a bath is
)

// A Sent is an entry that was made on a phone and handed in, perhaps hours later and
// perhaps more than once. Its id was made on the phone: the same id is the same entry,
// whenever it comes and however often. What the phone showed when it was made, the
// stage above all, is what is recorded.
type Sent struct {
	Phone Phone
	Study string   // the StudyID that the page knew; empty where it knew none yet
	ID    string   // a UUID in its usual spelling
	N     int64    // counts the entries of that phone
	At    shownAt  // when, by the phone's clock
	By    string   // who
	Stage string   // in force on the phone; empty for none
	Kind  SentKind // what it is

	Line  string
	Found []photo.Found // what the page's reader found; nil where it did not read
	Break Try
	Faces Faces
	Ended string  // how, of the subject of Break
	Stand Accept  `json:",omitzero"` // what is accepted; of older entries the hash stays the same
	Gauge Measure `json:",omitzero"` // one value; likewise
	Of    string  // the entry that UNDO or YES means; may be empty where a card says so

	Photo []byte      // of the file as the camera made it; nil for none
	Seen  *photo.Look // what the station itself read in it; nil where it could not

	sum     [32]byte // of what it says
	picture string   // the photograph's, as tracker.PhotoSum has it
}

// An Unfit is why something is no entry that could be taken. Nothing is recorded, and
// the same again will not be taken either.
type Unfit struct {
	Why   string
	Clash bool   // its id stands for another entry
	Here  string // it was made for another study than this one, by its StudyID; else empty
}

func (e *Unfit) Error() string { return e.Why }

func unfit(format string, args ...any) error { return &Unfit{Why: fmt.Sprintf(format, args...)} }

// What an entry may hold. A label holds ten characters; whoever sends more is no page
// of ours.
const (
	mostEntry = 256 << 10 // bytes
	mostText  = 300       // of a text in it
	mostFound = 1000      // symbols in a photograph
)

// A sentDoc is an entry as a page writes it.
type sentDoc struct {
	ID    string      `json:"id"`
	Study string      `json:"study"`
	N     int64       `json:"n"`
	At    int64       `json:"at"`
	By    string      `json:"by"`
	Stage string      `json:"stage"`
	Clock clockDoc    `json:"clock"`
	Kind  SentKind    `json:"kind"`
	Line  string      `json:"line"`
	Found *[]foundDoc `json:"found"`
	Break struct {
		Subject string `json:"subject"`
		Rig     string `json:"rig"`
		Reading string `json:"reading"`
		Ended   string `json:"ended"`
		Wood    string `json:"wood"`
		Mode    string `json:"mode"`
		State   string `json:"state"`
	} `json:"break"`
	Faces struct {
		Subject string `json:"subject"`
		Wood    string `json:"wood"`
		Mode    string `json:"mode"`
		Shallow truth  `json:"shallow"`
	} `json:"faces"`
	Ended struct {
		Subject string `json:"subject"`
		How     string `json:"how"`
	} `json:"ended"`
	Accept struct {
		Subject string `json:"subject"`
		Rule    string `json:"rule"`
	} `json:"accept"`
	Measure struct {
		Subject string `json:"subject"`
		Name    string `json:"name"`
		Value   string `json:"value"` // with its unit
	} `json:"measure"`
	Of string `json:"of"`
}

// A foundDoc is a symbol that the page's reader found.
type foundDoc struct {
	Text      string        `json:"text"`
	How       string        `json:"how"`
	Corners   [4][2]float64 `json:"corners"`
	Ambiguous bool          `json:"ambiguous"`
}

// A truth is a yes of a form: true, or a text that says so.
type truth bool

func (t *truth) UnmarshalJSON(text []byte) error {
	word := strings.Trim(string(text), `"`)
	*t = truth(word == "true" || word == "1" || word == "yes" || word == "on")
	return nil
}

// ParseSent reads an entry of a phone, still without its photograph. Every error is
// an *Unfit: a stranger's text is never half an entry.
func ParseSent(from Phone, entry []byte) (Sent, error) {
	var doc sentDoc
	if from.ID == "" || strings.ContainsAny(from.ID, " /") {
		return Sent{}, unfit("%s is the id of no device", Quoted(from.ID))
	}
	if len(entry) > mostEntry {
		return Sent{}, unfit("the entry has %d bytes, and at most %d are read", len(entry), mostEntry)
	}
	if err := json.NewDecoder(bytes.NewReader(entry)).Decode(&doc); err != nil {
		return Sent{}, unfit("the entry is no JSON that could be read: %v", err)
	}
	id, err := uuid.Parse(doc.ID)
	if err != nil || id.String() != doc.ID {
		return Sent{}, unfit("the entry has no id: want a UUID in small letters, not %s", Quoted(doc.ID))
	}
	if err := doc.within(); err != nil {
		return Sent{}, err
	}
	s := Sent{Phone: from, Study: doc.Study, ID: doc.ID, N: doc.N, By: oneLine(doc.By), Stage: doc.Stage, Kind: doc.Kind, Line: doc.Line, Of: doc.Of}
	if s.At, err = doc.Clock.of(doc.At); err != nil {
		return Sent{}, err
	}
	s.Found = doc.found()
	s.Break = Try{Subject: doc.Break.Subject, Rig: doc.Break.Rig, Reading: doc.Break.Reading, Ended: doc.Break.Ended,
		WoodFailure: doc.Break.Wood, Mode: doc.Break.Mode, State: doc.Break.State}
	s.Faces = Faces{Subject: doc.Faces.Subject, WoodFailure: doc.Faces.Wood, Mode: doc.Faces.Mode, Shallow: bool(doc.Faces.Shallow)}
	if doc.Kind == SentEnded {
		s.Break, s.Ended = Try{Subject: doc.Ended.Subject}, doc.Ended.How
	}
	if doc.Kind == SentAccept {
		s.Stand = Accept{Words: []string{doc.Accept.Subject}, Rule: doc.Accept.Rule}
	}
	if doc.Kind == SentMeasure {
		s.Gauge = Measure{Subjects: []string{doc.Measure.Subject}, Values: []string{doc.Measure.Name + "=" + doc.Measure.Value}}
	}
	return s, nil
}

// within checks that an entry is one, and bounded.
func (doc *sentDoc) within() error {
	switch doc.Kind {
	case SentLine, SentPhoto, SentBreak, SentFaces, SentEnded, SentUndo, SentYes, SentAccept, SentMeasure:
	default:
		return unfit("%s is no kind of entry", Quoted(string(doc.Kind)))
	}
	if doc.N < 1 || doc.N > 1<<53 {
		return unfit("an entry is counted from 1 on; this one says %d", doc.N)
	}
	if doc.Of != "" || doc.Kind == SentUndo || doc.Kind == SentYes {
		if id, err := uuid.Parse(doc.Of); err != nil || id.String() != doc.Of || doc.Of == doc.ID {
			return unfit("%s names no other entry", Quoted(doc.Of))
		}
	}
	if doc.Kind == SentAccept && (oneLine(doc.Accept.Subject) == "" || oneLine(doc.Accept.Rule) == "") {
		return unfit("an entry that accepts names what and by which rule it asks")
	}
	for _, text := range []string{doc.Study, doc.By, doc.Stage, doc.Line, doc.Break.Subject, doc.Break.Rig, doc.Break.Reading, doc.Break.Ended, doc.Break.Wood,
		doc.Break.Mode, doc.Break.State, doc.Faces.Subject, doc.Faces.Wood, doc.Faces.Mode, doc.Ended.Subject, doc.Ended.How,
		doc.Accept.Subject, doc.Accept.Rule, doc.Measure.Subject, doc.Measure.Name, doc.Measure.Value} {
		if len(text) > mostText {
			return unfit("a text of the entry has %d bytes, and at most %d are read", len(text), mostText)
		}
		if !utf8.ValidString(text) || strings.ContainsFunc(text, unicode.IsControl) {
			return unfit("a text of the entry holds characters that nobody types: %s", Quoted(text))
		}
	}
	if doc.Found != nil && len(*doc.Found) > mostFound {
		return unfit("the entry names %d symbols in one photograph, and at most %d are read", len(*doc.Found), mostFound)
	}
	return nil
}

// found is what the page's reader found, as our own reader says it; nil where it did
// not read.
func (doc *sentDoc) found() []photo.Found {
	if doc.Found == nil {
		return nil
	}
	all := []photo.Found{}
	for _, f := range *doc.Found {
		if len(f.Text) > mostText || !utf8.ValidString(f.Text) {
			continue
		}
		found := photo.Found{Text: f.Text, How: photo.Matched, Ambiguous: f.Ambiguous}
		if f.How == string(photo.Decoded) {
			found.How = photo.Decoded
		}
		if code, err := labels.Parse(f.Text); err == nil {
			found.Code, found.Half = code, code.Half
		}
		for i, c := range f.Corners {
			found.Corners[i] = photo.Point{X: c[0], Y: c[1]}
		}
		all = append(all, found)
	}
	return all
}

// oneLine is a text without spaces around it and without several in a row.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// now is the instant by the phone's own clock.
func (s Sent) now() time.Time { return s.At.shown }
