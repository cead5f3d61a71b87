package station

import (
	"cmp"
	"errors"
	"fmt"
	"net"
	"net/netip"
	"slices"
	"strconv"
	"strings"
	"syscall"
)

// Port is where a station is found unless something else is said.
const Port = 8080

// An Address is one that this machine has on a network.
type Address struct {
	IP        netip.Addr
	Interface string // what the system calls the network's plug
}

// Addresses lists the addresses under which phones may find this machine: of networks
// that are up, version 4 before 6, a workshop's own (RFC 1918, RFC 4193) before
// addresses that all the world may reach. Those that work on one cable only
// (169.254/16, fe80::/10) are left out.
func Addresses() ([]Address, error) {
	plugs, err := net.Interfaces()
	if err != nil {
		return nil, fmt.Errorf("ask for this machine's networks: %w", err)
	}
	var all []Address
	for _, plug := range plugs {
		if plug.Flags&net.FlagUp == 0 || plug.Flags&net.FlagLoopback != 0 {
			continue
		}
		own, err := plug.Addrs()
		if err != nil {
			return nil, fmt.Errorf("ask for the addresses of %s: %w", plug.Name, err)
		}
		all = append(all, usable(plug.Name, own)...)
	}
	slices.SortStableFunc(all, func(a, b Address) int { return cmp.Compare(a.rank(), b.rank()) })
	return all, nil
}

func usable(plug string, own []net.Addr) (all []Address) {
	for _, a := range own {
		prefix, err := netip.ParsePrefix(a.String())
		if err == nil && prefix.Addr().IsGlobalUnicast() {
			all = append(all, Address{prefix.Addr().Unmap(), plug})
		}
	}
	return all
}

// rank is the smaller the likelier phones are on that network.
func (a Address) rank() int {
	rank := 0
	if !a.IP.IsPrivate() {
		rank++
	}
	if !a.IP.Is4() {
		rank += 2
	}
	if slices.ContainsFunc(inside, func(lead string) bool { return strings.HasPrefix(a.Interface, lead) }) {
		rank += 4
	}
	return rank
}

// inside are how networks within one machine are called, between it and the machines
// that it plays itself. Common practice, no published source.
var inside = []string{"docker", "br-", "veth", "virbr", "vmnet", "vboxnet", "lxc", "lxd", "cni", "podman", "bridge", "utun", "tun", "tap", "wg"}

// likeliest are those of the addresses among which somebody has to choose: one where
// only one is as likely.
func likeliest(all []Address) []Address {
	return slices.DeleteFunc(slices.Clone(all), func(a Address) bool { return a.rank() > all[0].rank() })
}

// ParseAddress reads what somebody chose: an address with or without a port. All
// addresses at once (0.0.0.0) are refused: whoever gets to any network of this machine
// would get to the study.
func ParseAddress(text string) (netip.AddrPort, error) {
	at, err := netip.ParseAddrPort(text)
	if err != nil {
		ip, wrong := netip.ParseAddr(text)
		if wrong != nil {
			return at, fmt.Errorf("%q is no address: it looks like 192.168.1.7 or 192.168.1.7:%d", text, Port)
		}
		at = netip.AddrPortFrom(ip, Port)
	}
	if at.Addr().IsUnspecified() || at.Addr().IsMulticast() {
		return at, fmt.Errorf("%s is no address of one network: choose one of this machine's", at.Addr())
	}
	return at, nil
}

// Choose is the address of the workshop's network, of all that this machine has. Where
// several are as likely, ask puts the question to somebody, and returns nothing where
// nobody is there; then, and where there is none, the error is a *NoAddress.
func Choose(all []Address, ask func(question string) (string, error)) (netip.AddrPort, error) {
	if len(all) == 0 {
		return netip.AddrPort{}, &NoAddress{Why: "this machine is on no network that a phone could be on: join the workshop's Wi-Fi, or try it on this machine alone",
			Instead: own()}
	}
	among := likeliest(all)
	listed := list(among)
	n, err := 1, error(nil)
	if len(among) > 1 {
		if n, err = chosen(ask("on which network are the phones? " + listed + " [1, 2, ...]")); err != nil {
			return netip.AddrPort{}, err
		}
	}
	if n < 1 || n > len(among) {
		return netip.AddrPort{}, &NoAddress{Why: "this machine has several addresses: " + listed, Instead: among[0].IP.String()}
	}
	return netip.AddrPortFrom(among[n-1].IP, Port), nil
}

// chosen is the number of an answer; 0 for none.
func chosen(answer string, err error) (int, error) {
	n, no := strconv.Atoi(answer)
	if no != nil {
		n = 0
	}
	return n, err
}

func list(all []Address) string {
	var listed []string
	for i, a := range all {
		listed = append(listed, fmt.Sprintf("%d: %s (%s)", i+1, a.IP, a.Interface))
	}
	return strings.Join(listed, ", ")
}

// A NoAddress is a place where a station cannot be: there is none or several, it is
// another machine's, or a program has it already.
type NoAddress struct {
	Why     string
	Instead string // where it may be
}

func (e *NoAddress) Error() string { return e.Why }

// own is the likeliest address of this machine.
func own() string {
	all, err := Addresses()
	if err != nil || len(all) == 0 {
		return netip.AddrFrom4([4]byte{127, 0, 0, 1}).String()
	}
	return all[0].IP.String()
}

// Listen takes the address. The error is a *NoAddress, which says what program has it
// where that can be known, or is the system's.
func Listen(at netip.AddrPort) (net.Listener, error) {
	l, err := net.Listen("tcp", at.String())
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		return nil, &NoAddress{fmt.Sprintf("port %d of %s is taken by %s", at.Port(), at.Addr(), cmp.Or(holder(at), "another program")),
			netip.AddrPortFrom(at.Addr(), at.Port()+1).String()}
	case errors.Is(err, syscall.EADDRNOTAVAIL):
		return nil, &NoAddress{fmt.Sprintf("%s is none of this machine's addresses", at.Addr()), own()}
	case err != nil:
		return nil, fmt.Errorf("listen on %s: %w", at, err)
	}
	return l, nil
}
