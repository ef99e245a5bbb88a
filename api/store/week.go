package store

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/place"
	"benchtrail/domain/trend"
)

// WeekQuery asks what a week at a site says.
type WeekQuery struct {
	SiteID     domain.ID
	Week       domain.Week // when zero, the present week and the last are read
	OrganismID domain.ID   // when zero the main pest of the crop with the most plants there
}

// WeekFound is what the reading of a week is made from.
type WeekFound struct {
	SiteID  domain.ID
	Site    string // its name
	Advice  AdviceFound
	Now     time.Time // in the zone of the site
	Present Rounds
	Shown   Rounds // of the week asked for, else of the last one

	Sections []WeekSection // by name
	Blocks   map[domain.ID]WeekBlock
	Lots     map[domain.ID]WeekLot // that stand at the site or were looked at in the season
	Signs    []BlockSigns          // of both weeks
	Due      Due
}

// WeekSection is a section and who looks after it.
type WeekSection struct {
	place.Section
	Grower string // empty when nobody is named
}

// WeekBlock is where a block is. SectionID is zero when it is in none.
type WeekBlock struct {
	SectionID, HouseID domain.ID
	Name, House        string
	Position           int
}

// WeekLot is a lot by its names, with what was looked at of it all over the site.
type WeekLot struct {
	ID, CultivarID, SeasonID domain.ID
	Code, Cultivar           string
	ArrivedOn                domain.Date
	HouseID                  domain.ID // where all looks of it were made; zero when in several
	Samples                  []trend.Sample
}

// BlockSigns counts the plants with adults on new growth among those of planned looks of a
// week at which signs were looked for.
type BlockSigns struct {
	BlockID             domain.ID
	WeekStart           domain.Date
	Plants, AdultsOnNew int
}

// Week reads what a week at a site says: the advice of the season, the rounds of the
// present week and of another, and what is due.
func (s *Store) Week(ctx context.Context, a Actor, q WeekQuery) (WeekFound, error) {
	var w WeekFound
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		zone, err := siteZone(ctx, tx, a.OrganisationID, q.SiteID)
		if err != nil {
			return err
		}
		w = WeekFound{SiteID: q.SiteID, Now: s.clock().In(zone)}
		site, err := siteTable().one(ctx, tx, a.OrganisationID, q.SiteID)
		if err != nil {
			return err
		}
		w.Site = site.Value.Name
		present := domain.DateOf(w.Now).Week()
		if w.Present, err = s.readRounds(ctx, tx, a, RoundQuery{SiteID: q.SiteID, OrganismID: q.OrganismID}); err != nil {
			return err
		}
		if q.Week == (domain.Week{}) {
			q.Week = present.Monday().AddDays(-7).Week()
		}
		w.Shown = w.Present
		if q.Week != present {
			if w.Shown, err = s.readRounds(ctx, tx, a, RoundQuery{SiteID: q.SiteID, Week: q.Week, OrganismID: w.Present.OrganismID}); err != nil {
				return err
			}
		}
		if w.Advice, err = s.readAdvice(ctx, tx, a, AdviceQuery{SiteID: q.SiteID, OrganismID: w.Present.OrganismID}); err != nil {
			return err
		}
		r := weekReader{tx: tx, org: a.OrganisationID, site: q.SiteID, found: &w}
		for _, read := range []func(context.Context) error{r.readSections, r.readBlocks, r.readLots, r.readSigns} {
			if err := read(ctx); err != nil {
				return err
			}
		}
		w.Due, err = readDue(ctx, tx, a.OrganisationID, q.SiteID, w.Now)
		return err
	})
	return w, err
}

// weekReader adds to what rounds and advice know.
type weekReader struct {
	tx        pgx.Tx
	org, site domain.ID
	found     *WeekFound
}

func (r *weekReader) readSections(ctx context.Context) error {
	const q = `select section.id, section.name, section.grower_id, coalesce(person.name, '') from section
		left join person on person.id = section.grower_id
		where section.organisation_id = $1 and section.site_id = $2 order by section.name, section.id`
	rows, err := r.tx.Query(ctx, q, r.org, r.site)
	if err != nil {
		return fmt.Errorf("read the sections: %w", err)
	}
	r.found.Sections, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (x WeekSection, err error) {
		return x, row.Scan(&x.ID, &x.Name, &x.GrowerID, &x.Grower)
	})
	if err != nil {
		return fmt.Errorf("read the sections: %w", err)
	}
	return nil
}

