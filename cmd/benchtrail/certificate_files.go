package main

import (
	"crypto/tls"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"sync"
	"time"
)

// looksAgain is how often handshakes look whether the files changed.
const looksAgain = 10 * time.Second

// certificateFiles is a certificate and its key that are read again when their
// files change, so that a renewed certificate needs no restart.
type certificateFiles struct {
	cert, key string
	log       *slog.Logger
	now       func() time.Time

	mu      sync.Mutex
	current *tls.Certificate
	read    [2]stamp // of the files as last read, also if that failed
	looked  time.Time
}

type stamp struct {
	changed int64
	size    int64
	mode    fs.FileMode
}

func openCertificateFiles(cert, key string, log *slog.Logger, now func() time.Time) (*certificateFiles, error) {
	f := &certificateFiles{cert: cert, key: key, log: log, now: now, looked: now()}
	var err error
	if f.read, err = f.stamps(); err != nil {
		return nil, err
	}
	return f, f.load()
}

// certificate gives the one to show now. What cannot be read leaves the last
// good one in place: phones in the greenhouse can do nothing about it.
func (f *certificateFiles) certificate() *tls.Certificate {
	f.mu.Lock()
	defer f.mu.Unlock()
	if now := f.now(); now.Sub(f.looked) >= looksAgain {
		f.looked = now
		// The stamps are taken before the files are read: one that changes in
		// between is seen the next time.
		if stamps, err := f.stamps(); stamps != f.read {
			f.read = stamps
			if err == nil {
				err = f.load()
			}
			if err != nil {
				f.log.Error("the changed certificate cannot be used; the last one stays", "error", err)
			}
		}
	}
	return f.current
}

func (f *certificateFiles) stamps() (all [2]stamp, err error) {
	for i, name := range []string{f.cert, f.key} {
		info, e := os.Stat(name)
		if e != nil {
			err = errors.Join(err, fmt.Errorf("find the certificate or its key: %w", e))
			continue
		}
		all[i] = stamp{info.ModTime().UnixNano(), info.Size(), info.Mode()}
	}
	return all, err
}

func (f *certificateFiles) load() error {
	pair, err := tls.LoadX509KeyPair(f.cert, f.key)
	if err != nil {
		return fmt.Errorf("read the certificate %s with the key %s: %w", f.cert, f.key, err)
	}
	f.current = &pair
	leaf := pair.Leaf
	f.log.Info("certificate", "file", f.cert, "names", leaf.DNSNames, "addresses", leaf.IPAddresses, "until", leaf.NotAfter)
	if len(leaf.DNSNames)+len(leaf.IPAddresses) == 0 {
		f.log.Warn("the certificate has no subject alternative name; browsers refuse it", "file", f.cert)
	}
	if mode := f.read[1].mode.Perm(); mode&0o027 != 0 {
		f.log.Warn("others than the program may read or change the private key; chmod 600 it (640 for a group of its own)", "file", f.key, "mode", fmt.Sprintf("%#o", mode))
	}
	return nil
}
