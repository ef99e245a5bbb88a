package main

import (
	"bufio"
	"context"
	"crypto/rand"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"strings"
	"time"
	"unicode/utf8"

	"benchtrail/api"
	"benchtrail/api/store"
	"benchtrail/domain"
)

type accountFlags struct{ organisation, email, name, language string }

func (f *accountFlags) register(flags *flag.FlagSet) {
	flags.StringVar(&f.organisation, "organisation", "", "name of the new organisation")
	flags.StringVar(&f.email, "email", "", "e-mail address of its first owner")
	flags.StringVar(&f.name, "name", "", "name of its first owner")
	flags.StringVar(&f.language, "language", "en", "en or es")
}

const shortestPassword = 12

// makeAccount makes an organisation with its first owner. The password is read
// from standard input, so that it stands in no list of processes. The owner
// makes the other accounts in the pages.
func makeAccount(ctx context.Context, cfg config, log *slog.Logger, f accountFlags, stdin io.Reader, stdout io.Writer) (err error) {
	var wrong []error
	for name, value := range map[string]string{"--organisation": f.organisation, "--email": f.email, "--name": f.name} {
		if strings.TrimSpace(value) == "" {
			wrong = append(wrong, fmt.Errorf("give %s", name))
		}
	}
	if f.language != "en" && f.language != "es" {
		wrong = append(wrong, fmt.Errorf("--language is %q and should be en or es", f.language))
	}
	if err := errors.Join(wrong...); err != nil {
		return err
	}
	if _, err := fmt.Fprintf(stdout, "Password for %s (at least %d characters): ", f.email, shortestPassword); err != nil {
		return err
	}
	line, err := bufio.NewReader(stdin).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return fmt.Errorf("read the password: %w", err)
	}
	password := strings.TrimRight(line, "\r\n")
	if utf8.RuneCountInString(password) < shortestPassword {
		return fmt.Errorf("the password has fewer than %d characters", shortestPassword)
	}
	db, err := openDatabase(ctx, cfg, log, "server")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.close()) }()
	pool, err := db.pool(ctx)
	if err != nil {
		return err
	}
	defer pool.Close()
	owner := store.Account{Email: strings.ToLower(strings.TrimSpace(f.email)), Name: f.name, Language: f.language}
	organisation, err := domain.NewID(time.Now(), rand.Reader)
	if err != nil {
		return err
	}
	if owner.ID, err = domain.NewID(time.Now(), rand.Reader); err != nil {
		return err
	}
	if owner.PasswordHash, err = api.HashPassword(password, rand.Reader); err != nil {
		return err
	}
	if _, err := store.New(pool, time.Now).CreateOrganisation(ctx, organisation, f.organisation, owner); err != nil {
		return err
	}
	_, err = fmt.Fprintf(stdout, "\n%s is there; %s may sign in.\n", f.organisation, owner.Email)
	return err
}
