package store

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/place"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

// AdviceQuery asks for cultivars in houses; zero filters do not narrow.
type AdviceQuery struct {
	OrganismID domain.ID // the main pest of the season's crop when zero
	SeasonID   domain.ID // that of the lot, or the current one, when zero

	SiteID, HouseID, CultivarID domain.ID
	LotID                       domain.ID // the houses where the lot stands, and its cultivar
}

// AdviceItem is what is on record of one cultivar in one house.
type AdviceItem struct {
	SiteID, HouseID, CultivarID domain.ID
	House, Cultivar             string
	Lots                        []domain.ID // that stand there or were looked at there
	Samples                     []trend.Sample
	// Reading is without the points, the course and the contrast of foliage, which are for
	// the samples of all items together to give, and without the limits.
	Reading   advice.Reading
	Rules     place.RoundRules          // of its site
	Decisions []Record[advice.Decision] // of the season, that stand, the latest first
	Asked     bool                      // it passes the filters

	standing map[domain.ID]bool // the lots that stand there now
}

// AdviceFound is what an advice query finds: every item, since what one is read by is
// pooled over all of them.
type AdviceFound struct {
	OrganismID domain.ID
	Season     stock.Season // zero when there is none yet
	Today      domain.Date  // at the site asked for, or at those of the items, or in UTC where they differ
	Limits     []advice.Threshold
	Items      []*AdviceItem // by house and cultivar

	placed []placed // what the samples of the items are made of
}

// Advice reads what the advice on each cultivar in a house rests on: those that stand
// there now or were looked at there this season.
func (s *Store) Advice(ctx context.Context, a Actor, q AdviceQuery) (AdviceFound, error) {
	var found AdviceFound
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) (err error) {
		found, err = s.readAdvice(ctx, tx, a, q)
		return err
	})
	return found, err
}

func (s *Store) readAdvice(ctx context.Context, tx pgx.Tx, a Actor, q AdviceQuery) (AdviceFound, error) {
	season, err := s.seasonOfAdvice(ctx, tx, a, q)
	if err != nil || season.Season.ID.IsZero() {
		return AdviceFound{Today: season.Today}, err
	}
	found := AdviceFound{OrganismID: season.OrganismID, Season: season.Season, Today: season.Today, Limits: season.Limits}
	r := adviceReader{tx: tx, org: a.OrganisationID, now: s.clock(), found: &found, items: map[itemKey]*AdviceItem{}}
	for _, read := range []func(context.Context) error{
		r.readSites, r.readClusters, r.readStanding, r.readSigns, r.readRest, r.readNames, r.readDecisions,
	} {
		if err := read(ctx); err != nil {
			return found, err
		}
	}
	r.ask(q)
	return found, nil
}

func (s *Store) seasonOfAdvice(ctx context.Context, tx pgx.Tx, a Actor, q AdviceQuery) (Trends, error) {
	t := Trends{Today: domain.DateOf(s.clock().UTC())}
	if !q.SiteID.IsZero() {
		zone, err := siteZone(ctx, tx, a.OrganisationID, q.SiteID)
		if err != nil {
			return t, err
		}
		t.Today = domain.DateOf(s.clock().In(zone))
	}
	season := q.SeasonID
	if !q.LotID.IsZero() && season.IsZero() {
		const ofLot = `select season_id from lot where organisation_id = $1 and id = $2`
		if err := tx.QueryRow(ctx, ofLot, a.OrganisationID, q.LotID).Scan(&season); err != nil {
			return t, missing(err, "lot")
		}
	}
	err := t.chooseSeason(ctx, tx, a.OrganisationID, TrendQuery{OrganismID: q.OrganismID, SeasonID: season})
	if err != nil || t.Season.ID.IsZero() {
		return t, err
	}
	limits := thresholdTable()
	records, err := limits.collect(ctx, tx, a.OrganisationID, limits.selectFrom()+` and t.crop_id = $2 and t.organism_id = $3
		and t.withdrawn_because = '' and t.to_on >= $4 and t.from_on <= $5 order by t.from_on, t.id`,
		t.Season.CropID, t.OrganismID, t.Season.StartsOn, t.Season.EndsOn)
	for _, r := range records {
		t.Limits = append(t.Limits, r.Value)
	}
	return t, err
}

