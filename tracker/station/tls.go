package station

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"fmt"
	"io"
	"math/big"
	"net"
	"net/netip"
	"path/filepath"
	"strings"
	"time"

	"soaktag/tracker/wholefile"
)

// certificateLasts is how long a certificate of our own is good: longer than a study,
// and no longer than browsers take one for (825 days, as their makers published it).
const certificateLasts = 820 * 24 * time.Hour

// certificate is the one that the station made for itself, kept beside the study so
// that phones need to accept it once. A new one is made where there is none, where it
// ran out, and for an address that it does not name; that one names the old ones too.
func (f *folder) certificate(ip netip.Addr, now time.Time) (tls.Certificate, error) {
	path := filepath.Join(f.path, "certificate.pem")
	kept, err := tls.LoadX509KeyPair(path, path)
	var names []net.IP
	if err == nil {
		if kept.Leaf.VerifyHostname(ip.String()) == nil && now.Before(kept.Leaf.NotAfter) {
			return kept, nil
		}
		names = kept.Leaf.IPAddresses
	}
	text, err := newCertificate(append(names, ip.AsSlice()), now)
	if err != nil {
		return tls.Certificate{}, fmt.Errorf("make a certificate: %w", err)
	}
	if err := wholefile.ReplaceSecret(path, func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
		return tls.Certificate{}, err
	}
	return tls.X509KeyPair(text, text)
}

// newCertificate makes a key and a certificate that it signs itself, in PEM.
func newCertificate(names []net.IP, now time.Time) ([]byte, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	number, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 120))
	if err != nil {
		return nil, err
	}
	form := &x509.Certificate{
		SerialNumber: number,
		Subject:      pkix.Name{CommonName: "soaktag station"},
		NotBefore:    now.Add(-24 * time.Hour), // a phone's clock may be behind
		NotAfter:     now.Add(certificateLasts),
		KeyUsage:     x509.KeyUsageDigitalSignature,
		ExtKeyUsage:  []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		IPAddresses:  names,
		DNSNames:     []string{"localhost"},
	}
	signed, err := x509.CreateCertificate(rand.Reader, form, form, key.Public(), key)
	if err != nil {
		return nil, err
	}
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, err
	}
	var text bytes.Buffer
	err = pem.Encode(&text, &pem.Block{Type: "CERTIFICATE", Bytes: signed})
	if err == nil {
		err = pem.Encode(&text, &pem.Block{Type: "PRIVATE KEY", Bytes: secret})
	}
	return text.Bytes(), err
}

// fingerprint is the SHA-256 of a certificate as browsers show it: AB:CD:...
func fingerprint(c tls.Certificate) string {
	sum := sha256.Sum256(c.Certificate[0])
	var parts []string
	for _, b := range sum {
		parts = append(parts, fmt.Sprintf("%02X", b))
	}
	return strings.Join(parts, ":")
}

// makeCertificate gives a station that is served by TLS its certificate.
func (s *Station) makeCertificate() error {
	at, err := netip.ParseAddrPort(s.Address)
	if err != nil {
		return err
	}
	s.certificate, err = s.phones.certificate(at.Addr(), s.Clock())
	return err
}
