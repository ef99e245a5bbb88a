package main

import (
	"fmt"
	"log/slog"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func environment(values map[string]string) func(string) string {
	return func(name string) string { return values[name] }
}

func TestEveryBadVariableIsReportedAtOnceAndNoSecretIsPrinted(t *testing.T) {
	t.Parallel()
	const secret = "hunter2"
	bad := map[string]string{
		"BENCHTRAIL_DATABASE_URL":   "postgres://grower:" + secret + "@db.test:notaport/benchtrail",
		"BENCHTRAIL_MIGRATE_URL":    "host=db.test password=" + secret + " sslmode=perhaps",
		"BENCHTRAIL_LISTEN":         "8080",
		"BENCHTRAIL_LOG_LEVEL":      "loud",
		"BENCHTRAIL_LOG_FORMAT":     "xml",
		"BENCHTRAIL_ACME_NAMES":     "https://trail.example.org",
		"BENCHTRAIL_ACME_EMAIL":     "Ofelia <owner@fernhollow.test>",
		"BENCHTRAIL_ACME_DIRECTORY": "http://acme.test/directory",
		"BENCHTRAIL_HTTP_LISTEN":    "80",
	}
	_, err := configFrom(environment(bad))
	require.Error(t, err)
	for name := range bad {
		require.ErrorContains(t, err, name)
	}
	require.NotContains(t, err.Error(), secret)
	require.Len(t, strings.Split(err.Error(), "\n"), len(bad), "one line for each")
}

func TestAConfigurationIsPrintedWithoutItsPassword(t *testing.T) {
	t.Parallel()
	const secret = "hunter2"
	for _, url := range []string{
		"postgres://grower:" + secret + "@db.test/benchtrail", "host=db.test user=grower dbname=benchtrail password=" + secret,
	} {
		cfg, err := configFrom(environment(map[string]string{"BENCHTRAIL_DATABASE_URL": url, "BENCHTRAIL_MIGRATE_URL": url}))
		require.NoError(t, err)
		for _, text := range []string{cfg.String(), fmt.Sprint(cfg), fmt.Sprintf("%+v", cfg)} {
			require.NotContains(t, text, secret)
			require.Contains(t, text, "benchtrail at db.test as grower")
		}
	}
}

func TestWithoutAnyVariableTheProgramKeepsToThisMachine(t *testing.T) {
	t.Parallel()
	cfg, err := configFrom(noEnvironment)
	require.NoError(t, err)
	require.True(t, isLoopback(cfg.Listen))
	require.Empty(t, cfg.DatabaseURL)
	require.Equal(t, slog.LevelInfo, cfg.LogLevel)
	folder, err := cfg.dataFolder("demo")
	require.NoError(t, err)
	other, err := cfg.dataFolder("server")
	require.NoError(t, err)
	require.NotEqual(t, folder, other, "the demo has a folder of its own")
}

func TestLoopbackIsThisMachineOnly(t *testing.T) {
	t.Parallel()
	for listen, own := range map[string]bool{
		"127.0.0.1:80": true, "[::1]:80": true, "localhost:80": true, "127.8.8.8:0": true,
		"0.0.0.0:80": false, ":80": false, "[::]:80": false, "192.0.2.1:80": false, "localhost.test:80": false, "greenhouse.test:80": false, "80": false,
	} {
		require.Equal(t, own, isLoopback(listen), listen)
	}
}
