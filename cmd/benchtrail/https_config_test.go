package main

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestNamesForACMEAreWholeHostNames(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"greenhouse", "192.168.1.20", "[::1]", "*.example.org", "trail.example.org:443", "-trail.example.org", "trail .example.org", "trail.example.org."} {
		_, wrong := httpsConfigFrom(environment(map[string]string{"BENCHTRAIL_ACME_NAMES": name}))
		require.Len(t, wrong, 1, name)
		require.ErrorContains(t, wrong[0], "BENCHTRAIL_ACME_NAMES")
	}
	c, wrong := httpsConfigFrom(environment(map[string]string{"BENCHTRAIL_ACME_NAMES": "Trail.Example.org, walk.example.org,trail.example.org,"}))
	require.Empty(t, wrong)
	require.Equal(t, []string{"trail.example.org", "walk.example.org"}, c.Names)
}

func TestWhatDoesNotFitTogetherForHTTPSIsRefusedBeforeAnythingStarts(t *testing.T) {
	t.Parallel()
	const cert, key, names, email, directory, redirect = "BENCHTRAIL_TLS_CERT", "BENCHTRAIL_TLS_KEY", "BENCHTRAIL_ACME_NAMES",
		"BENCHTRAIL_ACME_EMAIL", "BENCHTRAIL_ACME_DIRECTORY", "BENCHTRAIL_HTTP_LISTEN"
	for _, c := range []struct {
		set  map[string]string
		args []string
		says string
	}{
		{map[string]string{cert: "c.pem"}, nil, "without its key"},
		{map[string]string{key: "k.pem"}, nil, "without its certificate"},
		{nil, []string{"--tls-cert", "c.pem"}, "without its key"},
		{map[string]string{cert: "c.pem", key: "k.pem", names: "trail.example.org"}, nil, "not from both"},
		{map[string]string{names: "trail.example.org"}, []string{"--tls-cert", "c.pem", "--tls-key", "k.pem"}, "not from both"},
		{map[string]string{email: "owner@fernhollow.test"}, nil, names},
		{map[string]string{directory: "https://acme.test/directory"}, nil, names},
		{map[string]string{redirect: "127.0.0.1:0"}, nil, "there is none"},
		{map[string]string{cert: "nowhere/c.pem", key: "nowhere/k.pem"}, nil, "nowhere/c.pem"},
	} {
		dir := newFolder(t)
		_, _, err := say(t, environment(c.set), append([]string{"serve", "--listen", "127.0.0.1:0", "--data", dir}, c.args...)...)
		require.ErrorContains(t, err, c.says)
		_, err = os.Stat(dir)
		require.ErrorIs(t, err, os.ErrNotExist, "nothing was made")
	}
}

func TestTheDemoStaysOnPlainHTTP(t *testing.T) {
	t.Parallel()
	_, _, err := say(t, noEnvironment, "demo", "--tls-cert", "c.pem", "--tls-key", "k.pem")
	require.ErrorContains(t, err, "not defined: -tls-cert")
}
