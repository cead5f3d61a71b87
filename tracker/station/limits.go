package station

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"soaktag/labels/photo"
	"soaktag/tracker/wording"
)

// How much may come at once. A workshop has a few phones; whatever is beyond that
// is a fault or somebody's mischief, and is told to come again.
const (
	mostRequests  = 128 // being answered, those that go on among them
	mostStrangers = 64  // of these, such as no phone sends
	mostStranger  = 32  // of one address that is no phone's

	mostListening    = 64 // answers that go on, such as news
	mostListeningOne = 6  // of one phone: a tab each

	mostBytes    = 400 << 20 // of bodies in hand
	mostReadings = 4         // of photographs at a time, on a machine of eight processors or more
	wholePixels  = 16 << 20  // a larger photograph is read while no other such is: one of 52 million takes 0.8 GB

	asksAMinute   = 3000 // of one phone
	photosAMinute = 120  // of one phone: a queue kept for an hour may come at once
	triesAMinute  = 30   // of one address, to guess a pairing code
	looksAMinute  = 60   // of one address, by the links of guests and calendars

	patience     = 30 * time.Second // with one photograph
	strangerTime = time.Minute      // with who is no phone, and may not even read the answer
)

// limits hold what is in hand against how much may be.
type limits struct {
	pace     pace          // of what phones send
	hurry    time.Duration // for all of an exchange with who is none
	requests atomic.Int64
	bytes    atomic.Int64
	readings chan struct{} // a place each
	large    chan struct{}
	asks     *rate
	photos   *rate
	tries    *rate
	links    *rate

	mu        sync.Mutex
	all       int            // answers that go on
	listening map[string]int // of each phone
	strangers map[string]int // requests in hand, by address
}

func newLimits(clock func() time.Time) *limits {
	return &limits{
		pace:     slowest,
		hurry:    strangerTime,
		readings: make(chan struct{}, min(max(1, runtime.GOMAXPROCS(0)/2), mostReadings)), // the others are for whoever types
		large:    make(chan struct{}, 1),
		asks:     newRate(clock, asksAMinute),
		photos:   newRate(clock, photosAMinute),
		tries:    newRate(clock, triesAMinute),
		links:    newRate(clock, looksAMinute),

		listening: map[string]int{},
		strangers: map[string]int{},
	}
}

// enter takes a request in, unless there are too many. Then leave is not called. Who is
// no phone comes from an address, and never takes the places of the phones.
func (l *limits) enter(stranger string) bool {
	if !l.enterStranger(stranger) {
		return false
	}
	if l.requests.Add(1) > mostRequests {
		l.leave(stranger)
		return false
	}
	return true
}

