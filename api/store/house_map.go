package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/place"
	"benchtrail/domain/trend"
)

// HouseMap is a house block by block and week by week.
type HouseMap struct {
	Trends // the house is its only group; of a house without a look there is none

	House  place.House
	Blocks []MapBlock // in walking order
}

// MapBlock is a block of the map.
type MapBlock struct {
	place.Block
	Section string
	Weeks   []BlockWeek // in order of time, those in which plants stood there or somebody looked
	Spots   []HotSpot   // by week
}

// BlockWeek is a block in one week.
type BlockWeek struct {
	Week       domain.Date // its Monday
	CultivarID domain.ID   // when all of it was one
	Standing   int         // plants at the end of the week; 0 when none, or not known
	Looked     trend.Sample
}

// HotSpot is a look that says where a hot spot is, or one that was made on purpose and
// found something.
type HotSpot struct {
	Week      domain.Date
	LookID    domain.ID
	Where     string // in the block; empty when it was not said
	OnPurpose bool
	Plants    int // looked at
	Infested  int
}

// HouseMap reads the map of a house. Of the query only the house, the season and the
// organism count.
func (s *Store) HouseMap(ctx context.Context, a Actor, q TrendQuery) (HouseMap, error) {
	var m HouseMap
	q = TrendQuery{By: trend.ByBlock, OrganismID: q.OrganismID, OrganismEPPO: q.OrganismEPPO, SeasonID: q.SeasonID, HouseID: q.HouseID}
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		m = HouseMap{}
		org := a.OrganisationID
		const house = `select id, site_id, name from house where organisation_id = $1 and id = $2`
		if err := tx.QueryRow(ctx, house, org, q.HouseID).Scan(&m.House.ID, &m.House.SiteID, &m.House.Name); err != nil {
			return missing(err, "house")
		}
		zone, err := siteZone(ctx, tx, org, m.House.SiteID)
		if err != nil {
			return err
		}
		m.Today = domain.DateOf(s.clock().In(zone))
		if m.Blocks, err = blocksOf(ctx, tx, org, q.HouseID); err != nil {
			return err
		}
		if err = m.chooseSeason(ctx, tx, org, q); err != nil || m.Season.ID.IsZero() {
			return err
		}
		parts, err := m.readParts(ctx, tx, org, q)
		if err != nil {
			return err
		}
		m.place(parts)
		// What plants of a block have in common is read as for the houses of the trends.
		all, err := m.readGroups(ctx, tx, org, TrendQuery{By: trend.ByHouse, SiteID: m.House.SiteID})
		if err != nil {
			return err
		}
		for _, g := range all {
			m.All = append(m.All, g.Weeks)
			if g.Key == q.HouseID.String() {
				m.Groups = []TrendGroup{g}
			}
		}
		if err := m.readLimits(ctx, tx, org); err != nil {
			return err
		}
		if err := m.readSpots(ctx, tx, org); err != nil {
			return err
		}
		return m.countLeftOut(ctx, tx, org, q)
	})
	return m, err
}

func blocksOf(ctx context.Context, tx pgx.Tx, org, house domain.ID) ([]MapBlock, error) {
	const sql = `select block.id, block.site_id, block.house_id, block.section_id, block.name, block.position, coalesce(section.name, '')
		from block left join section on section.organisation_id = $1 and section.id = block.section_id
		where block.organisation_id = $1 and block.house_id = $2 order by block.position, block.name`
	rows, err := tx.Query(ctx, sql, org, house)
	if err != nil {
		return nil, fmt.Errorf("read the blocks of a house: %w", err)
	}
	blocks, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (x MapBlock, err error) {
		return x, row.Scan(&x.ID, &x.SiteID, &x.HouseID, &x.SectionID, &x.Name, &x.Position, &x.Section)
	})
	if err != nil {
		return nil, fmt.Errorf("read the blocks of a house: %w", err)
	}
	return blocks, nil
}

// at gives the blocks by their ids.
func (m *HouseMap) at() map[domain.ID]*MapBlock {
	at := make(map[domain.ID]*MapBlock, len(m.Blocks))
	for i := range m.Blocks {
		at[m.Blocks[i].ID] = &m.Blocks[i]
	}
	return at
}

// place puts what was read of each block and week where it belongs.
func (m *HouseMap) place(parts []groupOfBlock) {
	at := m.at()
	for _, p := range parts {
		b := at[p.cluster.BlockID]
		if b == nil || p.cluster.Plants == 0 && p.standing == 0 {
			continue
		}
		standing := 0
		if p.standing > 0 {
			standing = 1
		}
		w := BlockWeek{Week: p.week, CultivarID: p.group.CultivarID, Standing: p.standing}
		if p.cluster.Plants > 0 {
			w.Looked = trend.SampleOf(p.week, []trend.Cluster{p.cluster}, p.standing, standing)
		}
		b.Weeks = append(b.Weeks, w)
	}
}

// readSpots reads the hot spots of what is looked for.
func (m *HouseMap) readSpots(ctx context.Context, tx pgx.Tx, org domain.ID) error {
	const sql = `select t.block_id, t.week_start, t.id, t.hot_spot, t.purpose = 'on_purpose', f.plants_looked_at, f.infested_plants
		from look t ` + groupJoins + ` join look_finding f on f.organisation_id = $1 and f.look_id = t.id and f.organism_id = $2
		where t.organisation_id = $1 and t.week_start between $3 and $4 and house.id = $6 and t.withdrawn_because = '' and ` + ofLotsThatAre + `
			and (t.hot_spot <> '' or t.purpose = 'on_purpose' and f.infested_plants > 0)
		order by t.week_start, t.looked_at, t.id`
	rows, err := tx.Query(ctx, sql, org, m.OrganismID, m.Season.StartsOn.Week().Monday(), m.Season.EndsOn, m.Season.ID, m.House.ID)
	if err != nil {
		return fmt.Errorf("read the hot spots of a house: %w", err)
	}
	at := m.at()
	var block domain.ID
	var spot HotSpot
	fields := []any{&block, &spot.Week, &spot.LookID, &spot.Where, &spot.OnPurpose, &spot.Plants, &spot.Infested}
	_, err = pgx.ForEachRow(rows, fields, func() error {
		if b := at[block]; b != nil {
			b.Spots = append(b.Spots, spot)
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("read the hot spots of a house: %w", err)
	}
	return nil
}
