package store

import (
	"bytes"
	"context"
	"fmt"
	"slices"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

func lookTable() table[scouting.Look] {
	return table[scouting.Look]{
		name: "look",
		columns: `t.id, t.block_id, t.lot_id, t.looked_at, t.observer_id, t.purpose, t.note, t.withdrawn_because, t.settled_because,
			t.site_id, house.id, t.looked_on, coalesce(nullif(t.looked_by, ''), observer.name, ''), t.doubts, t.crop_stage, t.hot_spot, t.seconds,
			t.import_id, coalesce(t.import_line, 0)`,
		joins: groupJoins + ` left join person observer on observer.id = t.observer_id`,
		fields: func(x *scouting.Look) []any {
			return []any{
				&x.ID, &x.BlockID, &x.LotID, &x.LookedAt, &x.ObserverID, &x.Purpose, &x.Note, &x.Withdrawn, &x.Settled,
				&x.SiteID, &x.HouseID, &x.LookedOn, &x.ObserverName, &x.Doubts, &x.CropStage, &x.HotSpot, &x.Seconds,
				&x.ImportID, &x.ImportLine,
			}
		},
		fill: fillLooks,
	}
}

// The bits of a mark, one mark for each plant.
const (
	markSeen     = 1
	markDense    = 2
	markInfested = 4
)

func fillLooks(ctx context.Context, tx pgx.Tx, org domain.ID, looks []Record[scouting.Look]) error {
	err := eachPart(ctx, tx, `select look_id, organism_id, plants_looked_at, infested_plants, signs_looked_for, marks, severity
		from look_finding where organisation_id = $1 and look_id = any($2) order by look_id, ordinal`, org, looks,
		func(row pgx.CollectableRow, of func(domain.ID) *scouting.Look) error {
			var id domain.ID
			var t scouting.Target
			var marks []int16
			err := row.Scan(&id, &t.OrganismID, &t.PlantsLookedAt, &t.InfestedPlants, &t.SignsLookedFor, &marks, &t.Severity)
			if err != nil {
				return err
			}
			for _, m := range marks {
				t.Plants = append(t.Plants, scouting.Plant{Seen: m&markSeen != 0, DenseLeaf: m&markDense != 0})
			}
			of(id).Targets = append(of(id).Targets, t)
			return nil
		})
	if err != nil {
		return err
	}
	return eachPart(ctx, tx, `select look_id, organism_id, coalesce(plant, -1), stage, place, state, colour, amount
		from look_sign where organisation_id = $1 and look_id = any($2) order by look_id, organism_id, ordinal`, org, looks,
		func(row pgx.CollectableRow, of func(domain.ID) *scouting.Look) error {
			var id, organism domain.ID
			var plant int
			var sign scouting.Sign
			if err := row.Scan(&id, &organism, &plant, &sign.Stage, &sign.Place, &sign.State, &sign.Colour, &sign.Amount); err != nil {
				return err
			}
			for i := range of(id).Targets {
				t := &of(id).Targets[i]
				switch {
				case t.OrganismID != organism:
				case plant < 0 || plant >= len(t.Plants):
					t.Signs = append(t.Signs, sign)
				default:
					t.Plants[plant].Signs = append(t.Plants[plant].Signs, sign)
				}
			}
			return nil
		})
}

// PutLook stores a look and keeps the tallies in step. A look that should not
// have been possible is stored with its doubts, for a person to settle.
func (s *Store) PutLook(ctx context.Context, a Actor, p Put, x scouting.Look) (Saved[scouting.Look], error) {
	return save(ctx, s, a, p, lookTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		var before Record[scouting.Look]
		if st.version > 1 {
			var err error
			if before, err = lookTable().one(ctx, tx, st.org, st.id); err != nil {
				return x.SiteID, err
			}
			if err := tallyOff(ctx, tx, st.org, before.Value); err != nil {
				return x.SiteID, err
			}
			if x.ObserverID.IsZero() { // who corrects a look is not who looked
				x.ObserverID = before.Value.ObserverID
			}
		}
		x.ID = st.id
		if err := completeLook(ctx, tx, st, &x, x.MomentInDoubt(before.Value, p.ClockSet)); err != nil {
			return x.SiteID, err
		}
		doubts := make([]string, len(x.Doubts))
		for i, d := range x.Doubts {
			doubts[i] = string(d)
		}
		err := upsert(ctx, tx, st, "look",
			`site_id, block_id, lot_id, looked_at, looked_on, week_start, observer_id, purpose, note, doubts, settled_because, withdrawn_because,
				crop_stage, hot_spot, seconds`,
			x.SiteID, x.BlockID, x.LotID, x.LookedAt, x.LookedOn, x.LookedOn.Week().Monday(), x.ObserverID, x.Purpose, x.Note, doubts,
			x.Settled, x.Withdrawn, x.CropStage, x.HotSpot, x.Seconds)
		if err != nil {
			return x.SiteID, err
		}
		if err := writeTargets(ctx, tx, st, x); err != nil {
			return x.SiteID, err
		}
		return x.SiteID, tallyOn(ctx, tx, st.org, x)
	})
}

