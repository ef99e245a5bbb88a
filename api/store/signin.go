package store

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// Secrets are kept as their hash: who reads the database cannot sign in.
func credential(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// Login is what is needed to check a password.
type Login struct {
	PersonID      domain.ID
	PasswordHash  string
	Organisations []domain.ID // in the order the person joined them
}

// Login finds the person who signs in with an e-mail address (lower case), and
// ErrNotFound when there is none or the account is disabled.
func (s *Store) Login(ctx context.Context, email string) (Login, error) {
	var l Login
	err := s.inTx(ctx, []setting{{"email", email}}, func(tx pgx.Tx) error {
		const q = `select id, password_hash from person where email = $1 and not disabled`
		if err := tx.QueryRow(ctx, q, email).Scan(&l.PersonID, &l.PasswordHash); err != nil {
			return err
		}
		if err := set(ctx, tx, setting{"person", l.PersonID.String()}); err != nil {
			return err
		}
		const of = `select organisation_id from membership where person_id = $1 order by recorded_at, organisation_id`
		rows, err := tx.Query(ctx, of, l.PersonID)
		if err != nil {
			return fmt.Errorf("read memberships: %w", err)
		}
		l.Organisations, err = pgx.CollectRows(rows, pgx.RowTo[domain.ID])
		return err
	})
	return l, err
}

// StartSession keeps a session under the secret of its cookie.
func (s *Store) StartSession(ctx context.Context, secret string, person, organisation domain.ID, lasts time.Duration) error {
	return s.inTx(ctx, []setting{{"person", person.String()}}, func(tx pgx.Tx) error {
		now := s.clock()
		batch := &pgx.Batch{}
		batch.Queue(`delete from session where person_id = $1 and expires_at < $2`, person, now)
		batch.Queue(`insert into session (credential, person_id, organisation_id, created_at, expires_at) values ($1, $2, $3, $4, $5)`,
			credential(secret), person, organisation, now, now.Add(lasts))
		return tx.SendBatch(ctx, batch).Close()
	})
}

// EndSession forgets a session.
func (s *Store) EndSession(ctx context.Context, secret string) error {
	c := credential(secret)
	return s.inTx(ctx, []setting{{"credential", c}}, func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `delete from session where credential = $1`, c)
		return err
	})
}

// ActorOfSession gives the person behind the secret of a session's cookie.
func (s *Store) ActorOfSession(ctx context.Context, secret string) (Actor, error) {
	return s.actor(ctx, secret, `select person_id, organisation_id from session where credential = $1 and expires_at > $2`)
}

// ActorOfToken gives the person behind a bearer token.
func (s *Store) ActorOfToken(ctx context.Context, secret string) (Actor, error) {
	return s.actor(ctx, secret, `select person_id, organisation_id from token where credential = $1 and purpose = 'program' and not withdrawn
		and (expires_on is null or expires_on >= ($2::timestamptz at time zone 'utc')::date)`)
}

// ActorOfCalendar gives the person behind the secret of a calendar's address, and the site
// it shows. It opens nothing else.
func (s *Store) ActorOfCalendar(ctx context.Context, secret string) (Actor, domain.ID, error) {
	a, err := s.actor(ctx, secret, `select person_id, organisation_id from token where credential = $1 and purpose = 'calendar' and not withdrawn
		and (expires_on is null or expires_on >= ($2::timestamptz at time zone 'utc')::date)`)
	if err != nil {
		return a, domain.ID{}, err
	}
	var site domain.ID
	err = s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		return tx.QueryRow(ctx, `select t.site_id from token t join site on site.organisation_id = $1 and site.id = t.site_id
			where t.organisation_id = $1 and t.credential = $2`, a.OrganisationID, credential(secret)).Scan(&site)
	})
	return a, site, err
}

