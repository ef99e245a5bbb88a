package store

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/place"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stock"
)

// RoundQuery asks what is known of the houses of a site before a round; zero
// members do not narrow.
type RoundQuery struct {
	SiteID, HouseID domain.ID
	Week            domain.Week // this one at the site when zero
	OrganismID      domain.ID   // when zero the main pest of the crop with the most plants there
}

// Rounds is what the rounds of a week are planned from.
type Rounds struct {
	Week       domain.Week
	On         domain.Date // the day in the week that limits are read for: today, or its Monday
	OrganismID domain.ID   // zero when nothing stands there
	Rules      place.RoundRules
	Limits     []advice.Threshold        // on the organism
	CropOf     map[domain.ID]domain.ID   // of the cultivars
	Houses     []HouseRound              // in the order of their names
	houseOf    map[domain.ID]*HouseRound // of the blocks
	stands     map[placeOfLot]*scouting.Stand
	positions  map[domain.ID]int // of the blocks
	mainPests  map[domain.ID]domain.ID
}

// HouseRound is one house before its round.
type HouseRound struct {
	ID       domain.ID
	SeasonID domain.ID // of most of its plants
	Stands   []*scouting.Stand
	bySeason map[domain.ID]int // plants
}

type placeOfLot struct{ block, lot domain.ID }

// How far looks are read back: for what was found, and for whose turn it is.
const (
	weeksOfFinds = 4
	weeksOfTurns = 26
)

// Rounds reads what the rounds of a week at a site are planned from. Nothing is stored.
func (s *Store) Rounds(ctx context.Context, a Actor, q RoundQuery) (Rounds, error) {
	var r Rounds
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) (err error) {
		r, err = s.readRounds(ctx, tx, a, q)
		return err
	})
	return r, err
}

func (s *Store) readRounds(ctx context.Context, tx pgx.Tx, a Actor, q RoundQuery) (Rounds, error) {
	r := Rounds{Week: q.Week, CropOf: map[domain.ID]domain.ID{}, stands: map[placeOfLot]*scouting.Stand{}}
	zone, err := siteZone(ctx, tx, a.OrganisationID, q.SiteID)
	if err != nil {
		return r, err
	}
	site, err := siteTable().one(ctx, tx, a.OrganisationID, q.SiteID)
	if err != nil {
		return r, err
	}
	r.Rules = site.Value.RoundRules
	moment := r.chooseDay(s.clock().In(zone))
	if err := r.readHouses(ctx, tx, a.OrganisationID, q); err != nil {
		return r, err
	}
	if err := r.readStands(ctx, tx, a.OrganisationID, q, moment); err != nil {
		return r, err
	}
	if r.OrganismID, err = r.organism(ctx, tx, a.OrganisationID, q.OrganismID); err != nil || r.OrganismID.IsZero() {
		return r, err
	}
	if err := r.readTallies(ctx, tx, a.OrganisationID, q.SiteID); err != nil {
		return r, err
	}
	if err := r.readFindings(ctx, tx, a.OrganisationID); err != nil {
		return r, err
	}
	limits := thresholdTable()
	records, err := limits.collect(ctx, tx, a.OrganisationID,
		limits.selectFrom()+` and t.organism_id = $2 and t.withdrawn_because = '' and t.to_on >= $3 order by t.from_on, t.id`, r.OrganismID, r.On)
	for _, x := range records {
		r.Limits = append(r.Limits, x.Value)
	}
	return r, err
}

// chooseDay sets the week, if none was asked for, and gives the moment at which
// it is seen what stands where: now, or the end of another week.
func (r *Rounds) chooseDay(now time.Time) time.Time {
	r.On = domain.DateOf(now)
	if r.Week == (domain.Week{}) {
		r.Week = r.On.Week()
	}
	if r.Week == r.On.Week() {
		return now
	}
	r.On = r.Week.Monday()
	end := r.On.AddDays(7).Time()
	return time.Date(end.Year(), end.Month(), end.Day(), 0, 0, 0, 0, now.Location())
}

