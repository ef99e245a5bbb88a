package api

import (
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
)

const (
	cookieName   = "benchtrail_session"
	sessionLasts = 30 * 24 * time.Hour // a season's phone should not ask every morning
)

// SignIn implements POST /session. A wrong address takes as long as a wrong
// password, so that nobody learns who has an account.
func (s *server) SignIn(c echo.Context) error {
	raw, err := readBody(c, mostBody)
	if err != nil {
		return err
	}
	body, err := decode[wire.SessionRequest](s.contract, raw)
	if err != nil {
		return err
	}
	email := strings.ToLower(strings.TrimSpace(body.Email))
	if ok, err := s.fromSignIn.Allow(c.RealIP()); err != nil || !ok {
		return errTooOften
	}
	who := email + " " + c.RealIP()
	if s.wrong.tooMany(who) {
		return errTooOften
	}
	ctx := c.Request().Context()
	login, err := s.Store.Login(ctx, email)
	known := err == nil
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		return err
	}
	if !known {
		login.PasswordHash = nobodysHash
	}
	right, err := s.passwordFits(c, body.Password, login.PasswordHash)
	if err != nil {
		return err
	}
	if !known || !right || len(login.Organisations) == 0 {
		s.wrong.note(who)
		return errPassword
	}
	organisation := login.Organisations[0]
	if !body.OrganisationID.IsZero() {
		if !slices.Contains(login.Organisations, body.OrganisationID) {
			return errPassword
		}
		organisation = body.OrganisationID
	}
	secret, err := newSecret(s.Entropy)
	if err != nil {
		return err
	}
	if err := s.Store.StartSession(ctx, secret, login.PersonID, organisation, sessionLasts); err != nil {
		return err
	}
	a, err := s.Store.ActorOfSession(ctx, secret)
	if err != nil {
		return errors.Join(err, s.Store.EndSession(ctx, secret))
	}
	c.SetCookie(s.cookie(c, secret, int(sessionLasts/time.Second)))
	return c.JSON(http.StatusOK, s.session(a))
}

// nobodysHash is the hash of a password that nobody knows.
const nobodysHash = "$argon2id$v=19$m=19456,t=2,p=1$bm9ib2R5IGtub3dzIGl0$" +
	"c29tZSB0aGlydHkgdHdvIGJ5dGVzIHRoYXQgZml0Li4"

// passwordFits waits for a place first: each hash takes memory and a core.
func (s *server) passwordFits(c echo.Context, password, hash string) (bool, error) {
	select {
	case s.passwords <- struct{}{}:
		defer func() { <-s.passwords }()
	case <-c.Request().Context().Done():
		return false, c.Request().Context().Err()
	}
	return checkPassword(password, hash)
}

// GetSession implements GET /session.
func (s *server) GetSession(c echo.Context) error {
	return c.JSON(http.StatusOK, s.session(actorOf(c)))
}

// SignOut implements DELETE /session.
func (s *server) SignOut(c echo.Context) error {
	if cookie, err := c.Cookie(cookieName); err == nil {
		if err := s.Store.EndSession(c.Request().Context(), cookie.Value); err != nil {
			return err
		}
	}
	c.SetCookie(s.cookie(c, "", -1))
	return c.NoContent(http.StatusNoContent)
}

func (s *server) session(a store.Actor) wire.Session {
	var out wire.Session
	out.Person.ID, out.Person.Name, out.Person.Email, out.Person.Language = a.PersonID, a.Name, a.Email, a.Language
	out.Organisation.ID, out.Organisation.Name = a.OrganisationID, a.Organisation
	out.Roles = each(a.Roles, roleToWire)
	out.Now, out.Demo, out.EndsOn, out.Letters = s.Clock(), s.Demo, a.EndsOn, s.letters != nil
	return out
}

// cookie is Secure except on plain http to this very machine.
func (s *server) cookie(c echo.Context, secret string, maxAge int) *http.Cookie {
	host := c.Request().Host
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	ip := net.ParseIP(strings.Trim(host, "[]"))
	loopback := host == "localhost" || ip != nil && ip.IsLoopback()
	return &http.Cookie{
		Name: cookieName, Value: secret, Path: "/", MaxAge: maxAge, HttpOnly: true, SameSite: http.SameSiteLaxMode,
		Secure: c.IsTLS() || !loopback,
	}
}

func newSecret(entropy io.Reader) (string, error) {
	b := make([]byte, 32)
	if _, err := io.ReadFull(entropy, b); err != nil {
		return "", fmt.Errorf("make a secret: %w", err)
	}
	return base64.RawURLEncoding.EncodeToString(b), nil
}
