package store

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/trend"
)

// seasonRows is all that was looked at and stood in a season, by block and lot. It is
// read once for all groupings of a reading: to sum it here is many times as fast as
// joining every week of it to its names in the database.
type seasonRows struct {
	tx               pgx.Tx // it is of
	season, organism domain.ID
	first            domain.Date // Monday of week 0
	looked           []bool      // by week, whether anything was looked at
	pairs            []blockLot
	at               map[[2]domain.ID]int // by block and lot
}

// blockLot is a lot in a block, week by week.
type blockLot struct {
	site, block, lot domain.ID
	weeks            []blockLotWeek
}

// blockLotWeek is what was looked at, and how many plants stood at any time of the
// week and at its end.
type blockLotWeek struct {
	looks, plants, infested, inDoubt int32
	stood, atEnd                     int32
}

// rows reads the rows of the season, once.
func (t *Trends) rows(ctx context.Context, tx pgx.Tx, org domain.ID) (*seasonRows, error) {
	if r := t.read; r != nil && r.tx == tx && r.season == t.Season.ID && r.organism == t.OrganismID {
		return r, nil
	}
	r := &seasonRows{tx: tx, season: t.Season.ID, organism: t.OrganismID, first: t.Season.StartsOn.Week().Monday(), at: map[[2]domain.ID]int{}}
	r.looked = make([]bool, max(0, r.first.DaysUntil(t.Season.EndsOn)/7+1))
	for _, read := range []func(context.Context, pgx.Tx, domain.ID) error{r.readTallies, r.readPlacements, r.readDoubts} {
		if err := read(ctx, tx, org); err != nil {
			return nil, fmt.Errorf("read the rows of a season: %w", err)
		}
	}
	t.read = r
	return r, nil
}

func (r *seasonRows) pair(site, block, lot domain.ID) *blockLot {
	key := [2]domain.ID{block, lot}
	i, found := r.at[key]
	if !found {
		i = len(r.pairs)
		r.at[key] = i
		r.pairs = append(r.pairs, blockLot{site: site, block: block, lot: lot, weeks: make([]blockLotWeek, len(r.looked))})
	}
	return &r.pairs[i]
}

func (r *seasonRows) readTallies(ctx context.Context, tx pgx.Tx, org domain.ID) error {
	const sql = `select site_id, block_id, lot_id, array_agg((week_start - $3::date) / 7), array_agg(looks), array_agg(plants), array_agg(infested)
		from tally where organisation_id = $1 and organism_id = $2 and plants > 0 and week_start >= $3 and week_start < $3::date + 7 * $4::int
		group by 1, 2, 3`
	rows, err := tx.Query(ctx, sql, org, r.organism, r.first, len(r.looked))
	if err != nil {
		return err
	}
	var site, block, lot domain.ID
	var weeks, looks, plants, infested []int32
	_, err = pgx.ForEachRow(rows, []any{&site, &block, &lot, &weeks, &looks, &plants, &infested}, func() error {
		p := r.pair(site, block, lot)
		for i, week := range weeks {
			w := &p.weeks[week]
			w.looks, w.plants, w.infested = looks[i], plants[i], infested[i]
			r.looked[week] = true
		}
		return nil
	})
	return err
}

// readPlacements reads what stood, in the weeks in which anything was looked at.
func (r *seasonRows) readPlacements(ctx context.Context, tx pgx.Tx, org domain.ID) error {
	const week = `extract(epoch from %s at time zone site.time_zone - $2::timestamp) / 604800`
	sql := fmt.Sprintf(`select p.site_id, p.block_id, p.lot_id, p.plants, floor(`+week+`)::int, (`+week+`)::float8
		from placement p join site on site.organisation_id = $1 and site.id = p.site_id where p.organisation_id = $1`, "p.from_at", "p.to_at")
	rows, err := tx.Query(ctx, sql, org, r.first)
	if err != nil {
		return err
	}
	var site, block, lot domain.ID
	var plants int32
	var from int
	var to *float64
	_, err = pgx.ForEachRow(rows, []any{&site, &block, &lot, &plants, &from, &to}, func() error {
		for i := max(from, 0); i < len(r.looked) && (to == nil || *to > float64(i)); i++ {
			if !r.looked[i] {
				continue
			}
			w := &r.pair(site, block, lot).weeks[i]
			w.stood = max(w.stood, plants)
			if to == nil || *to >= float64(i+1) {
				w.atEnd = max(w.atEnd, plants)
			}
		}
		return nil
	})
	return err
}

func (r *seasonRows) readDoubts(ctx context.Context, tx pgx.Tx, org domain.ID) error {
	const sql = `select k.block_id, k.lot_id, (k.week_start - $3::date) / 7, count(*)::int from look k
		join look_finding f on f.organisation_id = $1 and f.look_id = k.id and f.organism_id = $2
		where k.organisation_id = $1 and k.doubts <> '{}' and k.settled_because = '' and k.withdrawn_because = '' and k.purpose = 'planned'
			and k.week_start >= $3 and k.week_start < $3::date + 7 * $4::int
		group by 1, 2, 3`
	rows, err := tx.Query(ctx, sql, org, r.organism, r.first, len(r.looked))
	if err != nil {
		return err
	}
	var block, lot domain.ID
	var week int
	var looks int32
	_, err = pgx.ForEachRow(rows, []any{&block, &lot, &week, &looks}, func() error {
		if i, found := r.at[[2]domain.ID{block, lot}]; found {
			r.pairs[i].weeks[week].inDoubt = looks
		}
		return nil
	})
	return err
}

