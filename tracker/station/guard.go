package station

import (
	"context"
	"crypto/subtle"
	"errors"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"
	"time"

	"soaktag/tracker/wording"
)

// guard is what everybody passes: the host that was asked for, the page that
// asks, and the headers that say what a browser may do with the answer.
func (s *Station) guard(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { s.deny(w, r, wording.ForeignPage) }))
	next = cross.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.secure(w.Header())
		switch {
		case !s.isHere(r.Host):
			s.deny(w, r, wording.ForeignHost)
		default:
			s.inHand(next, w, s.called(r))
		}
	})
}

// inHand answers a request, unless too many are in hand.
func (s *Station) inHand(next http.Handler, w http.ResponseWriter, r *http.Request) {
	stranger := ""
	if phoneOf(r).ID == "" {
		stranger = addressOf(r)
	}
	if !s.limits.enter(stranger) {
		s.deny(w, r, wording.TooBusy)
		return
	}
	defer s.limits.leave(stranger)
	if stranger != "" {
		hurry(w, s.limits.hurry)
	}
	next.ServeHTTP(w, r)
}

// hurry has an exchange end in so long.
func hurry(w http.ResponseWriter, within time.Duration) {
	control, end := http.NewResponseController(w), hence(within)
	_ = errors.Join(control.SetReadDeadline(end), control.SetWriteDeadline(end)) // a connection has both
}

// isHere reports whether a request names the address that the station was given.
// A page of another site that had its name pointed at this machine names its own.
func (s *Station) isHere(host string) bool {
	own, err := netip.ParseAddrPort(s.Address)
	if err != nil {
		return false
	}
	name, port, err := net.SplitHostPort(host)
	if err != nil {
		name, port = strings.Trim(host, "[]"), map[bool]string{false: "80", true: "443"}[s.Secure]
	}
	if port != portOf(own) {
		return false
	}
	if ip, err := netip.ParseAddr(name); err == nil {
		return ip == own.Addr()
	}
	return name == "localhost" && own.Addr().IsLoopback()
}

// policy is what a page may load and run: nothing from anywhere else.
var policy = []string{
	"default-src 'self'",
	"script-src 'self' 'wasm-unsafe-eval'",
	"style-src 'self'",
	"img-src 'self' blob: data:",
	"media-src 'self' blob:",
	"worker-src 'self' blob:",
	"connect-src 'self'",
	"base-uri 'none'",
	"form-action 'self'",
	"frame-ancestors 'none'",
	"object-src 'none'",
}

const policyHeader = "Content-Security-Policy"

func (s *Station) secure(h http.Header) {
	h.Set(policyHeader, strings.Join(policy, "; "))
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(self), microphone=(), geolocation=()")
	h.Set("Cache-Control", "no-store") // a handler that may be kept sets its own
}

// allow lets one page have more than the policy: what names a directive and its
// source, "style-src 'sha256-...'". It is called before the page is written.
func allow(w http.ResponseWriter, what ...string) {
	own := slices.Clone(policy)
	for _, more := range what {
		directive, source, _ := strings.Cut(more, " ")
		for i := range own {
			if name, _, _ := strings.Cut(own[i], " "); name == directive {
				own[i] += " " + source
			}
		}
	}
	w.Header().Set(policyHeader, strings.Join(own, "; "))
}

// gate lets those through that a route is for, with a body within its limit.
func (s *Station) gate(route route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if why := s.admit(route.who, r); why != wording.Admitted {
			s.deny(w, r, why)
			return
		}
		s.within(route.body, w, r, func(r *http.Request) { route.serve(s, w, r) })
	})
}

// callerKey is under what a request carries its caller.
type callerKey struct{}

// A caller is the phone that a request comes from, or why it is from none.
type caller struct {
	phone Phone
	why   wording.Turned
}

// called is a request that carries its caller.
func (s *Station) called(r *http.Request) *http.Request {
	phone, why := s.known(r)
	return r.WithContext(context.WithValue(r.Context(), callerKey{}, caller{phone, why}))
}

func callerOf(r *http.Request) caller {
	if c, ok := r.Context().Value(callerKey{}).(caller); ok {
		return c
	}
	return caller{why: wording.NotPaired}
}

// phoneOf is the phone that a request comes from; the zero Phone where it comes
// from somebody else who may.
func phoneOf(r *http.Request) Phone { return callerOf(r).phone }

// admit says whether somebody may have what an audience may have.
func (s *Station) admit(who audience, r *http.Request) wording.Turned {
	c := callerOf(r)
	switch {
	case c.why == wording.Admitted && !s.limits.asks.allow(c.phone.ID):
		return wording.TooMany
	case c.why == wording.Admitted, who == anyone:
		return wording.Admitted
	case who == guests:
		return s.byLink(r, r.PathValue("token"), forGuests)
	case who == calendars:
		return s.byLink(r, r.URL.Query().Get("token"), forCalendars)
	}
	return c.why
}

// byLink says whether somebody who is no phone brought the token of a link, and does
// not come too often.
func (s *Station) byLink(r *http.Request, token, what string) wording.Turned {
	switch {
	case !s.limits.links.allow(addressOf(r)):
		return wording.TooManyLooks
	case subtle.ConstantTimeCompare([]byte(token), []byte(s.phones.token(what))) != 1:
		return wording.NoSuchLink
	}
	return wording.Admitted
}

// known is the phone whose cookie came with a request.
func (s *Station) known(r *http.Request) (Phone, wording.Turned) {
	cookie, err := r.Cookie(s.cookie)
	if err != nil {
		return Phone{}, wording.NotPaired
	}
	phone, err := s.phones.find(cookie.Value)
	switch {
	case errors.Is(err, errRevoked):
		return Phone{}, wording.Revoked
	case err != nil:
		return Phone{}, wording.NotPaired
	}
	s.phones.seen(phone.ID, s.Clock())
	return phone, wording.Admitted
}
