package main

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"golang.org/x/crypto/acme"
	"golang.org/x/crypto/acme/autocert"
)

// https is how serve is reached by https. Its certificates come from one of
// files and manager.
type https struct {
	files    *certificateFiles
	manager  *autocert.Manager
	names    []string
	redirect string // host:port that leads here from http; empty: none
	log      *slog.Logger
}

// openHTTPS gives nil where plain http is spoken. data is the program's folder,
// where what an ACME server gave is kept.
func openHTTPS(c httpsConfig, data string, log *slog.Logger, now func() time.Time) (*https, error) {
	if err := c.check(); err != nil || !c.on() {
		return nil, err
	}
	h := &https{names: c.Names, redirect: c.Redirect, log: log}
	if len(c.Names) == 0 {
		var err error
		h.files, err = openCertificateFiles(c.Cert, c.Key, log, now)
		return h, err
	}
	directory, err := url.Parse(c.directory())
	if err != nil {
		return nil, err
	}
	// A folder for each server: a certificate from one for trying things out must
	// not be shown once the real one is asked.
	folder := filepath.Join(data, "acme", strings.ReplaceAll(directory.Host, ":", "_"))
	if err := os.MkdirAll(filepath.Dir(data), 0o755); err != nil {
		return nil, fmt.Errorf("make the folder for the data: %w", err)
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fmt.Errorf("make the folder for certificates: %w", err)
	}
	h.manager = &autocert.Manager{
		Prompt: autocert.AcceptTOS, Cache: autocert.DirCache(folder), HostPolicy: autocert.HostWhitelist(c.Names...),
		Email: c.Email, Client: &acme.Client{DirectoryURL: c.directory(), UserAgent: "benchtrail"},
	}
	return h, nil
}

func (h *https) config() *tls.Config {
	c := &tls.Config{MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"}}
	if h.manager != nil {
		c.GetCertificate = h.manager.GetCertificate
		c.NextProtos = append(c.NextProtos, acme.ALPNProto)
		return c
	}
	c.GetCertificate = func(*tls.ClientHelloInfo) (*tls.Certificate, error) { return h.files.certificate(), nil }
	return c
}

// strict tells browsers to come by https only, where the names are real ones. A
// certificate of a site's own may stop working on a phone, and then a browser
// that was told so would leave no way in. A week covers the weekly walk, and is
// over soon when a site goes back.
func (h *https) strict(next http.Handler) http.Handler {
	if h.manager == nil {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Strict-Transport-Security", "max-age=604800")
		next.ServeHTTP(w, r)
	})
}

// fromHTTP answers on plain http: an ACME server's questions, and everyone else
// with the way to https on the port given.
func (h *https) fromHTTP(port string) http.Handler {
	way := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		// What was sent along has crossed the network in the clear already; to
		// repeat it quietly would hide that.
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			http.Error(w, "Use https.", http.StatusBadRequest)
			return
		}
		host := r.Host
		if len(h.names) > 0 && !slices.Contains(h.names, host) {
			host = h.names[0]
		}
		if host == "" {
			http.Error(w, "Use https.", http.StatusBadRequest)
			return
		}
		target := url.URL{Scheme: "https", Host: hostPort(host, port), Path: r.URL.Path, RawPath: r.URL.RawPath, RawQuery: r.URL.RawQuery}
		http.Redirect(w, r, target.String(), http.StatusFound)
	})
	answers := http.Handler(way)
	if h.manager != nil {
		answers = h.manager.HTTPHandler(way)
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked := *r // some ACME servers name port 80, which the library takes for a part of the name
		asked.Host = hostOf(r.Host)
		answers.ServeHTTP(w, &asked)
	})
}

func hostOf(asked string) string {
	if host, _, err := net.SplitHostPort(asked); err == nil {
		asked = host
	}
	return strings.ToLower(strings.Trim(asked, "[]"))
}

func hostPort(host, port string) string {
	if port != "443" {
		return net.JoinHostPort(host, port)
	}
	if strings.Contains(host, ":") {
		return "[" + host + "]"
	}
	return host
}

// watch asks for the certificates that are missing, and warns of those that
// end: renewal by ACME fails without a word, and files are renewed by people.
func (h *https) watch(ctx context.Context) {
	for {
		for _, leaf := range h.leaves() {
			warnOfEnd(h.log, leaf, time.Now())
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(6 * time.Hour):
		}
	}
}

func (h *https) leaves() []*x509.Certificate {
	if h.files != nil {
		return []*x509.Certificate{h.files.certificate().Leaf}
	}
	var all []*x509.Certificate
	for _, name := range h.names {
		certificate, err := h.manager.GetCertificate(&tls.ClientHelloInfo{
			ServerName: name, CipherSuites: []uint16{tls.TLS_ECDHE_ECDSA_WITH_AES_128_GCM_SHA256},
		})
		if err != nil {
			// The library tells what it tried last, seldom why it failed.
			h.log.Error("no certificate; the ACME server has to find this program by the name, at port 443, or at 80 with BENCHTRAIL_HTTP_LISTEN; "+
				"it is asked again when someone comes", "name", name, "error", err)
			continue
		}
		h.log.Info("certificate", "name", name, "until", certificate.Leaf.NotAfter)
		all = append(all, certificate.Leaf)
	}
	return all
}

// warnOfEnd leaves time to act, and is quiet while a renewal is merely due: that
// is in the last third of a certificate's life.
func warnOfEnd(log *slog.Logger, leaf *x509.Certificate, now time.Time) {
	soon := min(14*24*time.Hour, leaf.NotAfter.Sub(leaf.NotBefore)/6)
	switch {
	case now.After(leaf.NotAfter):
		log.Warn("the certificate has expired; browsers refuse it", "names", leaf.DNSNames, "addresses", leaf.IPAddresses, "until", leaf.NotAfter)
	case now.Before(leaf.NotBefore):
		log.Warn("the certificate is not valid yet; browsers refuse it", "names", leaf.DNSNames, "addresses", leaf.IPAddresses, "from", leaf.NotBefore)
	case leaf.NotAfter.Sub(now) < soon:
		log.Warn("the certificate ends soon", "names", leaf.DNSNames, "addresses", leaf.IPAddresses, "until", leaf.NotAfter)
	}
}
