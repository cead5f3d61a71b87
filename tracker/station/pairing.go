package station

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/json"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"soaktag/tracker/wording"
)

// codeLasts is how long a pairing code may be used, once.
const codeLasts = 5 * time.Minute

// codeLength are the characters of a pairing code, of five bits each: short enough
// to be typed where no camera reads the symbol, and at triesAMinute not to be guessed.
const codeLength = 10

// pairing holds the one code that pairs the next phone.
type pairing struct {
	mu    sync.Mutex
	code  string
	until time.Time
}

// An Invitation pairs one phone.
type Invitation struct {
	URL   string // with the code in its fragment, which no browser sends and no log keeps
	Until time.Time
}

// Invite makes a new pairing code. The one before is good no longer.
func (s *Station) Invite() Invitation {
	s.pair.mu.Lock()
	defer s.pair.mu.Unlock()
	s.pair.code, s.pair.until = rand.Text()[:codeLength], s.Clock().Add(codeLasts)
	return Invitation{s.URL("/#pair=" + s.pair.code), s.pair.until}
}

// use reports whether this is the code, which then is one no longer.
func (p *pairing) use(code string, now time.Time) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	right := subtle.ConstantTimeCompare([]byte(sumOf(p.code)), []byte(sumOf(code))) == 1
	if !right || p.code == "" || now.After(p.until) {
		return false
	}
	p.code = ""
	return true
}

// servePair pairs the phone that brings the code.
func (s *Station) servePair(w http.ResponseWriter, r *http.Request) {
	if !s.limits.tries.allow(addressOf(r)) {
		s.deny(w, r, wording.TooManyTries)
		return
	}
	var asked struct{ Code, Name string }
	if err := json.NewDecoder(r.Body).Decode(&asked); err != nil {
		s.deny(w, r, wording.NotUnderstood)
		return
	}
	if !s.pair.use(strings.ToUpper(strings.TrimSpace(asked.Code)), s.Clock()) {
		s.deny(w, r, wording.WrongCode)
		return
	}
	phone, token, err := s.admitPhone(r, deviceName(asked.Name))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.log.line(phone.Name, wording.PhonePaired(phone.ID))
	http.SetCookie(w, s.cookieOf(token))
	s.answer(w, map[string]any{"phone": map[string]string{"id": phone.ID, "name": phone.Name}})
}

// admitPhone makes a phone of whoever brought the code. One that is paired already
// stays the phone that it is, with its desk.
func (s *Station) admitPhone(r *http.Request, name string) (Phone, string, error) {
	if known, why := s.known(r); why == wording.Admitted {
		return s.phones.again(known, name)
	}
	return s.phones.add(name, s.Clock())
}

const longestName = 40

// deviceName is what somebody calls a phone, made fit for a line.
func deviceName(text string) string {
	text = strings.Join(strings.Fields(wording.OneLine(text)), " ")
	for utf8.RuneCountInString(text) > longestName {
		_, last := utf8.DecodeLastRuneInString(text)
		text = text[:len(text)-last]
	}
	if text == "" {
		return wording.NamelessPhone
	}
	return text
}

// cookieOf is what a phone has to send from now on: no script sees it, no other site's
// page has it sent.
func (s *Station) cookieOf(token string) *http.Cookie {
	return &http.Cookie{
		Name: s.cookie, Value: token, Path: "/", MaxAge: 365 * 24 * 3600,
		HttpOnly: true, Secure: s.Secure, SameSite: http.SameSiteStrictMode,
	}
}

// addressOf is the address that a request comes from.
func addressOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}
