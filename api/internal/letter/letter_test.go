package letter_test

import (
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"io"
	"math/big"
	"mime"
	"mime/multipart"
	"net"
	"net/mail"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/emersion/go-sasl"
	"github.com/emersion/go-smtp"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/api/internal/letter"
)

// post is a real SMTP server that keeps what it is given.
type post struct {
	mu       sync.Mutex
	received []string
	from, to []string
	password string
}

func (p *post) NewSession(*smtp.Conn) (smtp.Session, error) { return &session{post: p}, nil }

type session struct {
	*post
	signedIn bool
}

func (s *session) AuthMechanisms() []string { return []string{sasl.Plain} }

func (s *session) Auth(string) (sasl.Server, error) {
	return sasl.NewPlainServer(func(_, user, password string) error {
		if user != "benchtrail" || password != s.password {
			return errors.New("wrong")
		}
		s.signedIn = true
		return nil
	}), nil
}

func (s *session) Mail(from string, _ *smtp.MailOptions) error {
	if s.password != "" && !s.signedIn {
		return smtp.ErrAuthRequired
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.from = append(s.from, from)
	return nil
}

func (s *session) Rcpt(to string, _ *smtp.RcptOptions) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.to = append(s.to, to)
	return nil
}

func (s *session) Data(r io.Reader) error {
	text, err := io.ReadAll(r)
	s.mu.Lock()
	defer s.mu.Unlock()
	s.received = append(s.received, string(text))
	return err
}

func (s *session) Reset()        {}
func (s *session) Logout() error { return nil }

// serve starts the server and gives how to reach it.
func serve(t *testing.T, p *post, security letter.Security) letter.Server {
	t.Helper()
	certificate, roots := certificateFor(t)
	listener, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	server := smtp.NewServer(p)
	server.Domain = "mail.test"
	server.AllowInsecureAuth = security == letter.Plain
	if security != letter.Plain {
		server.TLSConfig = &tls.Config{Certificates: []tls.Certificate{certificate}, MinVersion: tls.VersionTLS12}
	}
	port := listener.Addr().(*net.TCPAddr).Port
	if security == letter.TLS {
		listener = tls.NewListener(listener, server.TLSConfig)
	}
	go func() { _ = server.Serve(listener) }()
	t.Cleanup(func() { _ = server.Close() })
	return letter.Server{
		Host: "127.0.0.1", Port: port, Security: security, TLS: &tls.Config{RootCAs: roots, ServerName: "127.0.0.1", MinVersion: tls.VersionTLS12},
	}
}

func certificateFor(t *testing.T) (tls.Certificate, *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour), IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		IsCA: true, BasicConstraintsValid: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, key.Public(), key)
	require.NoError(t, err)
	parsed, err := x509.ParseCertificate(der)
	require.NoError(t, err)
	roots := x509.NewCertPool()
	roots.AddCert(parsed)
	return tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key}, roots
}

func someLetter() letter.Letter {
	return letter.Letter{
		From: mail.Address{Name: "Benchtrail", Address: "benchtrail@nursery.test"}, To: mail.Address{Name: "Señora Núñez, María", Address: "maria@nursery.test"},
		Subject: "Semana 37: 3 de 41 lotes por encima o cerca del límite · Sección Este, Invernadero número cuatro", Language: "es",
		Date: time.Date(2026, time.September, 14, 6, 0, 0, 0, time.FixedZone("", -5*3600)), ID: "week.1@benchtrail",
		Text: "Línea uno: 20 % (12–32)\n.un punto al principio\n" + strings.Repeat("muy larga ", 200) + "\nfin\n", HTML: "<p>Línea = uno</p>\n",
	}
}

// open reads a message as a mail program does.
func open(t require.TestingT, raw string) (*mail.Message, map[string]string, []string) {
	m, err := mail.ReadMessage(strings.NewReader(raw))
	require.NoError(t, err)
	kind, params, err := mime.ParseMediaType(m.Header.Get("Content-Type"))
	require.NoError(t, err)
	require.Equal(t, "multipart/alternative", kind)
	parts, order := map[string]string{}, []string{}
	reader := multipart.NewReader(m.Body, params["boundary"])
	for {
		part, err := reader.NextPart() // decodes quoted-printable
		if errors.Is(err, io.EOF) {
			return m, parts, order
		}
		require.NoError(t, err)
		text, err := io.ReadAll(part)
		require.NoError(t, err)
		kind, params, err := mime.ParseMediaType(part.Header.Get("Content-Type"))
		require.NoError(t, err)
		require.Equal(t, "utf-8", params["charset"])
		parts[kind], order = strings.ReplaceAll(string(text), "\r\n", "\n"), append(order, kind)
	}
}

