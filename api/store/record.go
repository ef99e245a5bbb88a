package store

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
)

// Author is who recorded something.
type Author struct {
	ID   domain.ID
	Name string
}

// Record is a stored value with its latest version, who recorded that and when.
type Record[T any] struct {
	ID         domain.ID
	Version    int
	RecordedAt time.Time
	RecordedBy Author
	Value      T
}

// Put is a wish to store: under which id, over which version (0 to create), and
// what the caller sent, by which a repeat is recognised.
type Put struct {
	ID       domain.ID
	Expected int
	Content  []byte // JSON
	Apart    []byte // tells two puts of one content apart; only its hash is kept
	Phone    []byte // JSON: what a phone said of how it was made and sent; kept with the revision, no part of the content

	ClockSet bool // the phone's clock was set between making the record and sending it
}

func (p Put) hash() []byte {
	sum := sha256.Sum256(append(slices.Clone(p.Content), p.Apart...))
	return sum[:]
}

// Saved is the outcome of a Put.
type Saved[T any] struct {
	Record[T]
	Created bool
}

// Page is a wish for part of a list: what follows After, at most Limit.
type Page struct {
	After domain.ID
	Limit int
}

// List is part of a list; Next is zero at its end.
type List[T any] struct {
	Items []Record[T]
	Next  domain.ID
}

// table says how a noun is read: which columns (of the table as t, beginning
// with t.id), where they go, and what is read from further tables afterwards.
type table[T any] struct {
	name    string
	source  string // where the rows are, when that is not the table of the name
	columns string
	joins   string
	fields  func(*T) []any
	fill    func(ctx context.Context, tx pgx.Tx, org domain.ID, records []Record[T]) error
}

func (t table[T]) selectFrom() string {
	source := t.source
	if source == "" {
		source = t.name
	}
	return `select t.id, t.version, t.recorded_at, t.recorded_by, coalesce(author.name, ''), ` + t.columns +
		` from ` + source + ` t left join person author on author.id = t.recorded_by ` + t.joins +
		` where t.organisation_id = $1 `
}

func (t table[T]) collect(ctx context.Context, tx pgx.Tx, org domain.ID, sql string, args ...any) ([]Record[T], error) {
	rows, err := tx.Query(ctx, sql, append([]any{org}, args...)...)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", t.name, err)
	}
	records, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (Record[T], error) {
		var r Record[T]
		to := append([]any{&r.ID, &r.Version, &r.RecordedAt, &r.RecordedBy.ID, &r.RecordedBy.Name}, t.fields(&r.Value)...)
		return r, row.Scan(to...)
	})
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", t.name, err)
	}
	if t.fill != nil && len(records) > 0 {
		if err := t.fill(ctx, tx, org, records); err != nil {
			return nil, fmt.Errorf("read the parts of %s: %w", t.name, err)
		}
	}
	return records, nil
}

func (t table[T]) one(ctx context.Context, tx pgx.Tx, org, id domain.ID) (Record[T], error) {
	records, err := t.collect(ctx, tx, org, t.selectFrom()+`and t.id = $2`, id)
	if err != nil {
		return Record[T]{}, err
	}
	if len(records) == 0 {
		return Record[T]{}, fmt.Errorf("%s %s: %w", t.name, id, ErrNotFound)
	}
	return records[0], nil
}

func get[T any](ctx context.Context, s *Store, a Actor, t table[T], id domain.ID) (Record[T], error) {
	var r Record[T]
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) (err error) {
		r, err = t.one(ctx, tx, a.OrganisationID, id)
		return err
	})
	return r, err
}

// list reads a page in the order of the ids. The filter may use $4 and on.
func list[T any](ctx context.Context, s *Store, a Actor, t table[T], page Page, filter string, args ...any) (List[T], error) {
	var l List[T]
	sql := t.selectFrom() + ` and ($2::uuid is null or t.id > $2) ` + filter + ` order by t.id limit $3`
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		records, err := t.collect(ctx, tx, a.OrganisationID, sql, append([]any{page.After, page.Limit + 1}, args...)...)
		if err != nil {
			return err
		}
		l = List[T]{Items: records}
		if len(records) > page.Limit {
			l.Items = records[:page.Limit]
			l.Next = l.Items[page.Limit-1].ID
		}
		return nil
	})
	return l, err
}

// stamp is what a new version of a record carries.
type stamp struct {
	org     domain.ID
	id      domain.ID
	version int
	at      time.Time
	by      domain.ID
}

// write stores the value within tx under the stamp and says which site it is
// the own of (zero for none).
type write func(ctx context.Context, tx pgx.Tx, st stamp) (site domain.ID, err error)

// save is the one way records are written: a create, a quiet repeat or a
// correction, each leaving a revision. The same id is handled one at a time.
func save[T any](ctx context.Context, s *Store, a Actor, p Put, t table[T], w write) (Saved[T], error) {
	var saved Saved[T]
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		next, err := revise(ctx, tx, a.OrganisationID, p, t.name)
		if err != nil {
			return err
		}
		if next > 0 {
			st := stamp{a.OrganisationID, p.ID, next, s.clock(), a.PersonID}
			site, err := w(ctx, tx, st)
			if err != nil {
				return err
			}
			if err := keepRevision(ctx, tx, st, p, t.name, site); err != nil {
				return err
			}
			if err := moveRevisions(ctx, tx, st, site); err != nil {
				return err
			}
		}
		saved.Created = next == 1
		saved.Record, err = t.one(ctx, tx, a.OrganisationID, p.ID)
		return err
	})
	return saved, err
}

