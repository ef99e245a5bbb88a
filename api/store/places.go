package store

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"benchtrail/domain"
	"benchtrail/domain/place"
	"benchtrail/domain/stock"
)

func siteTable() table[place.Site] {
	return table[place.Site]{
		name: "site",
		columns: `t.id, t.name, t.time_zone, t.country, coalesce(t.round_crop_percent, 0), coalesce(t.round_blocks_percent, 0),
			coalesce(t.round_plants_least, 0), coalesce(t.round_plants_most, 0), coalesce(t.round_seconds_per_plant, 0), t.round_minutes_per_block`,
		fields: func(s *place.Site) []any {
			r := &s.RoundRules
			return []any{
				&s.ID, &s.Name, &s.TimeZone, &s.Country, &r.CropPercent, &r.BlocksPercent,
				&r.PlantsPerBlockLeast, &r.PlantsPerBlockMost, &r.SecondsPerPlant, &r.MinutesPerBlock,
			}
		},
	}
}

// PutSite stores a site.
func (s *Store) PutSite(ctx context.Context, a Actor, p Put, site place.Site) (Saved[place.Site], error) {
	return save(ctx, s, a, p, siteTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		if err := knowsZone(ctx, tx, site.TimeZone); err != nil {
			return st.id, err
		}
		const dated = `select exists (select from site where organisation_id = $1 and id = $2 and time_zone <> $3)
			and (exists (select from shipment where organisation_id = $1 and site_id = $2)
				or exists (select from look where organisation_id = $1 and site_id = $2))`
		var stuck bool
		if err := tx.QueryRow(ctx, dated, st.org, st.id, site.TimeZone).Scan(&stuck); err != nil {
			return st.id, fmt.Errorf("see what is dated in the zone: %w", err)
		}
		if stuck {
			return st.id, domain.Faults{{Path: "/time_zone", Code: "not_changeable", Detail: "shipments and looks of this site are already dated in its time zone"}}
		}
		r := site.RoundRules
		return st.id, upsert(ctx, tx, st, "site",
			`name, time_zone, country, round_crop_percent, round_blocks_percent, round_plants_least, round_plants_most,
			round_seconds_per_plant, round_minutes_per_block`,
			site.Name, site.TimeZone, site.Country, said(r.CropPercent), said(r.BlocksPercent), said(r.PlantsPerBlockLeast),
			said(r.PlantsPerBlockMost), said(r.SecondsPerPlant), r.MinutesPerBlock)
	})
}

// said gives nil for a number that was left out.
func said[T int | float64](x T) *T {
	if x == 0 {
		return nil
	}
	return &x
}

// Site reads a site.
func (s *Store) Site(ctx context.Context, a Actor, id domain.ID) (Record[place.Site], error) {
	return get(ctx, s, a, siteTable(), id)
}

// Sites lists the sites.
func (s *Store) Sites(ctx context.Context, a Actor, page Page) (List[place.Site], error) {
	return list(ctx, s, a, siteTable(), page, "")
}

func houseTable() table[place.House] {
	return table[place.House]{
		name: "house", columns: `t.id, t.site_id, t.name, coalesce(t.area_m2, 0)`,
		fields: func(h *place.House) []any { return []any{&h.ID, &h.SiteID, &h.Name, &h.AreaM2} },
	}
}

// PutHouse stores a house.
func (s *Store) PutHouse(ctx context.Context, a Actor, p Put, h place.House) (Saved[place.House], error) {
	return save(ctx, s, a, p, houseTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		if !a.OwnerAt(h.SiteID) {
			return h.SiteID, ErrDenied
		}
		if err := staysAtSite(ctx, tx, st, "house", h.SiteID, "/site_id", `select from block where organisation_id = $1 and house_id = $2
				union all select from decision where organisation_id = $1 and house_id = $2`); err != nil {
			return h.SiteID, err
		}
		return h.SiteID, upsert(ctx, tx, st, "house", "site_id, name, area_m2", h.SiteID, h.Name, h.AreaM2)
	})
}

// House reads a house.
func (s *Store) House(ctx context.Context, a Actor, id domain.ID) (Record[place.House], error) {
	return get(ctx, s, a, houseTable(), id)
}

// Houses lists the houses, of one site unless it is zero.
func (s *Store) Houses(ctx context.Context, a Actor, page Page, site domain.ID) (List[place.House], error) {
	return list(ctx, s, a, houseTable(), page, `and ($4::uuid is null or t.site_id = $4)`, site)
}

func sectionTable() table[place.Section] {
	return table[place.Section]{
		name: "section", columns: `t.id, t.site_id, t.name, t.grower_id`,
		fields: func(x *place.Section) []any { return []any{&x.ID, &x.SiteID, &x.Name, &x.GrowerID} },
	}
}

// PutSection stores a section.
func (s *Store) PutSection(ctx context.Context, a Actor, p Put, x place.Section) (Saved[place.Section], error) {
	return save(ctx, s, a, p, sectionTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		if !a.OwnerAt(x.SiteID) {
			return x.SiteID, ErrDenied
		}
		if err := staysAtSite(ctx, tx, st, "section", x.SiteID, "/site_id", `select from block where organisation_id = $1 and section_id = $2`); err != nil {
			return x.SiteID, err
		}
		return x.SiteID, upsert(ctx, tx, st, "section", "site_id, name, grower_id", x.SiteID, x.Name, x.GrowerID)
	})
}