func (s *Store) actor(ctx context.Context, secret, find string) (Actor, error) {
	var a Actor
	c := credential(secret)
	// Which sites are theirs is not known yet; what is found is only what has this credential.
	err := s.inTx(ctx, []setting{{"credential", c}, {"sites", "*"}}, func(tx pgx.Tx) error {
		if err := tx.QueryRow(ctx, find, c, s.clock()).Scan(&a.PersonID, &a.OrganisationID); err != nil {
			return err
		}
		if err := set(ctx, tx, setting{"organisation", a.OrganisationID.String()}, setting{"person", a.PersonID.String()}); err != nil {
			return err
		}
		return fillActor(ctx, tx, &a)
	})
	return a, err
}

// fillActor reads what there is to know of the person in the organisation; it gives Ended
// when the account is over.
func fillActor(ctx context.Context, tx pgx.Tx, a *Actor) error {
	const q = `select p.name, p.email, p.language, o.name, m.ends_on from person p, organisation o, membership m
		where p.id = $1 and not p.disabled and o.organisation_id = $2 and (m.organisation_id, m.person_id) = ($2, $1)`
	if err := tx.QueryRow(ctx, q, a.PersonID, a.OrganisationID).Scan(&a.Name, &a.Email, &a.Language, &a.Organisation, &a.EndsOn); err != nil {
		return err
	}
	const roles = `select role, site_id from site_role where organisation_id = $1 and person_id = $2 order by ordinal`
	rows, err := tx.Query(ctx, roles, a.OrganisationID, a.PersonID)
	if err != nil {
		return fmt.Errorf("read roles: %w", err)
	}
	a.Roles, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (SiteRole, error) {
		var r SiteRole
		return r, row.Scan(&r.Role, &r.SiteID)
	})
	if err != nil {
		return fmt.Errorf("read roles: %w", err)
	}
	return hasNotEnded(ctx, tx, *a)
}

// hasNotEnded gives Ended once the last day of the account is over at all of the
// person's sites: a day ends later further west.
func hasNotEnded(ctx context.Context, tx pgx.Tx, a Actor) error {
	if a.EndsOn.IsZero() {
		return nil
	}
	if err := set(ctx, tx, setting{"sites", a.sites()}); err != nil {
		return err
	}
	const q = `select coalesce(min((bt_now() at time zone time_zone)::date), (bt_now() at time zone 'utc')::date) from site where organisation_id = $1`
	var today domain.Date
	if err := tx.QueryRow(ctx, q, a.OrganisationID).Scan(&today); err != nil {
		return fmt.Errorf("read the day at the sites: %w", err)
	}
	if today.After(a.EndsOn) {
		return Ended{a.EndsOn}
	}
	return nil
}

// CreateOrganisation makes an organisation with its first owner and the list of
// organisms it starts with. It is for the operator; nobody can do it over HTTP.
func (s *Store) CreateOrganisation(ctx context.Context, id domain.ID, name string, owner Account) (Actor, error) {
	a := Actor{
		PersonID: owner.ID, Name: owner.Name, Email: owner.Email, Language: owner.Language,
		OrganisationID: id, Organisation: name, Roles: []SiteRole{{Role: Owner}},
	}
	owner.Roles = a.Roles
	if err := owner.Check(); err != nil {
		return Actor{}, err
	}
	organisms, err := stock.StarterOrganisms()
	if err != nil {
		return Actor{}, fmt.Errorf("read the organisms to start with: %w", err)
	}
	err = s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		now := s.clock()
		const q = `insert into organisation (organisation_id, name, created_at) values ($1, $2, $3)`
		if _, err := tx.Exec(ctx, q, id, name, now); err != nil {
			return fmt.Errorf("write the organisation: %w", err)
		}
		st := stamp{id, owner.ID, 1, now, owner.ID}
		if err := writeAccount(ctx, tx, st, owner); err != nil {
			return err
		}
		if err := keepRevision(ctx, tx, st, Put{ID: owner.ID, Content: []byte(`{"made_with":"organisation"}`)}, "account", domain.ID{}); err != nil {
			return err
		}
		for _, x := range organisms {
			if x.ID, err = domain.NewID(now, rand.Reader); err != nil {
				return fmt.Errorf("make an id: %w", err)
			}
			err := upsert(ctx, tx, stamp{id, x.ID, 1, now, owner.ID}, "organism",
				`scientific_name, common_name, common_name_es, eppo_code, kind, where_to_look, where_to_look_es,
					regulated_note, regulated_note_es, infested_stages`,
				x.ScientificName, x.CommonName, x.CommonNameES, x.EPPOCode, x.Kind, x.WhereToLook, x.WhereToLookES,
				x.RegulatedNote, x.RegulatedNoteES, x.InfestedStages)
			if err != nil {
				return err
			}
		}
		return nil
	})
	return a, err
}

