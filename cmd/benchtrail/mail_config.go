package main

import (
	"errors"
	"fmt"
	"net/mail"
	"net/url"
	"strconv"

	"benchtrail/api"
)

// Where mail servers listen: for letters that begin in the clear and go over to TLS, and
// for those in TLS from the beginning (RFC 8314, section 3.3).
const (
	submissionPort    = 587
	submissionTLSPort = 465
)

// mailConfigFrom reads how letters leave. Without a host none do.
func mailConfigFrom(getenv func(string) string) (api.Mail, []error) {
	m := api.Mail{
		Host: getenv("BENCHTRAIL_SMTP_HOST"), User: getenv("BENCHTRAIL_SMTP_USER"), Password: getenv("BENCHTRAIL_SMTP_PASSWORD"),
		Security: getenv("BENCHTRAIL_SMTP_TLS"), Pages: getenv("BENCHTRAIL_PAGES"), Port: submissionPort,
	}
	var wrong []error
	switch m.Security {
	case "":
		m.Security = "starttls"
	case "tls":
		m.Port = submissionTLSPort
	case "starttls", "none":
	default:
		wrong = append(wrong, fmt.Errorf("BENCHTRAIL_SMTP_TLS is %q and should be starttls, tls or none", m.Security))
	}
	if port := getenv("BENCHTRAIL_SMTP_PORT"); port != "" {
		n, err := strconv.ParseUint(port, 10, 16)
		if err != nil || n == 0 {
			wrong = append(wrong, fmt.Errorf("BENCHTRAIL_SMTP_PORT is %q and should be a port, such as 587", port))
		}
		m.Port = int(n) //nolint:gosec // 16 bits
	}
	if from := getenv("BENCHTRAIL_SMTP_FROM"); from != "" || m.Host != "" {
		parsed, err := mail.ParseAddress(from)
		if err != nil {
			wrong = append(wrong, fmt.Errorf("BENCHTRAIL_SMTP_FROM is %q and should be the e-mail address that letters come from", from))
		} else {
			m.From = *parsed
		}
	}
	if m.User != "" && m.Security == "none" && m.Host != "localhost" && m.Host != "127.0.0.1" && m.Host != "::1" {
		wrong = append(wrong, errors.New("BENCHTRAIL_SMTP_TLS is none, which would send the password of BENCHTRAIL_SMTP_USER in the clear to another machine"))
	}
	if m.Pages != "" {
		if parsed, err := url.Parse(m.Pages); err != nil || parsed.Scheme != "https" && parsed.Scheme != "http" || parsed.Hostname() == "" {
			wrong = append(wrong, fmt.Errorf("BENCHTRAIL_PAGES is %q and should be where people reach the pages, such as https://trail.example.org", m.Pages))
		}
	}
	return m, wrong
}