// Section reads a section.
func (s *Store) Section(ctx context.Context, a Actor, id domain.ID) (Record[place.Section], error) {
	return get(ctx, s, a, sectionTable(), id)
}

// Sections lists the sections, of one site unless it is zero.
func (s *Store) Sections(ctx context.Context, a Actor, page Page, site domain.ID) (List[place.Section], error) {
	return list(ctx, s, a, sectionTable(), page, `and ($4::uuid is null or t.site_id = $4)`, site)
}

func blockTable() table[place.Block] {
	return table[place.Block]{
		name: "block", columns: `t.id, t.site_id, t.house_id, t.section_id, t.name, t.position, t.quarantine, t.water, t.tools`,
		fields: func(b *place.Block) []any {
			return []any{&b.ID, &b.SiteID, &b.HouseID, &b.SectionID, &b.Name, &b.Position, &b.Quarantine, &b.Water, &b.Tools}
		},
	}
}

// PutBlock stores a block.
func (s *Store) PutBlock(ctx context.Context, a Actor, p Put, b place.Block) (Saved[place.Block], error) {
	return save(ctx, s, a, p, blockTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		site, err := ownSite(ctx, tx, st.org, "house", b.HouseID)
		if err != nil {
			return site, err
		}
		if !b.SectionID.IsZero() {
			at, err := ownSite(ctx, tx, st.org, "section", b.SectionID)
			if err == nil && at != site {
				err = missing(ErrNotFound, "section")
			}
			if err != nil {
				return site, err
			}
		}
		if !a.OwnerAt(site) {
			return site, ErrDenied
		}
		if err := staysAtSite(ctx, tx, st, "block", site, "/house_id", `select from look where organisation_id = $1 and block_id = $2
			union all select from movement where organisation_id = $1 and $2 in (from_block_id, to_block_id)`); err != nil {
			return site, err
		}
		err = upsert(ctx, tx, st, "block", "site_id, house_id, section_id, name, position, quarantine, water, tools",
			site, b.HouseID, b.SectionID, b.Name, b.Position, b.Quarantine, b.Water, b.Tools)
		if err != nil || st.version == 1 {
			return site, err
		}
		if err := lockBook(ctx, tx, site); err != nil {
			return site, err
		}
		// What quarantine allows, and what a hold of the house is on, may have changed.
		return site, holdAnew(ctx, tx, st.org, lotsHeld(stock.ScopeSite), site)
	})
}

// Block reads a block.
func (s *Store) Block(ctx context.Context, a Actor, id domain.ID) (Record[place.Block], error) {
	return get(ctx, s, a, blockTable(), id)
}

// Blocks lists the blocks, of one site or house unless they are zero.
func (s *Store) Blocks(ctx context.Context, a Actor, page Page, site, house domain.ID) (List[place.Block], error) {
	return list(ctx, s, a, blockTable(), page,
		`and ($4::uuid is null or t.site_id = $4) and ($5::uuid is null or t.house_id = $5)`, site, house)
}

// staysAtSite refuses to move a place to another site once something hangs on
// it, for that would stay behind. The table and the query are from this package.
func staysAtSite(ctx context.Context, tx pgx.Tx, st stamp, table string, site domain.ID, member, hangs string) error {
	if st.version == 1 {
		return nil
	}
	was, err := ownSite(ctx, tx, st.org, table, st.id)
	if err != nil || was == site {
		return err
	}
	var used bool
	if err := tx.QueryRow(ctx, `select exists (`+hangs+`)`, st.org, st.id).Scan(&used); err != nil {
		return fmt.Errorf("see what hangs on the %s: %w", table, err)
	}
	if used {
		return domain.Faults{{Path: member, Code: "not_changeable", Detail: "the " + table + " is in use and stays at its site"}}
	}
	return nil
}

// ownSite gives the site whose own a record is. A record that the actor may not
// see is as if it were not there. The table is a name from this package.
func ownSite(ctx context.Context, tx pgx.Tx, org domain.ID, table string, id domain.ID) (domain.ID, error) {
	var site domain.ID
	err := tx.QueryRow(ctx, `select site_id from `+table+` where organisation_id = $1 and id = $2`, org, id).Scan(&site)
	if err != nil {
		return site, missing(err, table)
	}
	return site, nil
}

// missing turns "no rows" for a record that another one names into a fault of
// the one that names it.
func missing(err error, noun string) error {
	if err = translate(err); isNotFound(err) {
		return domain.Faults{{Path: "/" + noun + "_id", Code: "not_found", Detail: "there is no such " + noun + " here"}}
	}
	return fmt.Errorf("read the %s: %w", noun, err)
}

// knowsZone refuses a zone that Postgres has not in its list: it works out dates too.
func knowsZone(ctx context.Context, tx pgx.Tx, name string) error {
	_, err := tx.Exec(ctx, `select now() at time zone $1`, name)
	var pg *pgconn.PgError
	if errors.As(err, &pg) && pg.Code == invalidParameter {
		return domain.Faults{{Path: "/time_zone", Code: "unknown_time_zone", Detail: "the database does not know this time zone"}}
	}
	if err != nil {
		return fmt.Errorf("look up the time zone: %w", err)
	}
	return nil
}

func siteZone(ctx context.Context, tx pgx.Tx, org, site domain.ID) (*time.Location, error) {
	x := place.Site{ID: site}
	err := tx.QueryRow(ctx, `select time_zone from site where organisation_id = $1 and id = $2`, org, site).Scan(&x.TimeZone)
	if err != nil {
		return nil, missing(err, "site")
	}
	return x.Location()
}