// lockRecord lets one transaction at a time write the record of an id.
func lockRecord(ctx context.Context, tx pgx.Tx, org, id domain.ID) error {
	const lock = `select pg_advisory_xact_lock(hashtextextended($1::text || $2::text, 0))`
	if _, err := tx.Exec(ctx, lock, org.String(), id.String()); err != nil {
		return fmt.Errorf("wait for the record: %w", err)
	}
	return nil
}

// revise decides what a Put is: the number of the version to write, or 0 for a
// repeat of what is already there.
func revise(ctx context.Context, tx pgx.Tx, org domain.ID, p Put, noun string) (int, error) {
	if err := lockRecord(ctx, tx, org, p.ID); err != nil {
		return 0, err
	}
	var current int
	var repeated bool
	var other string
	const q = `select coalesce(max(version), 0), coalesce(bool_or(expected_version = $3 and content_hash = $4), false),
			coalesce(max(noun) filter (where noun <> $5), '')
		from revision where organisation_id = $1 and record_id = $2`
	if err := tx.QueryRow(ctx, q, org, p.ID, p.Expected, p.hash(), noun).Scan(&current, &repeated, &other); err != nil {
		return 0, fmt.Errorf("read the revisions: %w", err)
	}
	switch {
	case other != "":
		return 0, fmt.Errorf("%s %s is a %s: %w", noun, p.ID, other, ErrConflict)
	case repeated:
		return 0, nil
	case p.Expected == 0 && current > 0:
		return 0, fmt.Errorf("%s %s: %w", noun, p.ID, ErrConflict)
	case p.Expected != current:
		return 0, fmt.Errorf("%s %s is at version %d, not %d: %w", noun, p.ID, current, p.Expected, ErrStale)
	}
	return current + 1, nil
}

func keepRevision(ctx context.Context, tx pgx.Tx, st stamp, p Put, noun string, site domain.ID) error {
	const q = `insert into revision (organisation_id, record_id, version, noun, site_id, expected_version, content, content_hash, recorded_at, recorded_by, phone)
		values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, nullif($11, '')::jsonb)`
	_, err := tx.Exec(ctx, q, st.org, st.id, st.version, noun, site, p.Expected, string(p.Content), p.hash(), st.at, st.by, string(p.Phone))
	if err != nil {
		return fmt.Errorf("keep the revision: %w", err)
	}
	return nil
}

// moveRevisions lets the earlier versions, and the photos of the record, be seen
// where the record is seen now.
func moveRevisions(ctx context.Context, tx pgx.Tx, st stamp, site domain.ID) error {
	if st.version == 1 {
		return nil
	}
	const q = `update revision set site_id = $3 where organisation_id = $1 and record_id = $2 and site_id is distinct from $3`
	if _, err := tx.Exec(ctx, q, st.org, st.id, site); err != nil {
		return fmt.Errorf("let the revisions follow: %w", err)
	}
	return movePhotos(ctx, tx, st.org, site, st.id)
}

// upsert writes the columns of a record under its stamp. Table and columns are
// names from this package, never from outside.
func upsert(ctx context.Context, tx pgx.Tx, st stamp, table, columns string, values ...any) error {
	names := strings.Split(strings.ReplaceAll(columns, " ", ""), ",")
	if len(names) != len(values) {
		return errors.New("columns and values differ in number")
	}
	var insert, update strings.Builder
	for i, name := range names {
		insert.WriteString(", $" + strconv.Itoa(i+6))
		update.WriteString(", " + name + " = excluded." + name)
	}
	sql := `insert into ` + table + ` (organisation_id, id, version, recorded_at, recorded_by, ` + columns + `)
		values ($1, $2, $3, $4, $5` + insert.String() + `)
		on conflict (organisation_id, id) do update set version = excluded.version,
			recorded_at = excluded.recorded_at, recorded_by = excluded.recorded_by` + update.String()
	_, err := tx.Exec(ctx, sql, append([]any{st.org, st.id, st.version, st.at, st.by}, values...)...)
	if err != nil {
		return fmt.Errorf("write %s: %w", table, err)
	}
	return nil
}

// Revision is one version of a record as it was sent.
type Revision struct {
	Version    int
	Noun       string
	RecordedAt time.Time
	RecordedBy Author
	Content    []byte // JSON
	Phone      []byte // JSON, or nil: see Put
}

// Revisions gives the versions of a record after the version given, oldest first.
func (s *Store) Revisions(ctx context.Context, a Actor, record domain.ID, after, limit int) ([]Revision, error) {
	const q = `select r.version, r.noun, r.recorded_at, r.recorded_by, coalesce(p.name, ''), r.content::text, r.phone::text
		from revision r left join person p on p.id = r.recorded_by
		where r.organisation_id = $1 and r.record_id = $2 and r.version > $3 order by r.version limit $4`
	var revisions []Revision
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		rows, err := tx.Query(ctx, q, a.OrganisationID, record, after, limit)
		if err != nil {
			return fmt.Errorf("read revisions: %w", err)
		}
		revisions, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (Revision, error) {
			var r Revision
			return r, row.Scan(&r.Version, &r.Noun, &r.RecordedAt, &r.RecordedBy.ID, &r.RecordedBy.Name, &r.Content, &r.Phone)
		})
		return err
	})
	return revisions, err
}
