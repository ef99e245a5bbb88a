package main

import (
	"log/slog"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// openAt opens the files by a clock that the test sets forward.
func openAt(t *testing.T, p pairFiles) (files *certificateFiles, log *said, wait func(time.Duration)) {
	t.Helper()
	log = &said{}
	now := time.Now()
	files, err := openCertificateFiles(p.cert, p.key, httpsLogger(log), func() time.Time { return now })
	require.NoError(t, err)
	return files, log, func(d time.Duration) { now = now.Add(d) }
}

func namesShown(f *certificateFiles) []string { return f.certificate().Leaf.DNSNames }

func TestANewCertificateIsShownWithoutARestart(t *testing.T) {
	t.Parallel()
	a, p := newAuthority(t), newPairFiles(t)
	p.write(t, a, inThreeMonths(), "old.test")
	files, log, wait := openAt(t, p)
	require.Equal(t, []string{"old.test"}, namesShown(files))
	p.write(t, a, inThreeMonths(), "new.test")
	require.Equal(t, []string{"old.test"}, namesShown(files), "not every handshake looks at the disk")
	wait(time.Minute)
	require.Equal(t, []string{"new.test"}, namesShown(files))
	require.NotContains(t, log.String(), "level=ERROR")
}

func TestABrokenCertificateLeavesTheLastOneAndIsSaidOnce(t *testing.T) {
	t.Parallel()
	for _, spoil := range []func(p pairFiles, a *authority){
		func(p pairFiles, _ *authority) { p.put(t, p.cert, []byte("half a certifi")) },
		func(p pairFiles, a *authority) {
			p.put(t, p.cert, a.signs(t, newKey(t).Public(), inThreeMonths(), "new.test"))
		},
		func(p pairFiles, _ *authority) { require.NoError(t, os.Remove(p.key)) },
	} {
		a, p := newAuthority(t), newPairFiles(t)
		p.write(t, a, inThreeMonths(), "old.test")
		files, log, wait := openAt(t, p)
		spoil(p, a)
		for range 3 {
			wait(time.Minute)
			require.Equal(t, []string{"old.test"}, namesShown(files))
		}
		require.Len(t, regexpErrors.FindAllString(log.String(), -1), 1, log.String())
		p.write(t, a, inThreeMonths(), "new.test")
		wait(time.Minute)
		require.Equal(t, []string{"new.test"}, namesShown(files))
	}
}

func TestAKeyOfAnotherCertificateIsRefusedAtTheStart(t *testing.T) {
	t.Parallel()
	a, p, other := newAuthority(t), newPairFiles(t), newPairFiles(t)
	p.write(t, a, inThreeMonths(), "trail.test")
	other.write(t, a, inThreeMonths(), "trail.test")
	_, err := openCertificateFiles(p.cert, other.key, slog.New(slog.DiscardHandler), time.Now)
	require.ErrorContains(t, err, "private key does not match")
	require.ErrorContains(t, err, p.cert)
}

func TestAKeyThatOthersMayReadIsWarnedAbout(t *testing.T) {
	t.Parallel()
	for mode, warned := range map[os.FileMode]bool{0o600: false, 0o400: false, 0o640: false, 0o660: true, 0o644: true, 0o604: true} {
		p := newPairFiles(t)
		p.write(t, newAuthority(t), inThreeMonths(), "trail.test")
		require.NoError(t, os.Chmod(p.key, mode))
		_, log, _ := openAt(t, p)
		if warned {
			require.Contains(t, log.String(), "others than the program", mode)
		} else {
			require.NotContains(t, log.String(), "level=WARN", mode)
		}
	}
}

func TestACertificateWithoutNamesIsWarnedAbout(t *testing.T) {
	t.Parallel()
	p := newPairFiles(t)
	p.write(t, newAuthority(t), inThreeMonths())
	_, log, _ := openAt(t, p)
	require.Contains(t, log.String(), "no subject alternative name")
}

func TestTheEndOfACertificateIsSaidInTime(t *testing.T) {
	t.Parallel()
	p := newPairFiles(t)
	until := time.Now().AddDate(0, 1, 0)
	p.write(t, newAuthority(t), until, "trail.test")
	files, _, _ := openAt(t, p)
	for _, c := range []struct {
		at   time.Time
		says string
	}{
		{until.Add(-15 * 24 * time.Hour), ""},
		{until.Add(-13 * 24 * time.Hour), "ends soon"},
		{until.Add(time.Hour), "has expired"},
		{until.AddDate(0, -4, 0), "not valid yet"},
	} {
		log := &said{}
		warnOfEnd(httpsLogger(log), files.certificate().Leaf, c.at)
		if c.says == "" {
			require.Empty(t, log.String())
		} else {
			require.Contains(t, log.String(), c.says)
		}
	}
}