// completeLook adds what the look does not say itself: the site and its date,
// the observer, the counts under the rule of each organism, and the doubts.
func completeLook(ctx context.Context, tx pgx.Tx, st stamp, x *scouting.Look, momentInDoubt bool) error {
	var err error
	if x.SiteID, err = ownSite(ctx, tx, st.org, "block", x.BlockID); err != nil {
		return err
	}
	zone, err := siteZone(ctx, tx, st.org, x.SiteID)
	if err != nil {
		return err
	}
	x.LookedOn = domain.DateOf(x.LookedAt.In(zone))
	if x.ObserverID.IsZero() {
		x.ObserverID = st.by
	}
	x.Targets = slices.Clone(x.Targets) // they are the caller's
	for i, t := range x.Targets {
		var stages []string
		const q = `select infested_stages from organism where organisation_id = $1 and id = $2`
		if err := tx.QueryRow(ctx, q, st.org, t.OrganismID).Scan(&stages); err != nil {
			return missing(err, fmt.Sprintf("targets/%d/organism", i))
		}
		x.Targets[i] = t.Count(stages)
	}
	stood := false
	if !x.LotID.IsZero() {
		// Movements of the lot wait: they look again at the doubts of its looks.
		const lot = `select id from lot where organisation_id = $1 and id = $2 for key share`
		if err := tx.QueryRow(ctx, lot, st.org, x.LotID).Scan(new(domain.ID)); err != nil {
			return missing(err, "lot")
		}
		const q = `select exists (select from placement where organisation_id = $1 and lot_id = $2 and block_id = $3
			and from_at <= $4 and (to_at is null or $4 < to_at))`
		if err := tx.QueryRow(ctx, q, st.org, x.LotID, x.BlockID, x.LookedAt).Scan(&stood); err != nil {
			return fmt.Errorf("see where the lot stood: %w", err)
		}
	}
	x.Doubts = x.DoubtsNow(stood, momentInDoubt, st.at)
	return nil
}

func writeTargets(ctx context.Context, tx pgx.Tx, st stamp, x scouting.Look) error {
	batch := &pgx.Batch{}
	if st.version > 1 {
		batch.Queue(`delete from look_sign where organisation_id = $1 and look_id = $2`, st.org, st.id)
		batch.Queue(`delete from look_finding where organisation_id = $1 and look_id = $2`, st.org, st.id)
	}
	for i, t := range x.Targets {
		var marks []int16
		var signs []scouting.Sign
		var plants []*int
		for j, plant := range t.Plants {
			mark := int16(0)
			for bit, on := range map[int16]bool{markSeen: plant.Seen, markDense: plant.DenseLeaf, markInfested: t.PlantInfested[j]} {
				if on {
					mark |= bit
				}
			}
			marks = append(marks, mark)
			for _, sign := range plant.Signs {
				signs, plants = append(signs, sign), append(plants, &j)
			}
		}
		for _, sign := range t.Signs {
			signs, plants = append(signs, sign), append(plants, nil)
		}
		batch.Queue(`insert into look_finding (organisation_id, look_id, organism_id, site_id, ordinal, plants_looked_at, infested_plants,
				signs_looked_for, marks, severity) values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
			st.org, st.id, t.OrganismID, x.SiteID, i, t.PlantsLookedAt, t.InfestedPlants, t.SignsLookedFor, marks, t.Severity)
		for k, sign := range signs {
			batch.Queue(`insert into look_sign (organisation_id, look_id, organism_id, ordinal, site_id, plant, stage, place, state, colour, amount)
				values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
				st.org, st.id, t.OrganismID, k, x.SiteID, plants[k], sign.Stage, sign.Place, sign.State, sign.Colour, sign.Amount)
		}
	}
	if batch.Len() == 0 {
		return nil
	}
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("write what was found: %w", err)
	}
	return nil
}