// What a token opens.
const (
	ForProgram  = "program"
	ForCalendar = "calendar"
)

// Token lets a program act with its maker's roles, or shows what is due at a site to who
// has it in an address.
type Token struct {
	ID        domain.ID
	Name      string
	Purpose   string    // ForProgram or ForCalendar; it stays what it was made for
	SiteID    domain.ID // of a calendar
	Secret    string    // set only to make one; kept as a hash
	ExpiresOn domain.Date
	Withdrawn bool
}

// Check gives everything wrong with the token as domain.Faults, or nil.
func (x Token) Check() error {
	var f domain.Faults
	f.Need(x.Name != "", "/name")
	if x.Purpose == ForCalendar {
		f.Need(!x.SiteID.IsZero(), "/site_id")
	} else if !x.SiteID.IsZero() {
		f.Add("/site_id", "not_allowed", "only a calendar is of one site")
	}
	return f.Err()
}

func tokenTable() table[Token] {
	return table[Token]{
		name: "token", columns: `t.id, t.name, t.purpose, t.site_id, t.expires_on, t.withdrawn`,
		fields: func(x *Token) []any {
			return []any{&x.ID, &x.Name, &x.Purpose, &x.SiteID, &x.ExpiresOn, &x.Withdrawn}
		},
	}
}

// PutToken stores a token of the actor.
func (s *Store) PutToken(ctx context.Context, a Actor, p Put, x Token) (Saved[Token], error) {
	return save(ctx, s, a, p, tokenTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		if st.version == 1 {
			if x.Purpose == ForCalendar {
				if _, err := siteZone(ctx, tx, st.org, x.SiteID); err != nil {
					return domain.ID{}, err
				}
			}
			return domain.ID{}, upsert(ctx, tx, st, "token", "person_id, name, purpose, site_id, credential, expires_on, withdrawn",
				a.PersonID, x.Name, x.Purpose, x.SiteID, credential(x.Secret), x.ExpiresOn, x.Withdrawn)
		}
		const q = `update token set version = $3, recorded_at = $4, recorded_by = $5, name = $6, expires_on = $7, withdrawn = $8
			where organisation_id = $1 and id = $2 and person_id = $5`
		tag, err := tx.Exec(ctx, q, st.org, st.id, st.version, st.at, st.by, x.Name, x.ExpiresOn, x.Withdrawn)
		if err == nil && tag.RowsAffected() == 0 {
			err = ErrNotFound
		}
		return domain.ID{}, err
	})
}

// Token reads a token of the actor.
func (s *Store) Token(ctx context.Context, a Actor, id domain.ID) (Record[Token], error) {
	l, err := list(ctx, s, a, tokenTable(), Page{Limit: 1}, `and t.person_id = $4 and t.id = $5`, a.PersonID, id)
	if err == nil && len(l.Items) == 0 {
		err = ErrNotFound
	}
	if err != nil {
		return Record[Token]{}, err
	}
	return l.Items[0], nil
}

// Tokens lists the tokens of the actor.
func (s *Store) Tokens(ctx context.Context, a Actor, page Page) (List[Token], error) {
	return list(ctx, s, a, tokenTable(), page, `and t.person_id = $4`, a.PersonID)
}
