package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/trend"
)

// OriginQuery asks where infestation came from; zero filters do not narrow.
type OriginQuery struct {
	OrganismID domain.ID // the main pest of the season's crop when zero
	SeasonID   domain.ID // that of the lot, or the current one, when zero

	SiteID, HouseID, CultivarID domain.ID
	LotID                       domain.ID // asks about the lots of its cultivar, with the facts of itself
}

// Origins is what an origin query finds.
type Origins struct {
	Traced []trend.Traced
	Facts  []trend.OriginFact
}

// mostFacts is how many lots have their facts told, the earliest arrivals first.
const mostFacts = 500

// Origins reads what was looked at of each arrival in each house and week, and
// what is known of each arriving lot. Looks of lots not yet known have no arrival
// and stay out.
func (s *Store) Origins(ctx context.Context, a Actor, q OriginQuery) (Origins, error) {
	var o Origins
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		o = Origins{}
		t := Trends{Today: domain.DateOf(s.clock().UTC())}
		if !q.SiteID.IsZero() {
			zone, err := siteZone(ctx, tx, a.OrganisationID, q.SiteID)
			if err != nil {
				return err
			}
			t.Today = domain.DateOf(s.clock().In(zone))
		}
		season := q.SeasonID
		cultivar := q.CultivarID
		if !q.LotID.IsZero() {
			var its domain.ID
			const lot = `select cultivar_id, season_id from lot where organisation_id = $1 and id = $2`
			if err := tx.QueryRow(ctx, lot, a.OrganisationID, q.LotID).Scan(&cultivar, &its); err != nil {
				return missing(err, "lot")
			}
			if season.IsZero() {
				season = its
			}
		}
		err := t.chooseSeason(ctx, tx, a.OrganisationID, TrendQuery{OrganismID: q.OrganismID, SeasonID: season})
		if err != nil || t.Season.ID.IsZero() {
			return err
		}
		args := []any{a.OrganisationID, t.OrganismID, t.Season.ID, q.SiteID, q.HouseID, cultivar}
		if o.Traced, err = readTraced(ctx, tx, args); err != nil {
			return err
		}
		o.Facts, err = readOriginFacts(ctx, tx, append(args, q.LotID, mostFacts))
		return err
	})
	return o, err
}

func readTraced(ctx context.Context, tx pgx.Tx, args []any) ([]trend.Traced, error) {
	const sql = `select lot.origin_id, house.id, t.week_start, sum(t.plants)::int, sum(t.infested)::int
		from tally t ` + groupJoins + `
		where t.organisation_id = $1 and t.organism_id = $2 and t.plants > 0 and lot.season_id = $3
			and lot.withdrawn_because = '' and shipment.withdrawn_because = ''
			and ($4::uuid is null or t.site_id = $4) and ($5::uuid is null or house.id = $5) and ($6::uuid is null or lot.cultivar_id = $6)
		group by 1, 2, 3 order by 3, 1, 2`
	rows, err := tx.Query(ctx, sql, args...)
	if err != nil {
		return nil, fmt.Errorf("read the looks by arrival: %w", err)
	}
	traced, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (x trend.Traced, err error) {
		return x, row.Scan(&x.ArrivalID, &x.HouseID, &x.WeekStart, &x.Plants, &x.Infested)
	})
	if err != nil {
		return nil, fmt.Errorf("read the looks by arrival: %w", err)
	}
	return traced, nil
}