type itemKey struct{ house, cultivar domain.ID }

// adviceReader fills the items, one query for all of them at a time.
type adviceReader struct {
	tx    pgx.Tx
	org   domain.ID
	now   time.Time
	found *AdviceFound
	items map[itemKey]*AdviceItem
	sites map[domain.ID]siteToday // by house
}

func (r *adviceReader) item(house, cultivar domain.ID) *AdviceItem {
	key := itemKey{house, cultivar}
	x := r.items[key]
	if x == nil {
		x = &AdviceItem{HouseID: house, CultivarID: cultivar, standing: map[domain.ID]bool{}}
		at := r.sites[house]
		x.SiteID, x.Rules, x.Reading.Today = at.id, at.rules, at.today
		r.items[key] = x
		r.found.Items = append(r.found.Items, x)
	}
	return x
}

func (x *AdviceItem) addLot(lot domain.ID) {
	if !slices.Contains(x.Lots, lot) {
		x.Lots = append(x.Lots, lot)
	}
}

// placed is the plants of one lot in one block in one week, looked at or not.
type placed struct {
	house, cultivar domain.ID
	week            domain.Date
	trend.Cluster
	atEnd int // standing at the end of the week; 0 when not known
}

func (r *adviceReader) readClusters(ctx context.Context) error {
	q := ofWeeks + `
		select block.house_id, lot.cultivar_id, t.week_start, t.lot_id, t.block_id, coalesce(t.looks, 0), coalesce(t.plants, 0), coalesce(t.infested, 0),
			coalesce(t.in_doubt, 0)::int, coalesce(t.stood, 0), coalesce(t.at_end, 0)
		from t join block on block.organisation_id = $1 and block.id = t.block_id
		join lot on lot.organisation_id = $1 and lot.id = t.lot_id and lot.season_id = $5 and ` + lotCounts("lot") + `
		order by 1, 2, t.week_start, t.block_id, t.lot_id`
	season := r.found.Season
	rows, err := r.tx.Query(ctx, q, pgx.QueryExecModeCacheDescribe, r.org, r.found.OrganismID, season.StartsOn.Week().Monday(), season.EndsOn, season.ID)
	if err != nil {
		return fmt.Errorf("read what was looked at: %w", err)
	}
	all, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (p placed, err error) {
		return p, row.Scan(&p.house, &p.cultivar, &p.week, &p.LotID, &p.BlockID, &p.Looks, &p.Plants, &p.Infested, &p.InDoubt, &p.Standing, &p.atEnd)
	})
	if err != nil {
		return fmt.Errorf("read what was looked at: %w", err)
	}
	r.found.placed = all
	type blockWeek struct {
		block domain.ID
		week  domain.Date
	}
	// Of every cultivar: the plants looked at, and those standing at the end of the week,
	// unless some were looked at of a lot that is not known to stand there.
	inBlock, standing, unknown := map[blockWeek]int{}, map[blockWeek]int{}, map[blockWeek]bool{}
	for _, p := range all {
		at := blockWeek{p.BlockID, p.week}
		inBlock[at] += p.Plants
		standing[at] += p.atEnd
		unknown[at] = unknown[at] || p.Plants > 0 && p.Standing == 0
	}
	sameWeek := func(a, b placed) bool { return a.house == b.house && a.cultivar == b.cultivar && a.week == b.week }
	for len(all) > 0 {
		end := slices.IndexFunc(all, func(p placed) bool { return !sameWeek(p, all[0]) })
		if end < 0 {
			end = len(all)
		}
		week := all[:end]
		all = all[end:]
		sample, blocks := sampleOf(week)
		if sample.Blocks == 0 {
			continue
		}
		x := r.item(week[0].house, week[0].cultivar)
		x.Samples = append(x.Samples, sample)
		for i := range blocks {
			at := blockWeek{blocks[i].BlockID, sample.WeekStart}
			blocks[i].AllPlants = inBlock[at]
			if !unknown[at] {
				blocks[i].AllStanding = standing[at]
			}
		}
		x.Reading.Blocks = blocks // the latest week is the last
		for _, p := range week {
			if p.Plants > 0 {
				x.addLot(p.LotID)
			}
		}
	}
	return nil
}