func (r *weekReader) readBlocks(ctx context.Context) error {
	const q = `select b.id, b.section_id, b.house_id, b.name, house.name, b.position from block b
		join house on house.organisation_id = $1 and house.id = b.house_id where b.organisation_id = $1 and b.site_id = $2`
	rows, err := r.tx.Query(ctx, q, r.org, r.site)
	if err != nil {
		return fmt.Errorf("read the blocks: %w", err)
	}
	r.found.Blocks = map[domain.ID]WeekBlock{}
	var id domain.ID
	var x WeekBlock
	_, err = pgx.ForEachRow(rows, []any{&id, &x.SectionID, &x.HouseID, &x.Name, &x.House, &x.Position}, func() error {
		r.found.Blocks[id] = x
		return nil
	})
	if err != nil {
		return fmt.Errorf("read the blocks: %w", err)
	}
	return nil
}

func (r *weekReader) readLots(ctx context.Context) error {
	const q = `select lot.id, lot.code, lot.cultivar_id, cultivar.name, lot.season_id, lot.arrived_on from lot
		join cultivar on cultivar.organisation_id = $1 and cultivar.id = lot.cultivar_id
		where lot.organisation_id = $1 and lot.site_id = $2 and lot.withdrawn_because = '' and (lot.season_id = $3 or lot.plants_on_hand > 0)`
	rows, err := r.tx.Query(ctx, q, r.org, r.site, r.found.Advice.Season.ID)
	if err != nil {
		return fmt.Errorf("read the lots: %w", err)
	}
	samples := samplesOfLots(r.found.Advice.placed)
	r.found.Lots = map[domain.ID]WeekLot{}
	var x WeekLot
	_, err = pgx.ForEachRow(rows, []any{&x.ID, &x.Code, &x.CultivarID, &x.Cultivar, &x.SeasonID, &x.ArrivedOn}, func() error {
		x.Samples, x.HouseID = samples[x.ID].weeks, samples[x.ID].house
		r.found.Lots[x.ID] = x
		return nil
	})
	if err != nil {
		return fmt.Errorf("read the lots: %w", err)
	}
	return nil
}

// lotSamples is what was looked at of a lot, and the house if it was one.
type lotSamples struct {
	weeks   []trend.Sample
	house   domain.ID
	several bool // houses
}

// samplesOfLots sums up each lot week by week, over all blocks it stood in, as the trends
// by lot do.
func samplesOfLots(all []placed) map[domain.ID]lotSamples {
	all = slices.Clone(all)
	slices.SortFunc(all, func(a, b placed) int {
		return cmp.Or(slices.Compare(a.LotID[:], b.LotID[:]), a.week.Compare(b.week), slices.Compare(a.BlockID[:], b.BlockID[:]))
	})
	lots := map[domain.ID]lotSamples{}
	for len(all) > 0 {
		n := 1
		for n < len(all) && all[n].LotID == all[0].LotID && all[n].week == all[0].week {
			n++
		}
		week := all[:n]
		all = all[n:]
		sample, _ := sampleOf(week)
		if sample.Blocks == 0 {
			continue
		}
		lot := lots[week[0].LotID]
		for _, p := range week {
			switch {
			case p.Plants == 0 || lot.several || lot.house == p.house:
			case lot.house.IsZero():
				lot.house = p.house
			default:
				lot.house, lot.several = domain.ID{}, true
			}
		}
		lot.weeks = append(lot.weeks, sample)
		lots[week[0].LotID] = lot
	}
	return lots
}

