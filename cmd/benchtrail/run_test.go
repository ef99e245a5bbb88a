package main

import (
	"context"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func say(t *testing.T, getenv func(string) string, args ...string) (out, log string, err error) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), startsWithin) // no command that should be refused runs on for ever
	defer cancel()
	var o, l said
	err = run(ctx, args, getenv, strings.NewReader(""), &o, &l)
	return o.String(), l.String(), err
}

func TestTheProgramSaysWhatItCanDo(t *testing.T) {
	t.Parallel()
	out, _, err := say(t, noEnvironment, "help")
	require.NoError(t, err)
	for _, command := range []string{"serve", "demo", "migrate", "account", "version", "--listen", "--data"} {
		require.Contains(t, out, command)
	}
	out, _, err = say(t, noEnvironment, "version")
	require.NoError(t, err)
	require.Equal(t, "benchtrail "+version+"\n", out)
	for _, args := range [][]string{{}, {"prune"}, {"serve", "now"}, {"serve", "--speed", "9"}} {
		_, log, err := say(t, noEnvironment, args...)
		require.Error(t, err, args)
		require.NotContains(t, log, "panic")
	}
}

func TestTheDemoRefusesAnAddressThatOthersCanReach(t *testing.T) {
	t.Parallel()
	for _, listen := range []string{"0.0.0.0:0", ":0", "[::]:0", "192.0.2.1:80", "greenhouse.test:80"} {
		dir := newFolder(t)
		_, _, err := say(t, noEnvironment, "demo", "--listen", listen, "--data", dir)
		require.ErrorContains(t, err, "this machine only")
		_, err = os.Stat(dir)
		require.ErrorIs(t, err, os.ErrNotExist, "nothing was made")
	}
}

func TestADatabaseThatCannotBeReachedIsSaidWithoutThePassword(t *testing.T) {
	t.Parallel()
	const secret = "hunter2"
	getenv := environment(map[string]string{"BENCHTRAIL_DATABASE_URL": "postgres://grower:" + secret + "@127.0.0.1:1/benchtrail?connect_timeout=5"})
	for _, command := range []string{"serve", "demo", "migrate"} {
		out, log, err := say(t, getenv, command, "--listen", "127.0.0.1:0")
		require.Error(t, err)
		require.NotContains(t, out+log+err.Error(), secret)
	}
}

func TestAnAccountNeedsAllThatItIs(t *testing.T) {
	t.Parallel()
	_, _, err := say(t, noEnvironment, "account", "--language", "fr")
	for _, name := range []string{"--organisation", "--email", "--name", "--language"} {
		require.ErrorContains(t, err, name)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	dir := newFolder(t)
	var out, log said
	err = run(ctx, []string{"account", "--data", dir, "--organisation", "O", "--email", "o@o.test", "--name", "O"}, noEnvironment,
		strings.NewReader("too short\n"), &out, &log)
	require.ErrorContains(t, err, "fewer than 12 characters")
	_, err = os.Stat(dir)
	require.ErrorIs(t, err, os.ErrNotExist)
}