// sampleOf sums up one week of one item, in the order of the blocks.
func sampleOf(week []placed) (trend.Sample, []advice.BlockLook) {
	var clusters []trend.Cluster
	var blocks []advice.BlockLook
	plants, stoodIn := 0, map[domain.ID]bool{}
	for _, p := range week {
		plants += p.atEnd
		if p.atEnd > 0 {
			stoodIn[p.BlockID] = true
		}
		if p.Plants == 0 {
			continue
		}
		clusters = append(clusters, p.Cluster)
		if n := len(blocks); n == 0 || blocks[n-1].BlockID != p.BlockID {
			blocks = append(blocks, advice.BlockLook{BlockID: p.BlockID})
		}
		last := &blocks[len(blocks)-1]
		last.Plants += p.Plants
		last.Infested += p.Infested
	}
	return trend.SampleOf(week[0].week, clusters, plants, len(stoodIn)), blocks
}

// ask marks the items that pass the filters, sees whether it is the same day at all of
// them, and puts all in order.
func (r *adviceReader) ask(q AdviceQuery) {
	stands := slices.ContainsFunc(r.found.Items, func(x *AdviceItem) bool { return x.standing[q.LotID] })
	holds := func(x *AdviceItem) bool {
		if q.LotID.IsZero() || stands {
			return q.LotID.IsZero() || x.standing[q.LotID]
		}
		return slices.Contains(x.Lots, q.LotID) // it stands nowhere any more
	}
	passes := func(want, is domain.ID) bool { return want.IsZero() || want == is }
	var days []domain.Date
	for _, x := range r.found.Items {
		x.Asked = passes(q.SiteID, x.SiteID) && passes(q.HouseID, x.HouseID) && passes(q.CultivarID, x.CultivarID) && holds(x)
		if x.Asked {
			days = append(days, x.Reading.Today)
		}
	}
	if days = slices.Compact(days); q.SiteID.IsZero() && len(days) == 1 {
		r.found.Today = days[0]
	}
	slices.SortFunc(r.found.Items, func(a, b *AdviceItem) int {
		return cmp.Or(strings.Compare(a.House, b.House), strings.Compare(a.Cultivar, b.Cultivar),
			strings.Compare(a.HouseID.String(), b.HouseID.String()), strings.Compare(a.CultivarID.String(), b.CultivarID.String()))
	})
}

// readRest reads what is one for all items: until when a change of programme still works,
// and whether the organism may be regulated. From first colour on few sprays
// can be used on bracts (Cloyd, Greenhouse Management, Protect your poinsettias).
func (r *adviceReader) readRest(ctx context.Context) error {
	const q = `select (select min(held_on) from season_milestone where organisation_id = $1 and season_id = $2 and kind = 'first_colour'),
		regulated_note <> '' from organism where organisation_id = $1 and id = $3`
	var actBy domain.Date
	var regulated bool
	err := r.tx.QueryRow(ctx, q, r.org, r.found.Season.ID, r.found.OrganismID).Scan(&actBy, &regulated)
	if err != nil && !errors.Is(err, pgx.ErrNoRows) {
		return fmt.Errorf("read the season's first colour: %w", err)
	}
	for _, x := range r.found.Items {
		x.Reading.ActBy, x.Reading.Regulated = actBy, regulated
	}
	return nil
}

func (r *adviceReader) readDecisions(ctx context.Context) error {
	const most = 50 // of one item
	decisions := decisionTable()
	records, err := decisions.collect(ctx, r.tx, r.org, decisions.selectFrom()+` and t.season_id = $2 and t.organism_id = $3
		and t.withdrawn_because = '' order by t.decided_at desc, t.id desc`, r.found.Season.ID, r.found.OrganismID)
	if err != nil {
		return err
	}
	for _, d := range records {
		if x := r.items[itemKey{d.Value.HouseID, d.Value.CultivarID}]; x != nil && len(x.Decisions) < most {
			x.Decisions = append(x.Decisions, d)
		}
	}
	return nil
}
