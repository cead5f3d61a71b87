package station

import (
	"errors"
	"net"
	"net/netip"
	"runtime"
	"strings"
	"testing"
)

func at(ip, plug string) Address { return Address{netip.MustParseAddr(ip), plug} }

// Of this machine's addresses the workshop's is taken, and where several may be it
// somebody is asked.
func TestChoose(t *testing.T) {
	wifi, cable, v6, public, inner := at("192.168.1.7", "wlan0"), at("10.0.0.4", "eth0"), at("fd00::2", "wlan0"), at("203.0.113.9", "eth1"), at("172.17.0.1", "docker0")
	for _, test := range []struct {
		all    []Address
		answer string
		want   string // else a word of the error
		asked  bool
	}{
		{[]Address{wifi, public, v6, inner}, "", "192.168.1.7:8080", false},
		{[]Address{public}, "", "203.0.113.9:8080", false},
		{[]Address{v6}, "", "[fd00::2]:8080", false},
		{[]Address{inner}, "", "172.17.0.1:8080", false},
		{[]Address{wifi, cable, v6}, "2", "10.0.0.4:8080", true},
		{[]Address{wifi, cable}, "", "1: 192.168.1.7 (wlan0), 2: 10.0.0.4 (eth0)", true},
		{[]Address{wifi, cable}, "3", "several addresses", true},
		{nil, "", "no network", false},
	} {
		asked := false
		got, err := Choose(test.all, func(string) (string, error) { asked = true; return test.answer, nil })
		if text := got.String(); text != test.want && (err == nil || !strings.Contains(err.Error(), test.want)) || asked != test.asked {
			t.Errorf("%v, %q: %s, %v, asked: %v", test.all, test.answer, text, err, asked)
		}
	}
	ended := errors.New("ended")
	if _, err := Choose([]Address{wifi, cable}, func(string) (string, error) { return "", ended }); !errors.Is(err, ended) {
		t.Errorf("%v", err)
	}
}

// What this machine says of itself can be chosen, and is not what leads nowhere.
func TestAddresses(t *testing.T) {
	all, err := Addresses()
	if err != nil {
		t.Fatal(err)
	}
	for i, a := range all {
		if a.IP.IsLoopback() || a.IP.IsLinkLocalUnicast() || i > 0 && a.rank() < all[i-1].rank() {
			t.Errorf("%v among %v", a, all)
		}
	}
	if _, err := ParseAddress(own()); err != nil {
		t.Error(err)
	}
}

func TestParseAddress(t *testing.T) {
	for text, want := range map[string]string{"192.168.1.7": "192.168.1.7:8080", "10.0.0.4:90": "10.0.0.4:90", "[fd00::2]:90": "[fd00::2]:90", "::1": "[::1]:8080",
		"0.0.0.0": "one network", "[::]:80": "one network", "224.0.0.1": "one network", "localhost": "no address", "": "no address", "1.2.3.4:99999": "no address"} {
		got, err := ParseAddress(text)
		if err == nil && got.String() != want || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %s, %v, want %s", text, got, err, want)
		}
	}
}

// A port that is taken is said to be, and by what where the system tells it.
func TestListenTaken(t *testing.T) {
	first, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer first.Close()
	_, err = Listen(netip.MustParseAddrPort(first.Addr().String()))
	var no *NoAddress
	if !errors.As(err, &no) || !strings.HasPrefix(no.Instead, "127.0.0.1:") {
		t.Fatalf("%v", err)
	}
	if runtime.GOOS == "linux" && !strings.Contains(err.Error(), "is taken by station.test (process ") {
		t.Errorf("%v", err)
	}
}

// Lines of the tables as proc_pid_net(5) has them: a socket that listens at one address,
// one at all of version 6, one that is connected.
func TestListening(t *testing.T) {
	const table = `  sl  local_address rem_address   st tx_queue rx_queue tr tm->when retrnsmt   uid  timeout inode
   0: 0701A8C0:1F90 00000000:0000 0A 00000000:00000000 00:00000000 00000000  1000        0 4242 1 0000000000000000 100 0 0 10 0
   1: 00000000000000000000000000000000:1F91 00000000000000000000000000000000:0000 0A 00000000:00000000 00:00000000 00000000  1000        0 4343 1 0000000000000000 100 0 0 10 0
   2: 0701A8C0:1F92 0801A8C0:0050 01 00000000:00000000 00:00000000 00000000  1000        0 4444 1 0000000000000000 100 0 0 10 0
`
	for address, want := range map[string]string{"192.168.1.7:8080": "4242", "192.168.1.8:8080": "", "192.168.1.7:8081": "4343", "192.168.1.7:8082": ""} {
		if got := listening([]byte(table), netip.MustParseAddrPort(address)); got != want {
			t.Errorf("%s: socket %q, want %q", address, got, want)
		}
	}
}