func (r *Rounds) readHouses(ctx context.Context, tx pgx.Tx, org domain.ID, q RoundQuery) error {
	if !q.HouseID.IsZero() {
		at, err := ownSite(ctx, tx, org, "house", q.HouseID)
		if err == nil && at != q.SiteID {
			err = missing(ErrNotFound, "house")
		}
		if err != nil {
			return err
		}
	}
	const sql = `select h.id, b.id, b.position from house h left join block b on b.organisation_id = $1 and b.house_id = h.id
		where h.organisation_id = $1 and h.site_id = $2 and ($3::uuid is null or h.id = $3) order by h.name, h.id`
	rows, err := tx.Query(ctx, sql, org, q.SiteID, q.HouseID)
	if err != nil {
		return fmt.Errorf("read the houses: %w", err)
	}
	r.positions = map[domain.ID]int{}
	blocks := map[domain.ID]int{} // which house
	var house, block domain.ID
	var position *int
	_, err = pgx.ForEachRow(rows, []any{&house, &block, &position}, func() error {
		if n := len(r.Houses); n == 0 || r.Houses[n-1].ID != house {
			r.Houses = append(r.Houses, HouseRound{ID: house, bySeason: map[domain.ID]int{}})
		}
		if position != nil {
			blocks[block], r.positions[block] = len(r.Houses)-1, *position
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("read the houses: %w", err)
	}
	r.houseOf = make(map[domain.ID]*HouseRound, len(blocks))
	for id, i := range blocks {
		r.houseOf[id] = &r.Houses[i]
	}
	return nil
}

// stand gives the stand of a lot in a block, making it when it is not there yet.
func (r *Rounds) stand(s scouting.Stand) *scouting.Stand {
	at := placeOfLot{s.BlockID, s.LotID}
	if r.stands[at] == nil {
		s.Position = r.positions[s.BlockID]
		r.stands[at] = &s
		r.houseOf[s.BlockID].Stands = append(r.houseOf[s.BlockID].Stands, &s)
	}
	return r.stands[at]
}

func (r *Rounds) readStands(ctx context.Context, tx pgx.Tx, org domain.ID, q RoundQuery, moment time.Time) error {
	const sql = `select p.block_id, p.lot_id, lot.cultivar_id, coalesce(lot.origin_id, lot.id), cultivar.foliage, cultivar.crop_id, crop.main_organism_id, lot.season_id,
			sum(p.plants)::int
		from placement p
		join block b on b.organisation_id = $1 and b.id = p.block_id
		join lot on lot.organisation_id = $1 and lot.id = p.lot_id
		join cultivar on cultivar.organisation_id = $1 and cultivar.id = lot.cultivar_id
		join crop on crop.organisation_id = $1 and crop.id = cultivar.crop_id
		where p.organisation_id = $1 and p.site_id = $2 and ($3::uuid is null or b.house_id = $3) and lot.withdrawn_because = ''
			and p.from_at <= $4 and (p.to_at is null or p.to_at > $4)
		group by 1, 2, 3, 4, 5, 6, 7, 8 order by 1, 2`
	rows, err := tx.Query(ctx, sql, org, q.SiteID, q.HouseID, moment)
	if err != nil {
		return fmt.Errorf("read what stands where: %w", err)
	}
	r.mainPests = map[domain.ID]domain.ID{}
	var s scouting.Stand
	var foliage stock.Foliage
	var crop, pest, season domain.ID
	to := []any{&s.BlockID, &s.LotID, &s.CultivarID, &s.ArrivalID, &foliage, &crop, &pest, &season, &s.Plants}
	_, err = pgx.ForEachRow(rows, to, func() error {
		s.Light = foliage == stock.LightFoliage
		r.stand(s)
		r.houseOf[s.BlockID].bySeason[season] += s.Plants
		r.CropOf[s.CultivarID], r.mainPests[crop] = crop, pest
		return nil
	})
	if err != nil {
		return fmt.Errorf("read what stands where: %w", err)
	}
	for i := range r.Houses {
		r.Houses[i].SeasonID = most(r.Houses[i].bySeason)
	}
	return nil
}

// most gives what has the highest count, of equals the one with the lowest id.
func most(counts map[domain.ID]int) domain.ID {
	ids := slices.SortedFunc(maps.Keys(counts), func(a, b domain.ID) int {
		return cmp.Or(cmp.Compare(counts[b], counts[a]), slices.Compare(a[:], b[:]))
	})
	if len(ids) == 0 {
		return domain.ID{}
	}
	return ids[0]
}

// organism gives the one asked for, or the main pest of the crop with the most plants.
func (r *Rounds) organism(ctx context.Context, tx pgx.Tx, org, asked domain.ID) (domain.ID, error) {
	if !asked.IsZero() {
		const sql = `select id from organism where organisation_id = $1 and id = $2`
		if err := tx.QueryRow(ctx, sql, org, asked).Scan(&asked); err != nil {
			return asked, missing(err, "organism")
		}
		return asked, nil
	}
	crops := map[domain.ID]int{}
	for _, s := range r.stands {
		crops[r.CropOf[s.CultivarID]] += s.Plants
	}
	return r.mainPests[most(crops)], nil
}

// readTallies adds what was looked at, this week and before.
func (r *Rounds) readTallies(ctx context.Context, tx pgx.Tx, org, site domain.ID) error {
	const sql = `select t.block_id, t.lot_id, lot.cultivar_id, coalesce(lot.origin_id, lot.id), t.week_start, t.plants, t.infested
		from tally t left join lot on lot.organisation_id = $1 and lot.id = t.lot_id
		where t.organisation_id = $1 and t.organism_id = $2 and t.week_start between $3 and $4 and t.site_id = $5 and t.plants > 0
		order by t.week_start, t.block_id, t.lot_id`
	monday := r.Week.Monday()
	rows, err := tx.Query(ctx, sql, org, r.OrganismID, monday.AddDays(-7*weeksOfTurns), monday, site)
	if err != nil {
		return fmt.Errorf("read the tallies: %w", err)
	}
	lookedOn := map[domain.ID]domain.Date{}
	var s scouting.Stand
	var week domain.Date
	var found scouting.Found
	to := []any{&s.BlockID, &s.LotID, &s.CultivarID, &s.ArrivalID, &week, &found.Plants, &found.Infested}
	_, err = pgx.ForEachRow(rows, to, func() error {
		if r.houseOf[s.BlockID] == nil { // of another house than the one asked for
			return nil
		}
		weeks := week.DaysUntil(monday) / 7
		switch {
		case weeks == 0:
			r.stand(s).Done = found
			return nil
		case weeks <= weeksOfFinds:
			x := r.stand(s)
			if x.Earlier == nil {
				x.Earlier = make([]scouting.Found, weeksOfFinds)
			}
			x.Earlier[weeks-1] = found
		}
		lookedOn[s.BlockID] = week // they come in order
		return nil
	})
	if err != nil {
		return fmt.Errorf("read the tallies: %w", err)
	}
	for _, x := range r.stands {
		x.LookedOn = lookedOn[x.BlockID]
	}
	return nil
}

// readFindings marks the lots whose arrival had the organism at the dock or at
// the second look, on any of its lots.
func (r *Rounds) readFindings(ctx context.Context, tx pgx.Tx, org domain.ID) error {
	arrivals := map[domain.ID]bool{}
	for _, s := range r.stands {
		arrivals[s.ArrivalID] = false
	}
	const sql = `select distinct coalesce(lot.origin_id, lot.id) from lot
		join inspection i on i.organisation_id = $1 and i.lot_id = lot.id and i.withdrawn_because = ''
		join inspection_finding f on f.organisation_id = $1 and f.inspection_id = i.id and f.organism_id = $3 and f.infested_plants > 0
		where lot.organisation_id = $1 and coalesce(lot.origin_id, lot.id) = any($2)`
	rows, err := tx.Query(ctx, sql, org, slices.Collect(maps.Keys(arrivals)), r.OrganismID)
	if err != nil {
		return fmt.Errorf("read the findings of arrivals: %w", err)
	}
	var arrival domain.ID
	if _, err = pgx.ForEachRow(rows, []any{&arrival}, func() error { arrivals[arrival] = true; return nil }); err != nil {
		return fmt.Errorf("read the findings of arrivals: %w", err)
	}
	for _, s := range r.stands {
		s.Found = arrivals[s.ArrivalID]
	}
	return nil
}