func TestALetterArrivesAtARealServerAsItWasWritten(t *testing.T) {
	t.Parallel()
	for _, security := range []letter.Security{letter.Plain, letter.StartTLS, letter.TLS} {
		p := &post{password: "secret"}
		server := serve(t, p, security)
		server.User, server.Password = "benchtrail", "secret"
		l := someLetter()
		require.NoError(t, server.Send(t.Context(), l), security)
		require.Len(t, p.received, 1)
		require.Equal(t, []string{"benchtrail@nursery.test"}, p.from)
		require.Equal(t, []string{"maria@nursery.test"}, p.to)
		m, parts, order := open(t, p.received[0])
		subject, err := new(mime.WordDecoder).DecodeHeader(m.Header.Get("Subject"))
		require.NoError(t, err)
		require.Equal(t, l.Subject, subject)
		to, err := m.Header.AddressList("To")
		require.NoError(t, err)
		require.Equal(t, l.To, *to[0])
		date, err := m.Header.Date()
		require.NoError(t, err)
		require.True(t, date.Equal(l.Date))
		require.Equal(t, "<week.1@benchtrail>", m.Header.Get("Message-ID"))
		require.Equal(t, "auto-generated", m.Header.Get("Auto-Submitted"))
		require.Equal(t, []string{"text/plain", "text/html"}, order, "the best last (RFC 2046, section 5.1.4)")
		require.Equal(t, map[string]string{"text/plain": l.Text, "text/html": l.HTML}, parts)
	}
}

func TestLinesStayWithinWhatMailServersTake(t *testing.T) {
	t.Parallel()
	raw, err := someLetter().Bytes()
	require.NoError(t, err)
	require.NotContains(t, strings.ReplaceAll(string(raw), "\r\n", ""), "\n")
	_, body, _ := bytes.Cut(raw, []byte("\r\n\r\n"))
	for _, line := range strings.Split(string(body), "\r\n") {
		require.LessOrEqual(t, len(line), 76, "RFC 2045, section 6.7")
	}
}

func TestAPasswordIsNeverSentInTheClear(t *testing.T) {
	t.Parallel()
	p := &post{password: "secret"}
	server := serve(t, p, letter.Plain)
	server.Security, server.User, server.Password = letter.StartTLS, "benchtrail", "secret"
	require.ErrorContains(t, server.Send(t.Context(), someLetter()), "STARTTLS")
	require.Empty(t, p.received)
}

func TestWhatAServerRefusesIsAnError(t *testing.T) {
	t.Parallel()
	p := &post{password: "secret"}
	server := serve(t, p, letter.TLS)
	server.User, server.Password = "benchtrail", "guess"
	require.ErrorContains(t, server.Send(t.Context(), someLetter()), "sign in")
	server.User = ""
	require.ErrorContains(t, server.Send(t.Context(), someLetter()), "name the sender")
	server.TLS = nil
	require.ErrorContains(t, server.Send(t.Context(), someLetter()), "certificate")
	over, cancel := context.WithCancel(t.Context())
	cancel()
	require.ErrorIs(t, server.Send(over, someLetter()), context.Canceled)
	require.Empty(t, p.received)
}

func TestNoTextMakesAHeaderOrAPartOfItsOwn(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		l := someLetter()
		l.Subject, l.To.Name = rapid.String().Draw(rt, "subject"), rapid.String().Draw(rt, "name")
		l.Text, l.HTML = strings.ReplaceAll(rapid.String().Draw(rt, "text"), "\r", ""), strings.ReplaceAll(rapid.String().Draw(rt, "html"), "\r", "")
		raw, err := l.Bytes()
		require.NoError(rt, err)
		m, parts, _ := open(rt, string(raw))
		require.Len(rt, m.Header, 9)
		require.Equal(rt, map[string]string{"text/plain": l.Text, "text/html": l.HTML}, parts)
	})
}