// readSigns reads the adults on new growth, which lay eggs where nobody has looked yet. A
// sign noted of a block as a whole counts as one plant's.
func (r *weekReader) readSigns(ctx context.Context) error {
	const q = `select look.block_id, look.week_start, sum(f.plants_looked_at)::int, sum(noted.plants)::int
		from look
		join look_finding f on f.organisation_id = $1 and f.look_id = look.id and f.organism_id = $3 and f.signs_looked_for
		cross join lateral (select count(distinct coalesce(s.plant, -1)) as plants from look_sign s
			where s.organisation_id = $1 and s.look_id = look.id and s.organism_id = $3
				and s.stage = 'adult' and s.place = 'new_growth' and s.state in ('', 'alive')) noted
		where look.organisation_id = $1 and look.site_id = $2 and look.week_start in ($4, $5)
			and look.purpose = 'planned' and look.withdrawn_because = ''
		group by 1, 2`
	rows, err := r.tx.Query(ctx, q, r.org, r.site, r.found.Present.OrganismID, r.found.Present.Week.Monday(), r.found.Shown.Week.Monday())
	if err != nil {
		return fmt.Errorf("read the adults on new growth: %w", err)
	}
	r.found.Signs, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (x BlockSigns, err error) {
		return x, row.Scan(&x.BlockID, &x.WeekStart, &x.Plants, &x.AdultsOnNew)
	})
	if err != nil {
		return fmt.Errorf("read the adults on new growth: %w", err)
	}
	return nil
}

// Due is what somebody has to see to at a site.
type Due struct {
	SecondLooks []arrival.DueLook // by the day they should end
	Holds       []LotHeld         // in force, by the code of the lot
	Claims      []ClaimDue        // by the moment they close
}

// LotHeld is a lot that stays where it is.
type LotHeld struct {
	LotID   domain.ID
	LotCode string
	Kind    string // internal, supplier or official
	Scope   string
	Reason  string
	From    time.Time
	To      time.Time // zero while no end is set
}

// ClaimDue is a shipment of which a claim can still be sent, waits to be sent, or was sent
// and not answered.
type ClaimDue struct {
	ShipmentID domain.ID
	Supplier   string
	ArrivedOn  domain.Date
	ClosesAt   time.Time
	ClaimID    domain.ID // zero while none is written
	SentAt     time.Time
}

func readDue(ctx context.Context, tx pgx.Tx, org, site domain.ID, now time.Time) (due Due, err error) {
	if due.SecondLooks, err = secondLooks(ctx, tx, org, site, now.Location(), domain.DateOf(now)); err != nil {
		return due, err
	}
	const held = `select h.lot_id, lot.code, h.kind, h.scope, h.reason, h.from_at, h.to_at from lot_hold h
		join lot on lot.organisation_id = $1 and lot.id = h.lot_id and lot.withdrawn_because = '' and lot.plants_on_hand > 0
		where h.organisation_id = $1 and h.site_id = $2 and h.from_at <= bt_now() and (h.to_at is null or bt_now() < h.to_at)
		order by lot.code, h.from_at, h.hold_id`
	rows, err := tx.Query(ctx, held, org, site)
	if err != nil {
		return due, fmt.Errorf("read the holds: %w", err)
	}
	due.Holds, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (x LotHeld, err error) {
		return x, row.Scan(&x.LotID, &x.LotCode, &x.Kind, &x.Scope, &x.Reason, &x.From, &x.To)
	})
	if err != nil {
		return due, fmt.Errorf("read the holds: %w", err)
	}
	const claims = `select s.id, supplier.name, s.arrived_on, s.docked_at + make_interval(hours => supplier.claim_hours), c.id, c.sent_at from shipment s
		join supplier on supplier.organisation_id = $1 and supplier.id = s.supplier_id
		left join claim c on c.organisation_id = $1 and c.shipment_id = s.id and c.withdrawn_because = ''
		where s.organisation_id = $1 and s.site_id = $2 and s.withdrawn_because = '' and s.docked_at is not null
			and (c.id is null and s.docked_at + make_interval(hours => supplier.claim_hours) > bt_now() or c.id is not null and c.answered_at is null)
		order by 4, 1, 5`
	if rows, err = tx.Query(ctx, claims, org, site); err != nil {
		return due, fmt.Errorf("read the claims: %w", err)
	}
	due.Claims, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (x ClaimDue, err error) {
		return x, row.Scan(&x.ShipmentID, &x.Supplier, &x.ArrivedOn, &x.ClosesAt, &x.ClaimID, &x.SentAt)
	})
	if err != nil {
		return due, fmt.Errorf("read the claims: %w", err)
	}
	return due, nil
}