// tallyOn adds a look to the tallies, tallyOff takes it away again. Two looks at
// one tally at a time add up because each adds to what is there.
func tallyOn(ctx context.Context, tx pgx.Tx, org domain.ID, x scouting.Look) error {
	const q = `insert into tally (organisation_id, organism_id, week_start, block_id, lot_id, site_id, looks, plants, infested)
		values ($1, $2, $3, $4, $5, $6, 1, $7, $8) on conflict on constraint tally_key do update
		set looks = tally.looks + 1, plants = tally.plants + excluded.plants, infested = tally.infested + excluded.infested`
	return eachTally(x, func(t scouting.Target) error {
		_, err := tx.Exec(ctx, q, org, t.OrganismID, x.LookedOn.Week().Monday(), x.BlockID, x.LotID, x.SiteID, t.PlantsLookedAt, t.InfestedPlants)
		return err
	})
}

func tallyOff(ctx context.Context, tx pgx.Tx, org domain.ID, x scouting.Look) error {
	const q = `update tally set looks = looks - 1, plants = plants - $6, infested = infested - $7
		where organisation_id = $1 and organism_id = $2 and week_start = $3 and block_id = $4 and lot_id is not distinct from $5`
	return eachTally(x, func(t scouting.Target) error {
		_, err := tx.Exec(ctx, q, org, t.OrganismID, x.LookedOn.Week().Monday(), x.BlockID, x.LotID, t.PlantsLookedAt, t.InfestedPlants)
		return err
	})
}

// eachTally goes by organism, so that two looks never wait for each other's tally.
func eachTally(x scouting.Look, do func(scouting.Target) error) error {
	if !x.Counts() {
		return nil
	}
	inOrder := slices.SortedFunc(slices.Values(x.Targets), func(a, b scouting.Target) int { return bytes.Compare(a.OrganismID[:], b.OrganismID[:]) })
	for _, t := range inOrder {
		if err := do(t); err != nil {
			return fmt.Errorf("tally the look: %w", err)
		}
	}
	return nil
}

// renewDoubts looks again at the doubts of a lot's looks after its plants were
// found to have stood elsewhere.
func renewDoubts(ctx context.Context, tx pgx.Tx, org, lot domain.ID) error {
	const q = `update look l set doubts = array_remove(doubts, $3) || case when now.stood then '{}' else array[$3] end
		from (select id, exists (select from placement p where p.organisation_id = $1 and p.lot_id = $2 and p.block_id = look.block_id
				and p.from_at <= look.looked_at and (p.to_at is null or look.looked_at < p.to_at)) as stood
			from look where organisation_id = $1 and lot_id = $2) now
		where l.organisation_id = $1 and l.id = now.id and ($3 = any(l.doubts)) = now.stood`
	if _, err := tx.Exec(ctx, q, org, lot, string(scouting.LotNotInBlock)); err != nil {
		return fmt.Errorf("look again at the doubts: %w", err)
	}
	return nil
}

// Look reads a look.
func (s *Store) Look(ctx context.Context, a Actor, id domain.ID) (Record[scouting.Look], error) {
	return get(ctx, s, a, lookTable(), id)
}

// LookFilter narrows a list of looks; zero members do not. By and Key together
// give the looks behind one line of the trends.
type LookFilter struct {
	SiteID, HouseID, BlockID, LotID  domain.ID
	CultivarID, SeasonID, OrganismID domain.ID
	WeekStart                        domain.Date
	InDoubt                          bool
	Foliage                          stock.Foliage
	ArrivalWeek                      string // key of one week of arrival
	By                               trend.By
	Key                              string
}

// Looks lists the looks.
func (s *Store) Looks(ctx context.Context, a Actor, page Page, f LookFilter) (List[scouting.Look], error) {
	key := `''`
	if f.By != "" {
		key = groupKeys()[f.By].key
	}
	return list(ctx, s, a, lookTable(), page, `and ($4::uuid is null or t.site_id = $4) and ($5::uuid is null or t.block_id = $5)
		and ($6::uuid is null or t.lot_id = $6) and ($7::date is null or t.week_start = $7)
		and ($8::uuid is null or exists (select from look_finding f where f.organisation_id = $1 and f.look_id = t.id and f.organism_id = $8))
		and (not $9::boolean or (t.doubts <> '{}' and t.settled_because = '' and t.withdrawn_because = ''))
		and `+key+` = $10 and ($11::uuid is null or house.id = $11) and ($12::uuid is null or lot.cultivar_id = $12)
		and ($13::uuid is null or lot.season_id = $13 or lot.id is null) and ($14::text = '' or cultivar.foliage = $14)
		and ($15::text = '' or `+arrivalWeek+` = $15)`,
		f.SiteID, f.BlockID, f.LotID, f.WeekStart, f.OrganismID, f.InDoubt, f.Key, f.HouseID, f.CultivarID, f.SeasonID, f.Foliage, f.ArrivalWeek)
}
