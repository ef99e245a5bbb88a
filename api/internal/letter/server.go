package letter

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/smtp"
	"strconv"
	"time"
)

// Security says how the way to a server is kept from others.
type Security string

// The ways. Plain is for a server on this machine.
const (
	StartTLS Security = "starttls" // from the first command on that can
	TLS      Security = "tls"      // from the beginning
	Plain    Security = "none"
)

// Server is an SMTP server that takes letters, and how it knows us.
type Server struct {
	Host           string
	Port           int
	User, Password string // none without a user
	Security       Security
	TLS            *tls.Config // nil for what the machine trusts
}

// longest is how long a server may take for a letter.
const longest = time.Minute

// errNoTLS is returned where a server does not offer what was asked for: a password is
// never sent in the clear instead.
var errNoTLS = errors.New("the server does not offer STARTTLS")

// Send hands a letter over. When it returns nil the server has taken it.
func (s Server) Send(ctx context.Context, l Letter) error {
	message, err := l.Bytes()
	if err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, longest)
	defer cancel()
	conn, err := s.dial(ctx)
	if err != nil {
		return fmt.Errorf("reach the mail server: %w", err)
	}
	// Whatever it waits for ends when the time is up, or nobody asks any more.
	stop := context.AfterFunc(ctx, func() { _ = conn.Close() })
	defer stop()
	client, err := smtp.NewClient(conn, s.Host)
	if err != nil {
		return errors.Join(fmt.Errorf("greet the mail server: %w", err), conn.Close())
	}
	defer func() { _ = client.Close() }()
	if err := s.hand(client, l, message); err != nil {
		return err
	}
	_ = client.Quit() // it has the letter: what it says to a farewell is of no matter
	return nil
}

func (s Server) dial(ctx context.Context) (net.Conn, error) {
	address := net.JoinHostPort(s.Host, strconv.Itoa(s.Port))
	if s.Security == TLS {
		return (&tls.Dialer{Config: s.config()}).DialContext(ctx, "tcp", address)
	}
	return (&net.Dialer{}).DialContext(ctx, "tcp", address)
}

func (s Server) config() *tls.Config {
	if s.TLS == nil {
		return &tls.Config{ServerName: s.Host, MinVersion: tls.VersionTLS12}
	}
	return s.TLS
}

func (s Server) hand(client *smtp.Client, l Letter, message []byte) error {
	if s.Security == StartTLS {
		if offered, _ := client.Extension("STARTTLS"); !offered {
			return errNoTLS
		}
		if err := client.StartTLS(s.config()); err != nil {
			return fmt.Errorf("start TLS: %w", err)
		}
	}
	if s.User != "" {
		if err := client.Auth(smtp.PlainAuth("", s.User, s.Password, s.Host)); err != nil {
			return fmt.Errorf("sign in at the mail server: %w", err)
		}
	}
	if err := client.Mail(l.From.Address); err != nil {
		return fmt.Errorf("name the sender: %w", err)
	}
	if err := client.Rcpt(l.To.Address); err != nil {
		return fmt.Errorf("name who it is for: %w", err)
	}
	w, err := client.Data()
	if err != nil {
		return fmt.Errorf("begin the letter: %w", err)
	}
	if _, err := w.Write(message); err != nil {
		return fmt.Errorf("send the letter: %w", err)
	}
	if err := w.Close(); err != nil {
		return fmt.Errorf("end the letter: %w", err)
	}
	return nil
}
