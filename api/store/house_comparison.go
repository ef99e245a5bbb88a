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
	"benchtrail/domain/advice"
	"benchtrail/domain/place"
	"benchtrail/domain/stats"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

// HousesQuery asks for houses side by side; zero filters do not narrow.
type HousesQuery struct {
	OrganismID domain.ID   // the main pest of the season's crop when zero
	SeasonID   domain.ID   // the current one when zero
	SiteID     domain.ID   // every site the person may see when zero
	Week       domain.Week // the whole season when zero
	Latest     bool        // the last finished week with a look, or the current one where it is the first
}

// HousesFound is what a comparison of houses is made from.
type HousesFound struct {
	OrganismID domain.ID
	Season     stock.Season // zero when there is none yet
	Today      domain.Date  // in UTC
	Period     trend.Period
	Weeks      []domain.Date // with a look, by their Mondays
	Limits     []advice.Threshold
	Placed     []trend.Placed // of the whole season, in every house the person may see
	Houses     []HouseFound   // by site and name
}

// HouseFound is a house with what was done in it in the period.
type HouseFound struct {
	ID, SiteID domain.ID
	Name, Site string
	Rules      place.RoundRules // of its site
	Observers  []Observer       // who looked most often first
	Timed      int              // looks whose time is known
	Seconds    int              // of those
	// Per arrival and cultivar: of the plants that left the house or stand there at the
	// end of the period those that were thrown out.
	Discards []stats.Proportion
}

// Observer is who looked, and how often.
type Observer struct {
	Name  string
	Looks int
}

// HouseComparison reads what houses are held against each other by.
func (s *Store) HouseComparison(ctx context.Context, a Actor, q HousesQuery) (HousesFound, error) {
	var found HousesFound
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		season, err := s.seasonOfAdvice(ctx, tx, a, AdviceQuery{OrganismID: q.OrganismID, SeasonID: q.SeasonID, SiteID: q.SiteID})
		found = HousesFound{OrganismID: season.OrganismID, Season: season.Season, Today: season.Today, Limits: season.Limits}
		if err != nil || season.Season.ID.IsZero() {
			return err
		}
		r := housesReader{tx: tx, org: a.OrganisationID, site: q.SiteID, now: s.clock(), found: &found, at: map[domain.ID]int{}}
		for _, read := range []func(context.Context) error{r.readHouses, r.readPlaced} {
			if err := read(ctx); err != nil {
				return err
			}
		}
		r.choosePeriod(q)
		for _, read := range []func(context.Context) error{r.readLooks, r.readDiscards} {
			if err := read(ctx); err != nil {
				return err
			}
		}
		return nil
	})
	return found, err
}

// housesReader fills the houses, one query for all of them at a time.
type housesReader struct {
	tx    pgx.Tx
	org   domain.ID
	site  domain.ID
	now   time.Time
	found *HousesFound
	at    map[domain.ID]int // where a house is in the list
}

// choosePeriod takes the week, or the season as far as it has gone. The looks of its
// last day may lie after today in UTC.
func (r *housesReader) choosePeriod(q HousesQuery) {
	season := r.found.Season
	r.found.Period = trend.Period{From: season.StartsOn.Week().Monday(), To: season.EndsOn.Week().Monday()}
	if today := r.found.Today.AddDays(1).Week().Monday(); today.Before(r.found.Period.To) && !today.Before(r.found.Period.From) {
		r.found.Period.To = today
	}
	week := q.Week.Monday()
	if q.Latest && len(r.found.Weeks) > 0 {
		week = r.found.Weeks[0]
		for _, w := range r.found.Weeks {
			if w.Before(r.found.Today.Week().Monday()) {
				week = w
			}
		}
	}
	if q.Week != (domain.Week{}) || q.Latest && len(r.found.Weeks) > 0 {
		r.found.Period = trend.Period{From: week, To: week}
	}
}

func (r *housesReader) readHouses(ctx context.Context) error {
	sites, err := siteTable().collect(ctx, r.tx, r.org, siteTable().selectFrom())
	if err != nil {
		return err
	}
	byID := map[domain.ID]place.Site{}
	for _, x := range sites {
		byID[x.Value.ID] = x.Value
	}
	const sql = `select house.id, house.site_id, house.name from house join site on site.organisation_id = $1 and site.id = house.site_id
		where house.organisation_id = $1 and ($2::uuid is null or house.site_id = $2) order by site.name, house.name, house.id`
	rows, err := r.tx.Query(ctx, sql, r.org, r.site)
	if err != nil {
		return fmt.Errorf("read the houses: %w", err)
	}
	r.found.Houses, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (h HouseFound, err error) {
		err = row.Scan(&h.ID, &h.SiteID, &h.Name)
		h.Site, h.Rules = byID[h.SiteID].Name, byID[h.SiteID].RoundRules
		return h, err
	})
	if err != nil {
		return fmt.Errorf("read the houses: %w", err)
	}
	for i, h := range r.found.Houses {
		r.at[h.ID] = i
	}
	return nil
}

