package store

import (
	"context"
	"fmt"
	"slices"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
)

// Account is a person as their organisation knows them.
type Account struct {
	ID           domain.ID
	Email        string // lower case
	Name         string
	Language     string // en or es
	PasswordHash string // empty keeps the one there is
	Roles        []SiteRole
	Disabled     bool
	EndsOn       domain.Date // the last day, at the person's sites; zero for no end
}

// Check gives everything wrong with the account as domain.Faults, or nil.
func (x Account) Check() error {
	var f domain.Faults
	f.Need(x.Email != "", "/email")
	f.Need(x.Name != "", "/name")
	f.Need(len(x.Roles) > 0, "/roles")
	for i, r := range x.Roles {
		if r.SiteID.IsZero() && r.Role != Owner {
			f.Add(fmt.Sprintf("/roles/%d/site_id", i), "missing", "a %s is one at a site", r.Role)
		}
		// Whether one writes is a matter of the account, so that nobody has to remember where.
		if r.Role == Reader && slices.ContainsFunc(x.Roles, func(other SiteRole) bool { return other.Role != Reader }) {
			f.Add(fmt.Sprintf("/roles/%d/role", i), "reads_only", "an account that only reads has no other role")
		}
	}
	return f.Err()
}

func accountTable() table[Account] {
	return table[Account]{
		name: "account",
		source: `(select m.organisation_id, m.person_id as id, m.version, m.recorded_at, m.recorded_by, m.ends_on, p.email, p.name, p.language, p.disabled
			from membership m join person p on p.id = m.person_id)`,
		columns: `t.id, t.email, t.name, t.language, t.disabled, t.ends_on`,
		fields:  func(x *Account) []any { return []any{&x.ID, &x.Email, &x.Name, &x.Language, &x.Disabled, &x.EndsOn} },
		fill: func(ctx context.Context, tx pgx.Tx, org domain.ID, accounts []Record[Account]) error {
			return eachPart(ctx, tx, `select person_id, role, site_id from site_role
				where organisation_id = $1 and person_id = any($2) order by person_id, ordinal`, org, accounts,
				func(row pgx.CollectableRow, of func(domain.ID) *Account) error {
					var id domain.ID
					var r SiteRole
					if err := row.Scan(&id, &r.Role, &r.SiteID); err != nil {
						return err
					}
					of(id).Roles = append(of(id).Roles, r)
					return nil
				})
		},
	}
}

// PutAccount stores an account. An organisation always keeps an owner who may sign in.
func (s *Store) PutAccount(ctx context.Context, a Actor, p Put, x Account) (Saved[Account], error) {
	return save(ctx, s, a, p, accountTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		return domain.ID{}, writeAccount(ctx, tx, st, x)
	})
}

func writeAccount(ctx context.Context, tx pgx.Tx, st stamp, x Account) error {
	// One account at a time, so that two owners cannot send each other away.
	if _, err := tx.Exec(ctx, `select from organisation where organisation_id = $1 for update`, st.org); err != nil {
		return fmt.Errorf("wait for the organisation: %w", err)
	}
	if st.version == 1 {
		if x.PasswordHash == "" {
			return domain.Faults{{Path: "/password", Code: "missing", Detail: "a new account needs a password"}}
		}
		const q = `insert into person (id, email, name, language, password_hash, disabled, created_at, home_organisation_id)
			values ($1, $2, $3, $4, $5, $6, $7, $8)`
		if _, err := tx.Exec(ctx, q, st.id, x.Email, x.Name, x.Language, x.PasswordHash, x.Disabled, st.at, st.org); err != nil {
			return fmt.Errorf("write the person: %w", err)
		}
	} else {
		const q = `update person set email = $2, name = $3, language = $4, disabled = $5,
			password_hash = case when $6 = '' then password_hash else $6 end where id = $1`
		if _, err := tx.Exec(ctx, q, st.id, x.Email, x.Name, x.Language, x.Disabled, x.PasswordHash); err != nil {
			return fmt.Errorf("write the person: %w", err)
		}
	}
	if st.version > 1 && (x.PasswordHash != "" || x.Disabled) {
		if err := endSessions(ctx, tx, st); err != nil {
			return err
		}
	}
	batch := &pgx.Batch{}
	batch.Queue(`insert into membership (organisation_id, person_id, version, recorded_at, recorded_by, ends_on) values ($1, $2, $3, $4, $5, $6)
		on conflict (organisation_id, person_id) do update set version = excluded.version, recorded_at = excluded.recorded_at,
			recorded_by = excluded.recorded_by, ends_on = excluded.ends_on`, st.org, st.id, st.version, st.at, st.by, x.EndsOn)
	batch.Queue(`delete from site_role where organisation_id = $1 and person_id = $2`, st.org, st.id)
	for i, r := range x.Roles {
		batch.Queue(`insert into site_role (organisation_id, person_id, ordinal, role, site_id) values ($1, $2, $3, $4, $5)`,
			st.org, st.id, i, r.Role, r.SiteID)
	}
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("write the roles: %w", err)
	}
	return keepAnOwner(ctx, tx, st.org)
}

// endSessions signs the person out everywhere: who was let in by the old
// password must not stay in.
func endSessions(ctx context.Context, tx pgx.Tx, st stamp) error {
	if err := set(ctx, tx, setting{"person", st.id.String()}); err != nil {
		return err
	}
	if _, err := tx.Exec(ctx, `delete from session where person_id = $1`, st.id); err != nil {
		return fmt.Errorf("end the sessions: %w", err)
	}
	return set(ctx, tx, setting{"person", st.by.String()})
}

func keepAnOwner(ctx context.Context, tx pgx.Tx, org domain.ID) error {
	const q = `select exists (select from site_role r join person p on p.id = r.person_id
			join membership m on m.organisation_id = r.organisation_id and m.person_id = r.person_id
		where r.organisation_id = $1 and r.role = 'owner' and r.site_id is null and not p.disabled and m.ends_on is null)`
	var owned bool
	if err := tx.QueryRow(ctx, q, org).Scan(&owned); err != nil {
		return fmt.Errorf("look for an owner: %w", err)
	}
	if !owned {
		return domain.Faults{{Path: "/roles", Code: "last_owner", Detail: "somebody must stay the owner of every site and be able to sign in, without a last day"}}
	}
	return nil
}

// Account reads an account.
func (s *Store) Account(ctx context.Context, a Actor, id domain.ID) (Record[Account], error) {
	return get(ctx, s, a, accountTable(), id)
}

// Accounts lists the accounts.
func (s *Store) Accounts(ctx context.Context, a Actor, page Page) (List[Account], error) {
	return list(ctx, s, a, accountTable(), page, "")
}