// originFacts tells the facts of all lots at once. A sign noted of a look as a
// whole, and not of a plant, counts as one plant. Neighbours are lots of other
// arrivals: those of its own, if infested, would not tell arrival from house.
const originFacts = `
	with chosen as (
		select lot.id, lot.code, lot.origin_id as shipment_id, cultivar.name as cultivar, shipment.arrived_on
		from lot
		join shipment on shipment.organisation_id = $1 and shipment.id = lot.origin_id
		join cultivar on cultivar.organisation_id = $1 and cultivar.id = lot.cultivar_id
		where lot.organisation_id = $1 and lot.season_id = $3 and lot.withdrawn_because = '' and shipment.withdrawn_because = ''
			and ($4::uuid is null or lot.site_id = $4) and ($6::uuid is null or lot.cultivar_id = $6) and ($7::uuid is null or lot.id = $7)
			and ($5::uuid is null or exists (select from tally t join block on block.organisation_id = $1 and block.id = t.block_id
				where t.organisation_id = $1 and t.organism_id = $2 and t.lot_id = lot.id and t.plants > 0 and block.house_id = $5))
		order by shipment.arrived_on, lot.code, lot.id limit $8),
	inspected as (
		select i.lot_id,
			sum(f.plants_looked_at) filter (where i.kind = 'dock') as dock, sum(f.infested_plants) filter (where i.kind = 'dock') as dock_infested,
			sum(f.plants_looked_at) filter (where i.kind = 'second_look') as second,
			sum(f.infested_plants) filter (where i.kind = 'second_look') as second_infested
		from chosen
		join inspection i on i.organisation_id = $1 and i.lot_id = chosen.id and i.withdrawn_because = ''
		join inspection_finding f on f.organisation_id = $1 and f.inspection_id = i.id and f.organism_id = $2
		group by 1),
	tallied as (
		select t.lot_id, t.block_id, t.week_start, t.plants, t.infested from chosen
		join tally t on t.organisation_id = $1 and t.organism_id = $2 and t.lot_id = chosen.id and t.plants > 0),
	first as (
		select lot_id, min(week_start) as looked, min(week_start) filter (where infested > 0) as seen from tallied group by 1),
	found as (
		select lot_id, sum(t.plants) as plants, sum(t.infested) as infested
		from first join tallied t using (lot_id) where t.week_start = first.seen group by 1),
	growth as (
		select first.lot_id,
			count(distinct (k.id, coalesce(g.plant, -1))) filter (where g.place = 'old_growth') as old_growth,
			count(distinct (k.id, coalesce(g.plant, -1))) filter (where g.place = 'new_growth') as new_growth
		from first
		join look k on k.organisation_id = $1 and k.lot_id = first.lot_id and k.week_start between first.seen and first.seen + 14
			and k.purpose = 'planned' and k.withdrawn_because = ''
		join look_sign g on g.organisation_id = $1 and g.look_id = k.id and g.organism_id = $2
			and g.stage <> 'empty_case' and g.state in ('', 'alive')
		group by 1),
	own as (
		select t.lot_id, t.block_id from first join tallied t using (lot_id) where t.week_start between first.seen - 14 and first.seen
		union
		select p.lot_id, p.block_id from first
		join placement p on p.organisation_id = $1 and p.lot_id = first.lot_id
		join site on site.organisation_id = $1 and site.id = p.site_id
		where (p.from_at at time zone site.time_zone)::date < first.seen + 7
			and (p.to_at is null or (p.to_at at time zone site.time_zone)::date >= first.seen - 14)),
	near as (
		select distinct own.lot_id, beside.id as block_id from own
		join block on block.organisation_id = $1 and block.id = own.block_id
		join block beside on beside.organisation_id = $1 and beside.house_id = block.house_id
			and beside.position between block.position - 1 and block.position + 1),
	neighbours as (
		select first.lot_id, sum(t.plants) as plants, sum(t.infested) as infested
		from first
		join chosen on chosen.id = first.lot_id
		join near on near.lot_id = first.lot_id
		join tally t on t.organisation_id = $1 and t.organism_id = $2 and t.block_id = near.block_id and t.plants > 0
			and t.week_start between first.seen - 14 and first.seen - 7
		join lot other on other.organisation_id = $1 and other.id = t.lot_id and other.origin_id is distinct from chosen.shipment_id
		group by 1)
	select chosen.id, chosen.code, chosen.cultivar, chosen.arrived_on,
		coalesce(i.dock, 0)::int, coalesce(i.dock_infested, 0)::int, coalesce(i.second, 0)::int, coalesce(i.second_infested, 0)::int,
		first.looked, first.seen, coalesce(found.plants, 0)::int, coalesce(found.infested, 0)::int,
		coalesce(growth.old_growth, 0)::int, coalesce(growth.new_growth, 0)::int, coalesce(n.plants, 0)::int, coalesce(n.infested, 0)::int
	from chosen
	left join inspected i on i.lot_id = chosen.id
	left join first on first.lot_id = chosen.id
	left join found on found.lot_id = chosen.id
	left join growth on growth.lot_id = chosen.id
	left join neighbours n on n.lot_id = chosen.id
	order by chosen.arrived_on, chosen.code, chosen.id`

func readOriginFacts(ctx context.Context, tx pgx.Tx, args []any) ([]trend.OriginFact, error) {
	// Planned anew for the filters there are.
	rows, err := tx.Query(ctx, originFacts, append([]any{pgx.QueryExecModeCacheDescribe}, args...)...)
	if err != nil {
		return nil, fmt.Errorf("read the facts of the lots: %w", err)
	}
	facts, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (x trend.OriginFact, err error) {
		return x, row.Scan(&x.LotID, &x.LotCode, &x.Cultivar, &x.ArrivedOn,
			&x.Dock.Plants, &x.Dock.Infested, &x.Second.Plants, &x.Second.Infested, &x.FirstLook, &x.FirstSeen, &x.Seen.Plants, &x.Seen.Infested,
			&x.OldGrowth, &x.NewGrowth, &x.Neighbours.Plants, &x.Neighbours.Infested)
	})
	if err != nil {
		return nil, fmt.Errorf("read the facts of the lots: %w", err)
	}
	return facts, nil
}
