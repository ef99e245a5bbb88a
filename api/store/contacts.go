package store

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
)

// Contact is another lot that stood near the plants of a trail, at the nearest
// level they shared.
type Contact struct {
	LotID, CultivarID domain.ID
	Code              string
	Level             string    // block, water, tools, section or house
	PlaceID           domain.ID // where they were together longest; of water and tools a block
	From, To          time.Time // To is zero while they still share it
	Days              float64   // together, without the time apart
	OnIt, OnThese     FoundOn   // in the weeks of that time
}

// FoundOn is what looks found of an organism.
type FoundOn struct{ Plants, Infested int }

// Contacts is what stood beside the plants of a trail.
type Contacts struct {
	OrganismID domain.ID // the main pest of their crop
	AsOf       time.Time
	Items      []Contact
}

// levels are the ways to share a place, nearest first: a name, what makes two
// blocks one place, and when that is said of a block.
func levels() []level {
	return []level{
		{"block", `b.id::text`, `true`},
		{"water", `b.site_id || ' ' || b.water`, `b.water <> ''`},
		{"tools", `b.site_id || ' ' || b.tools`, `b.tools <> ''`},
		{"section", `b.section_id::text`, `b.section_id is not null`},
		{"house", `b.house_id::text`, `true`},
	}
}

type level struct{ name, place, where string }

// contactsOf finds the lots that shared a place of a level with those of $2, of
// which the ones of $3 are known already.
func contactsOf(x level) string {
	placeID := map[string]string{"section": `b.section_id`, "house": `b.house_id`}[x.name]
	if placeID == "" {
		placeID = `b.id`
	}
	return `with own as materialized (
			select ` + x.place + ` as place, range_agg(tstzrange(p.from_at, p.to_at)) as times
			from placement p join block b on b.organisation_id = $1 and b.id = p.block_id
			where p.organisation_id = $1 and p.lot_id = any($2) and ` + x.where + ` group by 1),
		near as materialized (
			select b.id as block_id, ` + placeID + ` as place_id, own.place from own
			join block b on ` + x.place + ` = own.place and b.organisation_id = $1 and ` + x.where + `),
		stays as (
			select p.lot_id, near.place, min(near.place_id::text)::uuid as place_id, range_agg(tstzrange(p.from_at, p.to_at)) as times
			from near join placement p on p.organisation_id = $1 and p.block_id = near.block_id
			where not exists (select from unnest($2::uuid[] || $3::uuid[]) known(id) where known.id = p.lot_id)
			group by 1, 2),
		together as materialized (
			select stays.lot_id, stays.place_id, stays.times * own.times as times from stays join own on own.place = stays.place where stays.times && own.times),
		longest as (
			select distinct on (lot_id) lot_id, place_id from together
			order by lot_id, (select sum(coalesce(upper(t), bt_now()) - lower(t)) from unnest(times) t) desc, place_id),
		days as (
			select lot_id, lower(times) as from_at, upper(times) as to_at,
				(select sum(greatest(0, extract(epoch from coalesce(upper(t), bt_now()) - lower(t)))) / 86400 from unnest(times) t)::float8 as days
			from (select lot_id, range_agg(times) as times from together group by 1) everywhere)
		select d.lot_id, lot.code, lot.cultivar_id, longest.place_id, d.from_at, d.to_at, d.days
		from days d join longest on longest.lot_id = d.lot_id join lot on lot.organisation_id = $1 and lot.id = d.lot_id and lot.withdrawn_because = ''`
}

// Contacts finds what stood beside the plants that went forward from a start.
func (s *Store) Contacts(ctx context.Context, a Actor, q TrailQuery) (Contacts, error) {
	c := Contacts{AsOf: s.clock()}
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		c.Items = nil
		org := a.OrganisationID
		if err := trailBegins(ctx, tx, org, q); err != nil {
			return err
		}
		lots, err := readTrailLots(ctx, tx, org, trailLots(trailStarts(q.From), false), q.ID)
		if err != nil || len(lots) == 0 {
			return err
		}
		trail := Trail{Lots: lots}
		known := []domain.ID{}
		// Thousands of stays are sorted; by default that would go by way of the disk.
		if _, err := tx.Exec(ctx, `set local work_mem = '64MB'`); err != nil {
			return fmt.Errorf("ask for memory: %w", err)
		}
		others, err := otherLots(ctx, tx, org, trail.ids())
		if err != nil {
			return err
		}
		for _, level := range levels() {
			if len(known) == others { // the rest of the blocks need not be read again
				break
			}
			rows, err := tx.Query(ctx, contactsOf(level), pgx.QueryExecModeCacheDescribe, org, trail.ids(), known)
			if err != nil {
				return fmt.Errorf("look for contacts: %w", err)
			}
			found, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (x Contact, err error) {
				x.Level = level.name
				return x, row.Scan(&x.LotID, &x.Code, &x.CultivarID, &x.PlaceID, &x.From, &x.To, &x.Days)
			})
			if err != nil {
				return fmt.Errorf("look for contacts: %w", err)
			}
			sortContacts(found)
			for _, x := range found {
				known = append(known, x.LotID)
			}
			c.Items = append(c.Items, found...)
		}
		return c.readFindings(ctx, tx, org, trail.ids(), lots[0].Lot.CultivarID)
	})
	return c, err
}

