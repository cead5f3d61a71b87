package station

import (
	"context"
	"errors"
	"io"
	"net/http"
	"time"
)

// A pace is how slowly the body of a request may come: each piece of so many bytes
// within so long. What counts is that it comes, not how long the whole takes.
type pace struct {
	piece  int64
	within time.Duration
}

// slowest is a photograph of 3 MB in ten minutes. A phone gives up at twice that rate
// (SLOWEST in page/send.js), so that it is the one to begin anew.
var slowest = pace{piece: 300_000, within: time.Minute}

// A pacedBody reads a body as long as it keeps its pace.
type pacedBody struct {
	io.ReadCloser
	pace    pace
	control *http.ResponseController
	left    int64 // of this piece
}

// paced gives a request's body limits of time that move on as it comes; those of the
// answer move with them.
func paced(p pace, w http.ResponseWriter, body io.ReadCloser) io.ReadCloser {
	return &pacedBody{ReadCloser: body, pace: p, control: http.NewResponseController(w)}
}

func (b *pacedBody) Read(into []byte) (int, error) {
	if b.left <= 0 {
		if err := b.another(); err != nil {
			return 0, err
		}
	}
	n, err := b.ReadCloser.Read(into)
	b.left -= int64(n)
	return n, err
}

// another begins the next piece.
func (b *pacedBody) another() error {
	b.left = b.pace.piece
	return errors.Join(b.control.SetReadDeadline(hence(b.pace.within)), b.control.SetWriteDeadline(hence(b.pace.within+answerTime)))
}

// hence is when so long will have passed for the network, whose time is this machine's
// and not the study's.
func hence(d time.Duration) time.Time {
	ctx, cancel := context.WithTimeout(context.Background(), d)
	defer cancel()
	at, _ := ctx.Deadline()
	return at
}
