package station

import (
	"context"
	"crypto/tls"
	"errors"
	"io"
	"log"
	"net"
	"net/http"
	"net/netip"
	"strconv"
	"time"
)

// Slow and idle connections are closed. What a phone sends may take as long as it keeps
// its pace; what does not comes again from the phone's queue.
const (
	headerTime = 10 * time.Second
	answerTime = 3*time.Minute + patience // since the last piece of the body
	idleTime   = 2 * time.Minute
	endTime    = 700 * time.Millisecond // for answers in hand when the station ends
	mostHeader = 16 << 10
)

// URL is the address of something that the station serves.
func (s *Station) URL(path string) string {
	if s.Secure {
		return "https://" + s.Address + path
	}
	return "http://" + s.Address + path
}

// GuestURL is the link that shows results and report, and nothing else.
func (s *Station) GuestURL() string { return s.URL("/guest/" + s.phones.token(forGuests) + "/") }

// CalendarURL is the link that a calendar program subscribes to.
func (s *Station) CalendarURL() string {
	return s.URL("/calendar.ics?token=" + s.phones.token(forCalendars))
}

// Serve answers on a listener until stop is closed. What is in hand then is answered,
// or at least recorded whole or not at all, and nothing new is taken.
func (s *Station) Serve(stop <-chan struct{}, l net.Listener) error {
	server := s.server()
	ended := make(chan error, 1)
	go func() { ended <- s.serve(server, newBounded(l)) }()
	select {
	case err := <-ended:
		s.stop()
		return err
	case <-stop:
	}
	s.stop()
	return closeServer(server)
}

func (s *Station) serve(server *http.Server, l net.Listener) error {
	if !s.Secure {
		return server.Serve(l)
	}
	server.TLSConfig = &tls.Config{Certificates: []tls.Certificate{s.certificate}, MinVersion: tls.VersionTLS12}
	return server.ServeTLS(l, "", "")
}

// stop ends what goes on, such as news.
func (s *Station) stop() { s.end.Do(func() { close(s.ending) }) }

func closeServer(server *http.Server) error {
	ctx, cancel := context.WithTimeout(context.Background(), endTime)
	defer cancel()
	err := server.Shutdown(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		return server.Close()
	}
	return err
}

func (s *Station) server() *http.Server {
	return &http.Server{
		Handler:           s.Handler(),
		ReadHeaderTimeout: headerTime,
		ReadTimeout:       strangerTime,
		WriteTimeout:      strangerTime + answerTime,
		IdleTimeout:       idleTime,
		MaxHeaderBytes:    mostHeader,
		ErrorLog:          log.New(io.Discard, "", 0), // it would tell of every phone that does not know the certificate yet
	}
}

func portOf(a netip.AddrPort) string { return strconv.Itoa(int(a.Port())) }