// named is a lot in a block with the group it is of.
type named struct {
	*blockLot
	group TrendGroup
}

// named gives the groups of the rows that a question is about.
func (t *Trends) named(ctx context.Context, tx pgx.Tx, org domain.ID, q TrendQuery, r *seasonRows) ([]named, error) {
	sites, blocks, lots := make([]domain.ID, len(r.pairs)), make([]domain.ID, len(r.pairs)), make([]domain.ID, len(r.pairs))
	for i, p := range r.pairs {
		sites[i], blocks[i], lots[i] = p.site, p.block, p.lot
	}
	by := groupKeys()[q.By]
	// $2 to $4 stand for what the rows are of already.
	sql := `select t.n::int, ` + by.key + `, ` + by.label + `, ` + by.subLabel + `, coalesce(cultivar.foliage, ''), lot.cultivar_id, house.id
		from (select $1::uuid as organisation_id, u.* from unnest($12::uuid[], $13::uuid[], $14::uuid[]) with ordinality u(site_id, block_id, lot_id, n)
			where $2::uuid is not null and $3::date <= $4::date) t` + groupJoins + `
		where ` + ofLotsThatAre + trendFilter
	arguments := append([]any{pgx.QueryExecModeCacheDescribe, org, t.OrganismID, r.first, t.Season.EndsOn, t.Season.ID}, q.filters()...)
	rows, err := tx.Query(ctx, sql, append(arguments, sites, blocks, lots)...)
	if err != nil {
		return nil, fmt.Errorf("name the rows of a season: %w", err)
	}
	of := make([]named, 0, len(r.pairs))
	var n int
	var g TrendGroup
	_, err = pgx.ForEachRow(rows, []any{&n, &g.Key, &g.Label, &g.SubLabel, &g.Foliage, &g.CultivarID, &g.HouseID}, func() error {
		of = append(of, named{&r.pairs[n-1], g})
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("name the rows of a season: %w", err)
	}
	slices.SortStableFunc(of, func(a, b named) int {
		return cmp.Or(cmp.Compare(a.group.Label, b.group.Label), cmp.Compare(a.group.Key, b.group.Key))
	})
	return of, nil
}

// sumParts sums the rows of each group up by week and block. The rows are in the
// order of their groups.
func sumParts(of []named, first domain.Date) []groupOfBlock {
	weeks := 0
	for _, row := range of {
		for _, w := range row.weeks {
			if w.plants > 0 || w.stood > 0 {
				weeks++
			}
		}
	}
	parts := make([]groupOfBlock, 0, weeks)
	for len(of) > 0 {
		n := 1
		for n < len(of) && of[n].group.Key == of[0].group.Key && of[n].group.Label == of[0].group.Label {
			n++
		}
		group := of[:n]
		of = of[n:]
		slices.SortStableFunc(group, func(a, b named) int { return slices.Compare(a.block[:], b.block[:]) })
		for week := range group[0].weeks {
			for rest := group; len(rest) > 0; {
				same := 1
				for same < len(rest) && rest[same].block == rest[0].block {
					same++
				}
				if p, any := sumPart(rest[:same], week); any {
					p.week = first.AddDays(7 * week)
					parts = append(parts, p)
				}
				rest = rest[same:]
			}
		}
	}
	return parts
}

// sumPart sums the rows of one group, block and week; false when there is nothing.
func sumPart(of []named, week int) (groupOfBlock, bool) {
	p := groupOfBlock{cluster: trend.Cluster{BlockID: of[0].block}}
	c := &p.cluster
	any, allStood, mixedFoliage, mixedCultivar := false, true, false, false
	for _, row := range of {
		w := row.weeks[week]
		if w.plants == 0 && w.stood == 0 {
			continue
		}
		if g := row.group; !any {
			p.group, any = g, true
		} else {
			p.group.SubLabel = min(p.group.SubLabel, g.SubLabel)
			mixedFoliage = mixedFoliage || differ(&p.group.Foliage, g.Foliage)
			mixedCultivar = mixedCultivar || differ(&p.group.CultivarID, g.CultivarID)
		}
		p.standing += int(w.atEnd)
		if w.plants == 0 {
			continue
		}
		c.Looks += int(w.looks)
		c.Plants += int(w.plants)
		c.Infested += int(w.infested)
		c.InDoubt += int(w.inDoubt)
		c.Standing += int(w.stood)
		allStood = allStood && w.stood > 0
		if !row.lot.IsZero() {
			p.lots = append(p.lots, row.lot)
		}
	}
	if !allStood {
		c.Standing = 0
	}
	if mixedFoliage {
		p.group.Foliage = ""
	}
	if mixedCultivar {
		p.group.CultivarID = domain.ID{}
	}
	return p, any
}

// differ reports whether two known values differ; what is not known yet takes the other.
func differ[T comparable](known *T, other T) bool {
	var none T
	if *known == none {
		*known = other
	}
	return other != none && *known != other
}
