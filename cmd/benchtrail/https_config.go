package main

import (
	"errors"
	"fmt"
	"net"
	"net/mail"
	"net/url"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/crypto/acme/autocert"
)

// httpsConfig says where the certificates for https come from: two files, or an
// ACME server that gives them for names. With neither, serve speaks plain http.
type httpsConfig struct {
	Cert, Key string   // files
	Names     []string // host names for ACME
	Email     string   // whom the ACME server may write to
	Directory string   // address of the ACME server
	Redirect  string   // host:port that leads from http to https; empty: none
}

func (c httpsConfig) on() bool { return c.Cert != "" || c.Key != "" || len(c.Names) > 0 }

// dnsName is a name that an ACME server can give a certificate for: at least
// two parts, so that no address and no name of the local network passes.
var dnsName = regexp.MustCompile(`^([a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?\.)+[a-z]([a-z0-9-]{0,61}[a-z0-9])?$`)

// httpsConfigFrom reads the environment; what fits together is for check, since
// flags may still add to it.
func httpsConfigFrom(getenv func(string) string) (httpsConfig, []error) {
	c := httpsConfig{
		Cert: getenv("BENCHTRAIL_TLS_CERT"), Key: getenv("BENCHTRAIL_TLS_KEY"),
		Email: getenv("BENCHTRAIL_ACME_EMAIL"), Directory: getenv("BENCHTRAIL_ACME_DIRECTORY"),
		Redirect: getenv("BENCHTRAIL_HTTP_LISTEN"),
	}
	var wrong []error
	for name := range strings.SplitSeq(getenv("BENCHTRAIL_ACME_NAMES"), ",") {
		name = strings.ToLower(strings.TrimSpace(name))
		switch {
		case name == "" || slices.Contains(c.Names, name):
		case !dnsName.MatchString(name):
			wrong = append(wrong, fmt.Errorf("BENCHTRAIL_ACME_NAMES holds %q and should hold full host names such as trail.example.org, with commas between", name))
		default:
			c.Names = append(c.Names, name)
		}
	}
	if c.Email != "" {
		if parsed, err := mail.ParseAddress(c.Email); err != nil || parsed.Address != c.Email {
			wrong = append(wrong, fmt.Errorf("BENCHTRAIL_ACME_EMAIL is %q and should be an e-mail address", c.Email))
		}
	}
	if c.Directory != "" {
		if parsed, err := url.Parse(c.Directory); err != nil || parsed.Scheme != "https" || parsed.Hostname() == "" {
			wrong = append(wrong, fmt.Errorf("BENCHTRAIL_ACME_DIRECTORY is %q and should be the https address of an ACME directory", c.Directory))
		}
	}
	if c.Redirect != "" {
		if _, _, err := net.SplitHostPort(c.Redirect); err != nil {
			wrong = append(wrong, fmt.Errorf("BENCHTRAIL_HTTP_LISTEN is %q and should be host:port", c.Redirect))
		}
	}
	return c, wrong
}

// check reports what does not fit together, all at once.
func (c httpsConfig) check() error {
	var wrong []error
	switch {
	case c.Cert != "" && c.Key == "":
		wrong = append(wrong, errors.New("there is a certificate (BENCHTRAIL_TLS_CERT or --tls-cert) without its key (BENCHTRAIL_TLS_KEY or --tls-key)"))
	case c.Cert == "" && c.Key != "":
		wrong = append(wrong, errors.New("there is a key (BENCHTRAIL_TLS_KEY or --tls-key) without its certificate (BENCHTRAIL_TLS_CERT or --tls-cert)"))
	}
	if len(c.Names) > 0 && (c.Cert != "" || c.Key != "") {
		wrong = append(wrong, errors.New("certificates come from files (BENCHTRAIL_TLS_CERT) or from an ACME server (BENCHTRAIL_ACME_NAMES), not from both"))
	}
	if len(c.Names) == 0 && (c.Email != "" || c.Directory != "") {
		wrong = append(wrong, errors.New("BENCHTRAIL_ACME_EMAIL and BENCHTRAIL_ACME_DIRECTORY need the names to ask certificates for in BENCHTRAIL_ACME_NAMES"))
	}
	if c.Redirect != "" && !c.on() {
		wrong = append(wrong, errors.New("BENCHTRAIL_HTTP_LISTEN leads to https, and there is none without BENCHTRAIL_TLS_CERT or BENCHTRAIL_ACME_NAMES"))
	}
	return errors.Join(wrong...)
}

func (c httpsConfig) directory() string {
	if c.Directory == "" {
		return autocert.DefaultACMEDirectory
	}
	return c.Directory
}
