package main

import (
	"net/mail"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api"
)

func TestLettersLeaveOnlyWhereAMailServerIsNamed(t *testing.T) {
	t.Parallel()
	cfg, err := configFrom(noEnvironment)
	require.NoError(t, err)
	require.Empty(t, cfg.Mail.Host)

	named := map[string]string{
		"BENCHTRAIL_SMTP_HOST": "mail.example.org", "BENCHTRAIL_SMTP_USER": "trail", "BENCHTRAIL_SMTP_PASSWORD": "very secret",
		"BENCHTRAIL_SMTP_FROM": "Benchtrail <trail@example.org>", "BENCHTRAIL_PAGES": "https://trail.example.org",
	}
	cfg, err = configFrom(environment(named))
	require.NoError(t, err)
	require.Equal(t, api.Mail{
		Host: "mail.example.org", Port: 587, User: "trail", Password: "very secret", Security: "starttls",
		From: mail.Address{Name: "Benchtrail", Address: "trail@example.org"}, Pages: "https://trail.example.org",
	}, cfg.Mail)
	require.NotContains(t, cfg.String(), "very secret")

	named["BENCHTRAIL_SMTP_TLS"] = "tls"
	cfg, err = configFrom(environment(named))
	require.NoError(t, err)
	require.Equal(t, 465, cfg.Mail.Port)
}

func TestEverythingWrongWithTheMailServerIsSaidAtOnce(t *testing.T) {
	t.Parallel()
	_, err := configFrom(environment(map[string]string{
		"BENCHTRAIL_SMTP_HOST": "mail.example.org", "BENCHTRAIL_SMTP_PORT": "99999", "BENCHTRAIL_SMTP_TLS": "maybe", "BENCHTRAIL_PAGES": "trail",
	}))
	for _, name := range []string{"BENCHTRAIL_SMTP_PORT", "BENCHTRAIL_SMTP_TLS", "BENCHTRAIL_SMTP_FROM", "BENCHTRAIL_PAGES"} {
		require.ErrorContains(t, err, name)
	}
	_, err = configFrom(environment(map[string]string{
		"BENCHTRAIL_SMTP_HOST": "mail.example.org", "BENCHTRAIL_SMTP_FROM": "a@example.org", "BENCHTRAIL_SMTP_TLS": "none", "BENCHTRAIL_SMTP_USER": "trail",
	}))
	require.ErrorContains(t, err, "in the clear")
}
