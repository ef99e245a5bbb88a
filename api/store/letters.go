package store

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
)

// Letter is what a person wants to be told of by e-mail every week.
type Letter struct {
	ID        domain.ID
	SiteID    domain.ID
	SectionID domain.ID // zero for all sections of the site
	Stopped   bool
}

// Check gives everything wrong with the letter as domain.Faults, or nil.
func (x Letter) Check() error {
	var f domain.Faults
	f.Need(!x.SiteID.IsZero(), "/site_id")
	return f.Err()
}

func letterTable() table[Letter] {
	return table[Letter]{
		name: "letter", columns: `t.id, t.site_id, t.section_id, t.stopped`,
		fields: func(x *Letter) []any { return []any{&x.ID, &x.SiteID, &x.SectionID, &x.Stopped} },
	}
}

// PutLetter stores that the actor wants a letter, or no more.
func (s *Store) PutLetter(ctx context.Context, a Actor, p Put, x Letter) (Saved[Letter], error) {
	return save(ctx, s, a, p, letterTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		if _, err := siteZone(ctx, tx, st.org, x.SiteID); err != nil {
			return x.SiteID, err
		}
		if !x.SectionID.IsZero() {
			at, err := ownSite(ctx, tx, st.org, "section", x.SectionID)
			if err == nil && at != x.SiteID {
				err = missing(ErrNotFound, "section")
			}
			if err != nil {
				return x.SiteID, err
			}
		}
		if st.version > 1 {
			var whose domain.ID
			if err := tx.QueryRow(ctx, `select person_id from letter where organisation_id = $1 and id = $2`, st.org, st.id).Scan(&whose); err != nil {
				return x.SiteID, missing(err, "letter")
			}
			if whose != a.PersonID {
				return x.SiteID, ErrNotFound
			}
		}
		return x.SiteID, upsert(ctx, tx, st, "letter", "site_id, section_id, person_id, since, stopped", x.SiteID, x.SectionID, a.PersonID, st.at, x.Stopped)
	})
}

// Letter reads a letter of the actor.
func (s *Store) Letter(ctx context.Context, a Actor, id domain.ID) (Record[Letter], error) {
	l, err := list(ctx, s, a, letterTable(), Page{Limit: 1}, `and t.person_id = $4 and t.id = $5`, a.PersonID, id)
	if err == nil && len(l.Items) == 0 {
		err = ErrNotFound
	}
	if err != nil {
		return Record[Letter]{}, err
	}
	return l.Items[0], nil
}

// Letters lists the letters of the actor.
func (s *Store) Letters(ctx context.Context, a Actor, page Page) (List[Letter], error) {
	return list(ctx, s, a, letterTable(), page, `and t.person_id = $4`, a.PersonID)
}

// Addressee is somebody who gets a letter.
type Addressee struct {
	OrganisationID, PersonID domain.ID
}

// Wanted is a letter somebody wants, and where the clocks are that say when.
type Wanted struct {
	Addressee
	SiteID, SectionID domain.ID
	Zone              *time.Location
	Since             time.Time
}

// LettersWanted gives the letters of every organisation that are not stopped, by reader.
func (s *Store) LettersWanted(ctx context.Context) ([]Wanted, error) {
	var organisations []domain.ID
	everybodys := []setting{{"post", "on"}, {"sites", "*"}}
	err := s.inTx(ctx, everybodys, func(tx pgx.Tx) error {
		rows, err := tx.Query(ctx, `select distinct organisation_id from letter where not stopped order by 1`)
		if err != nil {
			return err
		}
		organisations, err = pgx.CollectRows(rows, pgx.RowTo[domain.ID])
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("read who wants letters: %w", err)
	}
	var wanted []Wanted
	for _, org := range organisations {
		err := s.inTx(ctx, []setting{{"organisation", org.String()}, {"sites", "*"}}, func(tx pgx.Tx) error {
			const q = `select t.person_id, t.site_id, t.section_id, t.since, site.time_zone from letter t
				join site on site.organisation_id = $1 and site.id = t.site_id
				left join section on section.organisation_id = $1 and section.id = t.section_id
				where t.organisation_id = $1 and not t.stopped order by t.person_id, site.name, section.name nulls first, t.id`
			rows, err := tx.Query(ctx, q, org)
			if err != nil {
				return err
			}
			of, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (w Wanted, err error) {
				var zone string
				if err := row.Scan(&w.PersonID, &w.SiteID, &w.SectionID, &w.Since, &zone); err != nil {
					return w, err
				}
				w.OrganisationID = org
				w.Zone, err = time.LoadLocation(zone)
				return w, err
			})
			wanted = append(wanted, of...)
			return err
		})
		if err != nil {
			return nil, fmt.Errorf("read the letters of an organisation: %w", err)
		}
	}
	return wanted, nil
}

// ActorOfAddressee gives who gets a letter as they would be signed in; ErrNotFound when they
// may sign in no more.
func (s *Store) ActorOfAddressee(ctx context.Context, r Addressee) (Actor, error) {
	a := Actor{PersonID: r.PersonID, OrganisationID: r.OrganisationID}
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error { return fillActor(ctx, tx, &a) })
	return a, err
}

// LetterSent reports whether somebody got the letter of a week.
func (s *Store) LetterSent(ctx context.Context, a Actor, monday domain.Date) (sent bool, err error) {
	err = s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		const q = `select exists (select from letter_sent where organisation_id = $1 and person_id = $2 and week_start = $3)`
		return tx.QueryRow(ctx, q, a.OrganisationID, a.PersonID, monday).Scan(&sent)
	})
	return sent, err
}

// SendLetterOnce sends the letter of a week unless that was done, and remembers it. Who
// else wants to send it meanwhile waits, and then finds it sent; when it cannot be sent it
// is not remembered.
func (s *Store) SendLetterOnce(ctx context.Context, a Actor, monday domain.Date, send func(context.Context) error) (sent bool, err error) {
	// Once: a letter that was taken must not go out again because the database wants another try.
	err = s.once(ctx, a.settings(), func(tx pgx.Tx) error {
		const q = `insert into letter_sent (organisation_id, person_id, week_start, sent_at) values ($1, $2, $3, $4) on conflict do nothing`
		tag, err := tx.Exec(ctx, q, a.OrganisationID, a.PersonID, monday, s.clock())
		if err != nil {
			return fmt.Errorf("remember the letter: %w", err)
		}
		if tag.RowsAffected() == 0 {
			return nil
		}
		sent = true
		return send(ctx)
	})
	return sent && err == nil, err
}
