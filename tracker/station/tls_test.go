package station

import (
	"crypto/sha256"
	"crypto/tls"
	"encoding/hex"
	"net"
	"net/http"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// The certificate stays the same as long as it names the address and is good, so that
// a phone that took it once is asked no more.
func TestCertificateStays(t *testing.T) {
	f, err := openFolder(newStudy(t))
	if err != nil {
		t.Fatal(err)
	}
	print := func(ip string, now time.Time) string {
		c, err := f.certificate(netip.MustParseAddr(ip), now)
		if err != nil {
			t.Fatal(err)
		}
		if err := c.Leaf.VerifyHostname(ip); err != nil {
			t.Error(err)
		}
		return fingerprint(c)
	}
	first := print("192.168.1.7", noon)
	if print("192.168.1.7", noon.AddDate(2, 0, 0)) != first {
		t.Error("a second start has another certificate")
	}
	moved := print("192.168.1.8", noon)
	if moved == first || print("192.168.1.7", noon) != moved {
		t.Error("a new one is for each address, and names those before")
	}
	if print("192.168.1.7", noon.Add(certificateLasts+time.Hour)) == moved {
		t.Error("it ran out and is used")
	}
	info, err := os.Stat(filepath.Join(f.path, "certificate.pem"))
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the key may be read by others: %v, %v", info.Mode(), err)
	}
}

// A station by TLS: the fingerprint that the terminal shows is the one that the phone
// sees, the cookie is never sent in the clear, and the version is one that is safe.
func TestTLS(t *testing.T) {
	file := newStudy(t)
	db, err := store.Open(file, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	var told string
	s, err := New(Options{DB: db, File: file, Clock: time.Now, Address: l.Addr().String(), Secure: true, Log: func(line string) { told += line + "\n" }})
	if err != nil {
		t.Fatal(err)
	}
	s.Welcome(true)
	stop, ended := make(chan struct{}), make(chan error, 1)
	go func() { ended <- s.Serve(stop, l) }()
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}}
	_, code, _ := strings.Cut(s.Invite().URL, "#pair=")
	answer, err := client.Post(s.URL("/pair"), "application/json", strings.NewReader(`{"code":"`+code+`","name":"Ann"}`))
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
	sum := sha256.Sum256(answer.TLS.PeerCertificates[0].Raw)
	shown := strings.NewReplacer(":", "", "\n", "").Replace(told)
	if !strings.Contains(strings.ToLower(shown), hex.EncodeToString(sum[:])) || !strings.Contains(told, "https://127.0.0.1:") {
		t.Errorf("%x is not what is shown:\n%s", sum, told)
	}
	if c := answer.Cookies(); len(c) != 1 || !c[0].Secure || answer.TLS.Version < tls.VersionTLS12 {
		t.Errorf("%v, version %x", c, answer.TLS.Version)
	}
	close(stop)
	if err := <-ended; err != nil {
		t.Errorf("ended: %v", err)
	}
}