func (l *limits) leave(stranger string) {
	l.requests.Add(-1)
	if stranger == "" {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.strangers[stranger]--; l.strangers[stranger] == 0 {
		delete(l.strangers, stranger)
	}
}

func (l *limits) enterStranger(address string) bool {
	if address == "" {
		return true
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	all := 0
	for _, n := range l.strangers {
		all += n
	}
	if all >= mostStrangers || l.strangers[address] >= mostStranger {
		return false
	}
	l.strangers[address]++
	return true
}

// within calls do with a body of at most so many bytes. A body whose length is not
// said counts as the longest that may come.
func (s *Station) within(most int64, w http.ResponseWriter, r *http.Request, do func(r *http.Request)) {
	size := r.ContentLength
	if size > most {
		w.Header().Set("Connection", "close") // what follows is not even read
		s.deny(w, r, wording.TooLarge)
		return
	}
	if size < 0 {
		size = most
	}
	defer s.limits.bytes.Add(-size)
	if s.limits.bytes.Add(size) > mostBytes {
		s.deny(w, r, wording.TooBusy)
		return
	}
	if r.Body != nil && r.Body != http.NoBody {
		r.Body = http.MaxBytesReader(w, r.Body, most)
		if phoneOf(r).ID != "" {
			r.Body = paced(s.limits.pace, w, r.Body)
		}
	}
	do(r)
}

// endless takes the limits of time from an answer that goes on, such as news, which must
// end when the station does, and then call leave. It reports false where a phone, or all
// of them, have too many such, and then turned the request away.
func (s *Station) endless(w http.ResponseWriter, r *http.Request) (leave func(), ok bool) {
	phone := phoneOf(r).ID
	if !s.limits.listen(phone) {
		s.deny(w, r, wording.TooMany)
		return nil, false
	}
	control := http.NewResponseController(w)
	if err := errors.Join(control.SetReadDeadline(time.Time{}), control.SetWriteDeadline(time.Time{})); err != nil {
		s.limits.hush(phone)
		s.fail(w, r, err)
		return nil, false
	}
	return func() { s.limits.hush(phone) }, true
}

// listen counts an answer that goes on, unless there are too many.
func (l *limits) listen(phone string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.all >= mostListening || l.listening[phone] >= mostListeningOne {
		return false
	}
	l.all++
	l.listening[phone]++
	return true
}

func (l *limits) hush(phone string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.all--
	if l.listening[phone]--; l.listening[phone] == 0 {
		delete(l.listening, phone)
	}
}

// errSlow: a photograph was not read in the time there is.
var errSlow = errors.New("the photograph takes too long to read")

// readPhoto reads a photograph, with the list of what may be in it: so many at a
// time, and for so long. One that takes longer goes on in its place, so that no more
// than that many are ever read, but nobody waits for it: errSlow. The other errors
// are those of photo.Open. It is called without the study's lock.
func (s *Station) readPhoto(ctx context.Context, file []byte, list *photo.List) (photo.Look, error) {
	width, height, err := photo.Size(file)
	if err != nil {
		return photo.Look{}, err
	}
	leave, err := s.limits.place(ctx, width*height)
	if err != nil {
		return photo.Look{}, err
	}
	return await(ctx, func() (photo.Look, error) {
		defer leave()
		return photo.LookAt(file, list, photo.Options{})
	})
}

// place waits for a place among the photographs being read.
func (l *limits) place(ctx context.Context, pixels int) (leave func(), err error) {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	if err := sit(ctx, l.readings); err != nil {
		return nil, err
	}
	if pixels <= wholePixels {
		return func() { <-l.readings }, nil
	}
	if err := sit(ctx, l.large); err != nil {
		<-l.readings
		return nil, err
	}
	return func() { <-l.large; <-l.readings }, nil
}

// sit waits for one of the places.
func sit(ctx context.Context, places chan<- struct{}) error {
	select {
	case places <- struct{}{}:
		return nil
	case <-ctx.Done():
		return errSlow
	}
}

// await waits for read as long as there is patience. A fault of the reader is an
// error of this photograph and not the station's end.
func await(ctx context.Context, read func() (photo.Look, error)) (photo.Look, error) {
	type reading struct {
		look photo.Look
		err  error
	}
	done := make(chan reading, 1)
	go func() {
		var got reading
		defer func() {
			if fault := recover(); fault != nil {
				got.err = fmt.Errorf("the reader has a fault with this photograph: %v", fault)
			}
			done <- got
		}()
		got.look, got.err = read()
	}()
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	select {
	case got := <-done:
		return got.look, got.err
	case <-ctx.Done():
		return photo.Look{}, errSlow
	}
}

// A rate allows each of many so much a minute, and as much at once after a pause.
type rate struct {
	clock  func() time.Time
	minute float64
	mu     sync.Mutex
	left   map[string]allowance
}

type allowance struct {
	left float64
	at   time.Time
}

// mostKept is how many allowances are remembered before those that are full again
// are let go.
const mostKept = 1000

func newRate(clock func() time.Time, minute float64) *rate {
	return &rate{clock: clock, minute: minute, left: map[string]allowance{}}
}

// allow takes one from what who has left, unless nothing is.
func (l *rate) allow(who string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.clock()
	if len(l.left) > mostKept {
		l.forget(now)
	}
	a, known := l.left[who]
	if !known {
		a = allowance{l.minute, now}
	}
	a = allowance{l.after(a, now), now}
	if a.left < 1 {
		l.left[who] = a
		return false
	}
	a.left--
	l.left[who] = a
	return true
}

// after is what is left of an allowance by now.
func (l *rate) after(a allowance, now time.Time) float64 {
	return min(l.minute, a.left+max(0, now.Sub(a.at).Minutes())*l.minute)
}

// forget lets go of those that have all their allowance again, and of all of them
// where too many have not.
func (l *rate) forget(now time.Time) {
	for who, a := range l.left {
		if l.after(a, now) >= l.minute {
			delete(l.left, who)
		}
	}
	if len(l.left) > mostKept {
		clear(l.left)
	}
}
