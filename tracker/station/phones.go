package station

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"

	"soaktag/tracker/store"
	"soaktag/tracker/wholefile"
)

// A Phone is a device that was paired, whatever it is.
type Phone struct {
	ID      string    `json:"id"`
	Name    string    `json:"name"`
	Token   string    `json:"token"` // SHA-256 of its token in hexadecimal: nobody can become it who reads this
	Paired  time.Time `json:"paired"`
	Seen    time.Time `json:"-"` // to the minute
	Revoked bool      `json:"-"`
}

var (
	errUnknown = errors.New("no such phone")
	errRevoked = errors.New("revoked")
)

// A folder is where a station keeps its phones, the secret behind its links, and its
// certificate. It lies beside the study, not in it, so that backups and exports carry
// no keys; without it everybody pairs again.
//
// Each phone has a file of its own. A phone that is revoked has its file renamed, and
// one that is seen has the time of its file changed: so no program overwrites what
// another wrote, and what is revoked at a second terminal is so at once.
type folder struct {
	path string

	mu      sync.Mutex
	touched map[string]time.Time
}

// FolderOf is the folder of the station of a study.
func FolderOf(study string) string {
	return strings.TrimSuffix(study, store.Extension) + ".station"
}

// openFolder opens the folder of a study's station, and makes it where there is none.
func openFolder(study string) (*folder, error) {
	f := &folder{path: FolderOf(study), touched: map[string]time.Time{}}
	if err := os.Mkdir(f.path, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return nil, fmt.Errorf("the folder %s for the station's phones cannot be made: %w", f.path, wholefile.Cause(err))
	}
	if _, err := os.Stat(f.secret()); err == nil {
		return f, nil
	}
	return f, f.newSecret()
}

// secret is the file of what the links are made of.
func (f *folder) secret() string { return filepath.Join(f.path, "links") }

func (f *folder) newSecret() error {
	return wholefile.ReplaceSecret(f.secret(), func(w io.Writer) error { _, err := io.WriteString(w, newToken()); return err })
}

// What the token of a link is for.
const (
	forGuests    = "guests"
	forCalendars = "calendars"
)

// token is the token of a link: the same each time the station runs, and found by
// nobody who does not have the secret. Without one no token is right.
func (f *folder) token(what string) string {
	secret, err := os.ReadFile(f.secret())
	if err != nil || len(secret) == 0 {
		return newToken()
	}
	mac := hmac.New(sha256.New, secret)
	mac.Write([]byte(what))
	return hex.EncodeToString(mac.Sum(nil)[:16])
}

// newToken is a text of 128 bits that nobody can guess.
func newToken() string { return strings.ToLower(rand.Text()) }

