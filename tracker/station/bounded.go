package station

import (
	"net"
	"sync"
)

// How many connections may be open. A browser opens six; one machine cannot take the
// places of all others.
const (
	mostConnections = 1024
	mostOfOne       = 256
)

// A bounded listener closes connections beyond how many may be open.
type bounded struct {
	net.Listener

	mu   sync.Mutex
	all  int
	open map[string]int // by address
}

func newBounded(l net.Listener) *bounded { return &bounded{Listener: l, open: map[string]int{}} }

// Accept waits for the next connection that there is a place for.
func (b *bounded) Accept() (net.Conn, error) {
	for {
		conn, err := b.Listener.Accept()
		if err != nil {
			return nil, err
		}
		from, _, err := net.SplitHostPort(conn.RemoteAddr().String())
		if err == nil && b.enter(from) {
			return &counted{Conn: conn, leave: func() { b.leave(from) }}, nil
		}
		conn.Close()
	}
}

func (b *bounded) enter(from string) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.all >= mostConnections || b.open[from] >= mostOfOne {
		return false
	}
	b.all++
	b.open[from]++
	return true
}

func (b *bounded) leave(from string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.all--
	if b.open[from]--; b.open[from] == 0 {
		delete(b.open, from)
	}
}

// A counted connection gives its place back when it is closed.
type counted struct {
	net.Conn
	once  sync.Once
	leave func()
}

func (c *counted) Close() error {
	c.once.Do(c.leave)
	return c.Conn.Close()
}
