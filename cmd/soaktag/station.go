package main

import (
	"bufio"
	"errors"
	"io"
	"net/netip"
	"os"
	"runtime/debug"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/labels/qr"
	"soaktag/tracker/station"
	"soaktag/tracker/wording"
)

// stationCommand serves the study to phones on the workshop's network.
func (s *session) stationCommand() *cli.Command {
	return &cli.Command{
		Name:  "station",
		Usage: "serve the study to phones at the tub, on the workshop's network",
		Flags: []cli.Flag{studyFlag(),
			&cli.StringFlag{Name: "address", Usage: "serve on this `IP[:PORT]` of this machine (port 8080 unless given)"},
			&cli.BoolFlag{Name: "tls", Usage: "encrypt, with a certificate of its own: phones have the live camera then"},
			&cli.BoolFlag{Name: "guest", Usage: "show the link for guests as well: results and report, nothing else"},
			&cli.BoolFlag{Name: "phones", Usage: "list the phones that were ever paired, and end"},
			&cli.StringFlag{Name: "revoke", Usage: "let the `PHONE` with that id or name in no more, and end"},
			&cli.BoolFlag{Name: "new-links", Usage: "make the links of guests and calendars lead nowhere, and end"}},
		Action: s.station,
	}
}

func (s *session) station(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	if c.Bool("phones") || c.IsSet("revoke") || c.Bool("new-links") {
		return s.stationPhones(c)
	}
	at, err := s.stationAddress(c)
	if err != nil {
		return err
	}
	return s.serve(c, at)
}

// serve runs the station until it is interrupted, and sums up what came in.
func (s *session) serve(c *cli.Context, at netip.AddrPort) error {
	db, _, err := s.open(c)
	if err != nil {
		return err
	}
	defer db.Close()
	debug.SetGCPercent(100) // this run is long
	listener, err := station.Listen(at)
	if err != nil {
		return notListening(err)
	}
	defer listener.Close()
	st, err := station.New(station.Options{DB: db, File: s.file, Clock: s.now, Address: listener.Addr().String(),
		Secure: c.Bool("tls"), Log: func(line string) { io.WriteString(s.stdout, line+"\n") }})
	if err != nil {
		return err
	}
	if !c.Bool("tls") {
		s.warn("%s", wording.Overheard)
	}
	st.Welcome(c.Bool("guest"))
	go s.invite(st)
	if err := st.Serve(s.stop, listener); err != nil {
		return err
	}
	st.Sum()
	return errInterrupted
}

// invite shows a pairing code, and a new one at each Enter.
func (s *session) invite(st *station.Station) {
	for in := bufio.NewScanner(s.stdin); ; {
		code := st.Invite()
		text := wording.Invited(code.URL, code.Until, st.Zone())
		if symbol, err := qr.Encode(code.URL); err == nil && s.onScreen {
			text = screen.Symbol(symbol.Size, qr.QuietZone, symbol.Dark, os.Getenv("NO_COLOR") == "") + text
		}
		st.Say(text)
		if !in.Scan() {
			return
		}
	}
}

// stationAddress is --address, else that of the workshop's network; where there are
// several, somebody has to say which.
func (s *session) stationAddress(c *cli.Context) (netip.AddrPort, error) {
	if c.IsSet("address") {
		at, err := station.ParseAddress(c.String("address"))
		return at, refused(err)
	}
	all, err := station.Addresses()
	if err != nil {
		return netip.AddrPort{}, err
	}
	at, err := station.Choose(all, s.ask)
	return at, notListening(err)
}

// notListening says what is in the way, and what to type.
func notListening(err error) error {
	var no *station.NoAddress
	if !errors.As(err, &no) {
		return err
	}
	return withHint(refused(err), "%s: soaktag station --address %s", wording.Elsewhere, no.Instead)
}

// stationPhones lists the phones that were paired, after one of them was revoked or
// the links were made new.
func (s *session) stationPhones(c *cli.Context) error {
	db, rec, err := s.openToRead(c)
	if err != nil {
		return err
	}
	defer db.Close()
	if which := c.String("revoke"); which != "" {
		phone, err := station.Revoke(s.file, which)
		if err != nil {
			return refused(err)
		}
		s.say("%s is let in no more", phone.Name)
	}
	if c.Bool("new-links") {
		if err := station.NewLinks(s.file); err != nil {
			return err
		}
		s.say("the old links of guests and calendars lead nowhere now")
	}
	all, err := station.Phones(s.file)
	s.listPhones(all, rec.Zone())
	return err
}

func (s *session) listPhones(all []station.Phone, zone *time.Location) {
	t := screen.NewTable("id", "phone", "paired", "last here")
	for _, p := range all {
		t.Row(p.ID, p.Name, wording.Time(p.Paired, zone), wording.LastHere(p.Seen, zone, p.Revoked))
	}
	if len(all) == 0 {
		s.hint("none yet; this lets them in: soaktag station")
	}
	s.print("%s", t)
}
