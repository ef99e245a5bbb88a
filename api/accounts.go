package api

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
	openapi_types "github.com/oapi-codegen/runtime/types"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
)

func roleToWire(r store.SiteRole) wire.SiteRole {
	return wire.SiteRole{Role: wire.Role(r.Role), SiteID: r.SiteID}
}

func accountToWire(r store.Record[store.Account]) wire.Account {
	return wire.Account{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		Email: openapi_types.Email(r.Value.Email), Name: r.Value.Name, Language: wire.AccountLanguage(r.Value.Language),
		Roles: each(r.Value.Roles, roleToWire), Disabled: r.Value.Disabled, EndsOn: r.Value.EndsOn,
	}
}

// PutAccount implements PUT /accounts/{id}. The password is hashed before it
// goes anywhere and is no part of the revisions.
func (s *server) PutAccount(c echo.Context, id domain.ID, p wire.PutAccountParams) error {
	put := func(ctx context.Context, a store.Actor, p store.Put, raw []byte) (answer, error) {
		body, err := decode[wire.AccountBody](s.contract, raw)
		if err != nil {
			return answer{}, err
		}
		x := store.Account{
			ID: id, Email: strings.ToLower(string(body.Email)), Name: body.Name, Language: string(orDefault(body.Language, "en")),
			Disabled: body.Disabled, EndsOn: body.EndsOn,
			Roles: each(body.Roles, func(r wire.SiteRole) store.SiteRole {
				return store.SiteRole{Role: store.Role(r.Role), SiteID: r.SiteID}
			}),
		}
		if err := x.Check(); err != nil {
			return answer{}, err
		}
		if body.Password != "" {
			if x.PasswordHash, err = s.hash(ctx, body.Password); err != nil {
				return answer{}, err
			}
			p.Apart = fingerprint(body.Password, id)
			body.Password = "changed"
		}
		if p.Content, err = json.Marshal(body); err != nil {
			return answer{}, fmt.Errorf("write the content down: %w", err)
		}
		saved, err := s.Store.PutAccount(ctx, a, p, x)
		if err != nil {
			return answer{}, err
		}
		status := http.StatusOK
		if saved.Created {
			status = http.StatusCreated
		}
		return answer{status, saved.Version, accountToWire(saved.Record)}, nil
	}
	return s.put(c, writer{whole, put}, id, p.IfMatch)
}

func (s *server) hash(ctx context.Context, password string) (string, error) {
	select {
	case s.passwords <- struct{}{}:
		defer func() { <-s.passwords }()
	case <-ctx.Done():
		return "", ctx.Err()
	}
	return HashPassword(password, s.Entropy)
}

// GetAccount implements GET /accounts/{id}.
func (s *server) GetAccount(c echo.Context, id domain.ID) error {
	if a := actorOf(c); !setup(a) && id != a.PersonID {
		return errForbidden
	}
	return get(c, id, s.Store.Account, accountToWire)
}

// ListAccounts implements GET /accounts.
func (s *server) ListAccounts(c echo.Context, p wire.ListAccountsParams) error {
	if !setup(actorOf(c)) {
		return errForbidden
	}
	return list(c, p.Limit, p.After, s.Store.Accounts, accountToWire)
}

func tokenToWire(r store.Record[store.Token]) wire.Token {
	return wire.Token{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		Name: r.Value.Name, Purpose: wire.TokenPurpose(r.Value.Purpose), SiteID: r.Value.SiteID, ExpiresOn: r.Value.ExpiresOn, Withdrawn: r.Value.Withdrawn,
	}
}

// PutToken implements PUT /tokens/{id}. The secret is in the answer that made
// the token and nowhere else.
func (s *server) PutToken(c echo.Context, id domain.ID, p wire.PutTokenParams) error {
	secret, err := newSecret(s.Entropy)
	if err != nil {
		return err
	}
	from := func(id domain.ID, b wire.TokenBody) store.Token {
		return store.Token{
			ID: id, Name: b.Name, Purpose: orDefault(string(b.Purpose), store.ForProgram), SiteID: b.SiteID, Secret: secret,
			ExpiresOn: b.ExpiresOn, Withdrawn: b.Withdrawn,
		}
	}
	save := func(ctx context.Context, a store.Actor, p store.Put, x store.Token) (store.Saved[store.Token], error) {
		saved, err := s.Store.PutToken(ctx, a, p, x)
		if saved.Created {
			saved.Value.Secret = secret
		}
		return saved, err
	}
	to := func(r store.Record[store.Token]) wire.Token {
		out := tokenToWire(r)
		out.Secret = r.Value.Secret
		return out
	}
	return s.put(c, writerOf(s, daily, from, save, to), id, p.IfMatch)
}

// GetToken implements GET /tokens/{id}.
func (s *server) GetToken(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Token, tokenToWire)
}

// ListTokens implements GET /tokens.
func (s *server) ListTokens(c echo.Context, p wire.ListTokensParams) error {
	return list(c, p.Limit, p.After, s.Store.Tokens, tokenToWire)
}