func sumOf(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// add keeps a new phone and returns what it has to send from now on.
func (f *folder) add(name string, now time.Time) (Phone, string, error) {
	id, token := newToken()[:8], newToken()
	phone := Phone{ID: id, Name: name, Token: sumOf(token), Paired: now}
	return phone, id + "." + token, f.write(phone)
}

// again gives a phone that is paired already another name and token. It stays the same phone.
func (f *folder) again(phone Phone, name string) (Phone, string, error) {
	token := newToken()
	phone.Name, phone.Token = name, sumOf(token)
	return phone, phone.ID + "." + token, f.write(phone)
}

func (f *folder) write(phone Phone) error {
	return wholefile.ReplaceSecret(f.file(paired, phone.ID), func(w io.Writer) error { return json.NewEncoder(w).Encode(phone) })
}

// What the file of a phone is called by.
const (
	paired  = "phone-"
	revoked = "revoked-"
)

func (f *folder) file(lead, id string) string { return filepath.Join(f.path, lead+id+".json") }

var phoneID = regexp.MustCompile(`^[a-z2-7]{8}$`) // as rand.Text has it, in small letters

// find is the phone that sends this. The errors are errUnknown and errRevoked.
func (f *folder) find(sent string) (Phone, error) {
	id, token, _ := strings.Cut(sent, ".")
	if !phoneID.MatchString(id) {
		return Phone{}, errUnknown
	}
	lead := paired
	phone, err := f.read(lead, id)
	if err != nil {
		lead = revoked
		phone, err = f.read(lead, id)
	}
	switch {
	case err != nil || subtle.ConstantTimeCompare([]byte(sumOf(token)), []byte(phone.Token)) != 1:
		return Phone{}, errUnknown
	case lead == revoked:
		return Phone{}, errRevoked
	}
	return phone, nil
}

func (f *folder) read(lead, id string) (phone Phone, err error) {
	path := f.file(lead, id)
	text, err := os.ReadFile(path)
	if err != nil {
		return phone, err
	}
	if err := json.Unmarshal(text, &phone); err != nil || phone.ID != id {
		return phone, fmt.Errorf("%s is not what a station wrote", path)
	}
	info, err := os.Stat(path)
	if err != nil {
		return phone, err
	}
	phone.Seen, phone.Revoked = info.ModTime(), lead == revoked
	return phone, nil
}

// seen remembers when a phone was here, to the minute.
func (f *folder) seen(id string, now time.Time) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if now.Sub(f.touched[id]).Abs() < time.Minute {
		return
	}
	f.touched[id] = now
	_ = os.Chtimes(f.file(paired, id), now, now) // gone: it was revoked meanwhile
}

// Phones lists the phones that were ever paired with the station of a study, the
// one that was seen last first.
func Phones(study string) (all []Phone, err error) {
	f := &folder{path: FolderOf(study)}
	entries, err := os.ReadDir(f.path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	for _, e := range entries {
		for _, lead := range []string{paired, revoked} {
			if id, ok := strings.CutPrefix(strings.TrimSuffix(e.Name(), ".json"), lead); ok && phoneID.MatchString(id) {
				phone, wrong := f.read(lead, id)
				err = errors.Join(err, wrong)
				if wrong == nil {
					all = append(all, phone)
				}
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Phone) int { return b.Seen.Compare(a.Seen) })
	return all, err
}

// Revoke takes back the pairing of a phone, by its id or, where only one is called
// so, its name. A station that runs lets it in no more. The error says which there are.
func Revoke(study, which string) (Phone, error) {
	all, err := Phones(study)
	if err != nil {
		return Phone{}, err
	}
	all = slices.DeleteFunc(all, func(p Phone) bool { return p.Revoked })
	meant := slices.DeleteFunc(slices.Clone(all), func(p Phone) bool { return p.ID != which && !strings.EqualFold(p.Name, which) })
	if len(meant) != 1 {
		return Phone{}, &NotOne{Which: which, Meant: len(meant), Of: all}
	}
	f := &folder{path: FolderOf(study)}
	return meant[0], os.Rename(f.file(paired, meant[0].ID), f.file(revoked, meant[0].ID))
}

// A NotOne is a name that stands for no phone, or for several.
type NotOne struct {
	Which string
	Meant int
	Of    []Phone // those that are paired
}

func (e *NotOne) Error() string {
	var names []string
	for _, p := range e.Of {
		names = append(names, fmt.Sprintf("%s (%s)", p.ID, p.Name))
	}
	switch {
	case len(e.Of) == 0:
		return "no phone is paired"
	case e.Meant == 0:
		return fmt.Sprintf("no paired phone has the id or name %q; there are %s", e.Which, strings.Join(names, ", "))
	}
	return fmt.Sprintf("%d phones are called %q; name the one by its id: %s", e.Meant, e.Which, strings.Join(names, ", "))
}

// NewLinks makes the links of guests and calendars of a study's station new: the old
// ones lead nowhere from now on.
func NewLinks(study string) error {
	f, err := openFolder(study)
	if err != nil {
		return err
	}
	return f.newSecret()
}