// lotOfHouses is what a stratum is read from.
type lotOfHouses struct {
	cultivar domain.ID
	foliage  string
	arrived  domain.Date
	mixed    bool
}

func (l lotOfHouses) stratum(week domain.Date) trend.Stratum {
	if l.mixed || l.arrived.IsZero() {
		return trend.Stratum{Foliage: l.foliage, AgeWeeks: trend.AgeMixed}
	}
	return trend.Stratum{Foliage: l.foliage, AgeWeeks: trend.AgeBand(l.arrived.Week().Monday().DaysUntil(week))}
}

// readPlaced reads the looks of the whole season, since how alike plants of a block are
// is pooled over it, and what stood where, from the rows that trends are summed from.
func (r *housesReader) readPlaced(ctx context.Context) error {
	lots, err := r.readLots(ctx)
	if err != nil {
		return err
	}
	houses, err := r.readBlocks(ctx)
	if err != nil {
		return err
	}
	t := Trends{Season: r.found.Season, OrganismID: r.found.OrganismID}
	read, err := t.rows(ctx, r.tx, r.org)
	if err != nil {
		return err
	}
	pairs := slices.Clone(read.pairs)
	slices.SortFunc(pairs, func(a, b blockLot) int {
		return cmp.Or(bytes.Compare(a.block[:], b.block[:]), bytes.Compare(a.lot[:], b.lot[:]))
	})
	for week, looked := range read.looked {
		if !looked {
			continue
		}
		monday := read.first.AddDays(7 * week)
		r.found.Weeks = append(r.found.Weeks, monday)
		for _, p := range pairs {
			w := p.weeks[week]
			lot, known := lots[p.lot]
			if w.plants == 0 && w.stood == 0 || !known && !p.lot.IsZero() { // of another season, or withdrawn
				continue
			}
			x := trend.Placed{
				Week: monday, HouseID: houses[p.block], CultivarID: lot.cultivar, Stratum: trend.Stratum{AgeWeeks: trend.AgeMixed}, AtEnd: int(w.atEnd),
				Cluster: trend.Cluster{
					LotID: p.lot, BlockID: p.block, Looks: int(w.looks), Plants: int(w.plants), Infested: int(w.infested), InDoubt: int(w.inDoubt), Standing: int(w.stood),
				},
			}
			if known {
				x.Stratum = lot.stratum(monday)
			}
			r.found.Placed = append(r.found.Placed, x)
		}
	}
	return nil
}

// readBlocks tells the house of each block.
func (r *housesReader) readBlocks(ctx context.Context) (map[domain.ID]domain.ID, error) {
	rows, err := r.tx.Query(ctx, `select id, house_id from block where organisation_id = $1`, r.org)
	if err != nil {
		return nil, fmt.Errorf("read the blocks: %w", err)
	}
	houses := map[domain.ID]domain.ID{}
	var block, house domain.ID
	if _, err = pgx.ForEachRow(rows, []any{&block, &house}, func() error { houses[block] = house; return nil }); err != nil {
		return nil, fmt.Errorf("read the blocks: %w", err)
	}
	return houses, nil
}

func (r *housesReader) readLots(ctx context.Context) (map[domain.ID]lotOfHouses, error) {
	sql := `select lot.id, lot.cultivar_id, cultivar.foliage, lot.arrived_on, lot.mixed from lot
		join cultivar on cultivar.organisation_id = $1 and cultivar.id = lot.cultivar_id
		where lot.organisation_id = $1 and lot.season_id = $2 and ` + lotCounts("lot")
	rows, err := r.tx.Query(ctx, sql, r.org, r.found.Season.ID)
	if err != nil {
		return nil, fmt.Errorf("read the lots: %w", err)
	}
	lots := map[domain.ID]lotOfHouses{}
	var id domain.ID
	var lot lotOfHouses
	_, err = pgx.ForEachRow(rows, []any{&id, &lot.cultivar, &lot.foliage, &lot.arrived, &lot.mixed}, func() error { lots[id] = lot; return nil })
	if err != nil {
		return nil, fmt.Errorf("read the lots: %w", err)
	}
	return lots, nil
}

