package main

import (
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// authority gives certificates, as a site's own would.
type authority struct {
	certificate *x509.Certificate
	key         crypto.Signer
}

func newAuthority(t *testing.T) *authority {
	t.Helper()
	key := newKey(t)
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "Fernhollow's own"}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().AddDate(1, 0, 0),
		IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, key.Public(), key)
	require.NoError(t, err)
	certificate, err := x509.ParseCertificate(der)
	require.NoError(t, err)
	return &authority{certificate, key}
}

func (a *authority) pool() *x509.CertPool {
	pool := x509.NewCertPool()
	pool.AddCert(a.certificate)
	return pool
}

// signs gives a certificate in PEM for names and this machine's address.
func (a *authority) signs(t *testing.T, public crypto.PublicKey, until time.Time, names ...string) []byte {
	t.Helper()
	serial, err := rand.Int(rand.Reader, big.NewInt(1<<62))
	require.NoError(t, err)
	template := &x509.Certificate{
		SerialNumber: serial, NotBefore: until.AddDate(0, -3, 0), NotAfter: until, DNSNames: names,
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	if len(names) > 0 {
		template.IPAddresses = []net.IP{net.IPv4(127, 0, 0, 1)}
	}
	der, err := x509.CreateCertificate(rand.Reader, template, a.certificate, public, a.key)
	require.NoError(t, err)
	return pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der})
}

// pairFiles are a certificate and its key on disk.
type pairFiles struct{ cert, key string }

func newPairFiles(t *testing.T) pairFiles {
	t.Helper()
	dir := t.TempDir()
	return pairFiles{filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")}
}

// write puts a new pair there. The time of change is set, since two writes may
// fall into one tick of the file system's clock.
func (p pairFiles) write(t *testing.T, a *authority, until time.Time, names ...string) {
	t.Helper()
	key := newKey(t)
	der, err := x509.MarshalPKCS8PrivateKey(key)
	require.NoError(t, err)
	p.put(t, p.key, pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: der}))
	p.put(t, p.cert, a.signs(t, key.Public(), until, names...))
}

func (p pairFiles) put(t *testing.T, name string, text []byte) {
	t.Helper()
	later := time.Now()
	if info, err := os.Stat(name); err == nil {
		later = info.ModTime().Add(time.Second)
	}
	require.NoError(t, os.WriteFile(name, text, 0o600))
	require.NoError(t, os.Chtimes(name, later, later))
}

func newKey(t *testing.T) crypto.Signer {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	return key
}

func inThreeMonths() time.Time { return time.Now().AddDate(0, 2, 20) }