// otherLots counts the lots that ever stood at the sites of the lots given.
func otherLots(ctx context.Context, tx pgx.Tx, org domain.ID, lots []domain.ID) (int, error) {
	const q = `select count(*)::int from lot where organisation_id = $1 and id <> all ($2) and withdrawn_because = ''
		and site_id in (select site_id from lot where organisation_id = $1 and id = any($2))
		and exists (select from placement p where p.organisation_id = $1 and p.lot_id = lot.id)`
	var others int
	if err := tx.QueryRow(ctx, q, org, lots).Scan(&others); err != nil {
		return 0, fmt.Errorf("count the other lots: %w", err)
	}
	return others, nil
}

// readFindings adds what was found on either side in the weeks they were together.
func (c *Contacts) readFindings(ctx context.Context, tx pgx.Tx, org domain.ID, own []domain.ID, cultivar domain.ID) error {
	const pest = `select crop.main_organism_id from cultivar join crop on crop.organisation_id = $1 and crop.id = cultivar.crop_id
		where cultivar.organisation_id = $1 and cultivar.id = $2`
	if err := tx.QueryRow(ctx, pest, org, cultivar).Scan(&c.OrganismID); err != nil {
		return missing(err, "cultivar")
	}
	var lots []domain.ID
	var from, to []time.Time
	for _, x := range c.Items {
		until := x.To
		if until.IsZero() {
			until = c.AsOf
		}
		lots, from, to = append(lots, x.LotID), append(from, x.From), append(to, until)
	}
	// Looks are summed per week once, since every contact asks for some of the same.
	const q = `with own as materialized (select week_start, sum(plants)::int as plants, sum(infested)::int as infested from tally
			where organisation_id = $1 and organism_id = $2 and lot_id = any($3) group by 1),
		theirs as materialized (select lot_id, week_start, sum(plants)::int as plants, sum(infested)::int as infested from tally
			where organisation_id = $1 and organism_id = $2 and lot_id = any($4) group by 1, 2),
		x as (select lot_id, date_trunc('week', from_at)::date as from_on, to_at::date as to_on, ordinal
			from unnest($4::uuid[], $5::timestamptz[], $6::timestamptz[]) with ordinality x (lot_id, from_at, to_at, ordinal))
		select coalesce(sum(it.plants), 0)::int, coalesce(sum(it.infested), 0)::int, coalesce(min(these.plants), 0)::int, coalesce(min(these.infested), 0)::int
		from x left join theirs it on it.lot_id = x.lot_id and it.week_start between x.from_on and x.to_on
		cross join lateral (select sum(plants) as plants, sum(infested) as infested from own where own.week_start between x.from_on and x.to_on) these
		group by x.ordinal order by x.ordinal`
	rows, err := tx.Query(ctx, q, pgx.QueryExecModeCacheDescribe, org, c.OrganismID, own, lots, from, to)
	if err != nil {
		return fmt.Errorf("read what was found: %w", err)
	}
	i := 0
	var it, these FoundOn
	_, err = pgx.ForEachRow(rows, []any{&it.Plants, &it.Infested, &these.Plants, &these.Infested}, func() error {
		c.Items[i].OnIt, c.Items[i].OnThese = it, these
		i++
		return nil
	})
	if err != nil {
		return fmt.Errorf("read what was found: %w", err)
	}
	return nil
}

// sortContacts puts those together longest first.
func sortContacts(found []Contact) {
	slices.SortFunc(found, func(x, y Contact) int {
		return cmp.Or(cmp.Compare(y.Days, x.Days), bytes.Compare(x.LotID[:], y.LotID[:]))
	})
}