// house gives the house of an id, nil for one that was not asked for.
func (r *housesReader) house(id domain.ID) *HouseFound {
	i, asked := r.at[id]
	if !asked {
		return nil
	}
	return &r.found.Houses[i]
}

func (r *housesReader) readLooks(ctx context.Context) error {
	sql := `select block.house_id, coalesce(observer.name, ''), count(*)::int, count(*) filter (where k.seconds > 0)::int, coalesce(sum(k.seconds), 0)::int
		from look k
		join look_finding f on f.organisation_id = $1 and f.look_id = k.id and f.organism_id = $2
		join block on block.organisation_id = $1 and block.id = k.block_id
		left join lot on lot.organisation_id = $1 and lot.id = k.lot_id
		left join person observer on observer.id = k.observer_id
		where k.organisation_id = $1 and k.purpose = 'planned' and k.withdrawn_because = '' and k.week_start between $3 and $4
			and (lot.id is null or lot.season_id = $5 and ` + lotCounts("lot") + `)
		group by 1, 2 order by 3 desc, 2`
	period := r.found.Period
	rows, err := r.tx.Query(ctx, sql, pgx.QueryExecModeCacheDescribe, r.org, r.found.OrganismID, period.From, period.To, r.found.Season.ID)
	if err != nil {
		return fmt.Errorf("read who looked: %w", err)
	}
	var house domain.ID
	var o Observer
	var timed, seconds int
	_, err = pgx.ForEachRow(rows, []any{&house, &o.Name, &o.Looks, &timed, &seconds}, func() error {
		if h := r.house(house); h != nil {
			h.Observers = append(h.Observers, o)
			h.Timed += timed
			h.Seconds += seconds
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("read who looked: %w", err)
	}
	return nil
}

// readDiscards counts what was thrown out in each house, against what left it or
// stands there at the end. Plants of one arrival and cultivar share their fate.
func (r *housesReader) readDiscards(ctx context.Context) error {
	sql := `
		with span as (
			select site.id as site_id, $3::date::timestamp at time zone site.time_zone as from_at,
				least(($4::date + 7)::timestamp at time zone site.time_zone, bt_now()) as to_at
			from site where site.organisation_id = $1),
		gone as (
			select block.house_id, m.lot_id, m.plants, case when m.kind = 'discard' then m.plants else 0 end as discarded
			from movement m
			join block on block.organisation_id = $1 and block.id = m.from_block_id
			join span on span.site_id = block.site_id and m.moved_at >= span.from_at and m.moved_at < span.to_at
			left join block beyond on beyond.organisation_id = $1 and beyond.id = m.to_block_id
			where m.organisation_id = $1 and m.withdrawn_because = ''
				and (m.kind in ('discard', 'dispatch') or m.kind in ('move', 'space', 'pot') and beyond.house_id <> block.house_id)
				and not exists (select from movement_conflict c where c.organisation_id = $1 and c.movement_id = m.id)),
		stays as (
			select block.house_id, p.lot_id, p.plants, 0
			from placement p
			join span on span.site_id = p.site_id and p.from_at < span.to_at and (p.to_at is null or p.to_at >= span.to_at)
			join block on block.organisation_id = $1 and block.id = p.block_id
			where p.organisation_id = $1)
		select x.house_id, sum(x.plants)::int, sum(x.discarded)::int
		from (select * from gone union all select * from stays) x
		join lot on lot.organisation_id = $1 and lot.id = x.lot_id and lot.season_id = $2 and ` + lotCounts("lot") + `
		group by x.house_id, coalesce(lot.origin_id, lot.id), lot.cultivar_id order by 1, coalesce(lot.origin_id, lot.id), lot.cultivar_id`
	period := r.found.Period
	rows, err := r.tx.Query(ctx, sql, pgx.QueryExecModeCacheDescribe, r.org, r.found.Season.ID, period.From, period.To)
	if err != nil {
		return fmt.Errorf("read what was thrown out: %w", err)
	}
	var house domain.ID
	var of stats.Proportion
	_, err = pgx.ForEachRow(rows, []any{&house, &of.Examined, &of.Infested}, func() error {
		if h := r.house(house); h != nil {
			h.Discards = append(h.Discards, of)
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("read what was thrown out: %w", err)
	}
	return nil
}
