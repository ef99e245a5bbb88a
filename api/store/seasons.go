package store

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/stock"
)

func seasonTable() table[stock.Season] {
	return table[stock.Season]{
		name: "season", columns: `t.id, t.crop_id, t.year, t.starts_on, t.ends_on`,
		fields: func(x *stock.Season) []any { return []any{&x.ID, &x.CropID, &x.Year, &x.StartsOn, &x.EndsOn} },
		fill:   fillMilestones,
	}
}

func fillMilestones(ctx context.Context, tx pgx.Tx, org domain.ID, seasons []Record[stock.Season]) error {
	const q = `select season_id, kind, held_on from season_milestone
		where organisation_id = $1 and season_id = any($2) order by season_id, ordinal`
	return eachPart(ctx, tx, q, org, seasons, func(row pgx.CollectableRow, of func(domain.ID) *stock.Season) error {
		var id domain.ID
		var m stock.Milestone
		if err := row.Scan(&id, &m.Kind, &m.On); err != nil {
			return err
		}
		of(id).Milestones = append(of(id).Milestones, m)
		return nil
	})
}

// eachPart reads the rows of a child table for all the records at once; the
// query gets the organisation and the ids.
func eachPart[T any](ctx context.Context, tx pgx.Tx, sql string, org domain.ID, records []Record[T],
	each func(row pgx.CollectableRow, of func(domain.ID) *T) error,
) error {
	ids := make([]domain.ID, len(records))
	byID := make(map[domain.ID]*T, len(records))
	for i := range records {
		ids[i] = records[i].ID
		byID[ids[i]] = &records[i].Value
	}
	rows, err := tx.Query(ctx, sql, org, ids)
	if err != nil {
		return err
	}
	_, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (struct{}, error) {
		return struct{}{}, each(row, func(id domain.ID) *T { return byID[id] })
	})
	return err
}

// PutSeason stores a season. A new season of poinsettia gets the published
// limits to start with, for people to change.
func (s *Store) PutSeason(ctx context.Context, a Actor, p Put, x stock.Season) (Saved[stock.Season], error) {
	return save(ctx, s, a, p, seasonTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		return domain.ID{}, writeSeason(ctx, tx, st, x)
	})
}

func writeSeason(ctx context.Context, tx pgx.Tx, st stamp, x stock.Season) error {
	if err := upsert(ctx, tx, st, "season", "crop_id, year, starts_on, ends_on", x.CropID, x.Year, x.StartsOn, x.EndsOn); err != nil {
		return err
	}
	batch := &pgx.Batch{}
	batch.Queue(`delete from season_milestone where organisation_id = $1 and season_id = $2`, st.org, st.id)
	for i, m := range x.Milestones {
		batch.Queue(`insert into season_milestone (organisation_id, season_id, ordinal, kind, held_on) values ($1, $2, $3, $4, $5)`,
			st.org, st.id, i, m.Kind, m.On)
	}
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("write the milestones: %w", err)
	}
	if st.version > 1 {
		return nil
	}
	return startLimits(ctx, tx, st, x)
}

func startLimits(ctx context.Context, tx pgx.Tx, st stamp, season stock.Season) error {
	var eppo string
	var organism domain.ID
	const q = `select eppo_code, main_organism_id from crop where organisation_id = $1 and id = $2`
	if err := tx.QueryRow(ctx, q, st.org, season.CropID).Scan(&eppo, &organism); err != nil {
		return missing(err, "crop")
	}
	if eppo != stock.PoinsettiaEPPO {
		return nil
	}
	for _, t := range advice.StarterThresholds(season, organism) {
		id, err := domain.NewID(st.at, rand.Reader)
		if err != nil {
			return fmt.Errorf("make an id: %w", err)
		}
		t.ID = id
		limit := stamp{st.org, id, 1, st.at, st.by}
		if err := writeThreshold(ctx, tx, limit, t, domain.ID{}); err != nil {
			return err
		}
		if err := keepRevision(ctx, tx, limit, Put{ID: id, Content: startedBy(season.Year)}, "threshold", domain.ID{}); err != nil {
			return err
		}
	}
	return nil
}

// startedBy is the content of the first revision of what the program made by
// itself: nobody sent it, so it can match no repeat.
func startedBy(year int) []byte {
	text, _ := json.Marshal(map[string]any{"made_with_season": year}) // a map of plain values always encodes
	return text
}

// Season reads a season.
func (s *Store) Season(ctx context.Context, a Actor, id domain.ID) (Record[stock.Season], error) {
	return get(ctx, s, a, seasonTable(), id)
}

// Seasons lists the seasons, of one crop unless it is zero.
func (s *Store) Seasons(ctx context.Context, a Actor, page Page, crop domain.ID) (List[stock.Season], error) {
	return list(ctx, s, a, seasonTable(), page, `and ($4::uuid is null or t.crop_id = $4)`, crop)
}

// seasonFor finds the season of a crop that a day falls in, or else the one of
// its year. What arrives is never refused for want of a season: where there is
// none, the calendar year of the day becomes one.
func seasonFor(ctx context.Context, tx pgx.Tx, st stamp, crop domain.ID, on domain.Date) (domain.ID, error) {
	const q = `select id from season where organisation_id = $1 and crop_id = $2
			and ($3::date between starts_on and ends_on or year = extract(year from $3::date))
		order by $3::date between starts_on and ends_on desc, starts_on desc limit 1`
	var id domain.ID
	err := tx.QueryRow(ctx, q, st.org, crop, on).Scan(&id)
	if err == nil || !errors.Is(err, pgx.ErrNoRows) {
		return id, err
	}
	if _, err := tx.Exec(ctx, `select pg_advisory_xact_lock(hashtextextended($1::text || $2::text, 1))`, st.org.String(), crop.String()); err != nil {
		return id, fmt.Errorf("wait for the season: %w", err)
	}
	err = tx.QueryRow(ctx, q, st.org, crop, on).Scan(&id)
	if err == nil || !errors.Is(err, pgx.ErrNoRows) {
		return id, err
	}
	if id, err = domain.NewID(st.at, rand.Reader); err != nil {
		return id, fmt.Errorf("make an id: %w", err)
	}
	year := stock.Season{
		ID: id, CropID: crop, Year: on.Year(),
		StartsOn: domain.NewDate(on.Year(), time.January, 1), EndsOn: domain.NewDate(on.Year(), time.December, 31),
	}
	made := stamp{st.org, id, 1, st.at, st.by}
	if err := writeSeason(ctx, tx, made, year); err != nil {
		return id, err
	}
	return id, keepRevision(ctx, tx, made, Put{ID: id, Content: startedBy(year.Year)}, "season", domain.ID{})
}

func thresholdTable() table[advice.Threshold] {
	return table[advice.Threshold]{
		name: "threshold",
		columns: `t.id, t.organism_id, t.crop_id, t.cultivar_id, t.house_id, t.from_on, t.to_on, t.percent, t.smallest_plants,
			t.effect, t.source, t.withdrawn_because`,
		fields: func(x *advice.Threshold) []any {
			return []any{
				&x.ID, &x.OrganismID, &x.CropID, &x.CultivarID, &x.HouseID, &x.FromOn, &x.ToOn, &x.Percent, &x.SmallestPlants,
				&x.Effect, &x.Source, &x.Withdrawn,
			}
		},
	}
}

// PutThreshold stores a threshold.
func (s *Store) PutThreshold(ctx context.Context, a Actor, p Put, x advice.Threshold) (Saved[advice.Threshold], error) {
	return save(ctx, s, a, p, thresholdTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		var site domain.ID
		if !x.HouseID.IsZero() {
			var err error
			if site, err = ownSite(ctx, tx, st.org, "house", x.HouseID); err != nil {
				return site, err
			}
		}
		return site, writeThreshold(ctx, tx, st, x, site)
	})
}

func writeThreshold(ctx context.Context, tx pgx.Tx, st stamp, x advice.Threshold, site domain.ID) error {
	return upsert(ctx, tx, st, "threshold",
		"organism_id, crop_id, cultivar_id, site_id, house_id, from_on, to_on, percent, smallest_plants, effect, source, withdrawn_because",
		x.OrganismID, x.CropID, x.CultivarID, site, x.HouseID, x.FromOn, x.ToOn, x.Percent, x.SmallestPlants, x.Effect, x.Source, x.Withdrawn)
}

// Threshold reads a threshold.
func (s *Store) Threshold(ctx context.Context, a Actor, id domain.ID) (Record[advice.Threshold], error) {
	return get(ctx, s, a, thresholdTable(), id)
}

// Thresholds lists the thresholds, of one crop and organism unless they are zero.
func (s *Store) Thresholds(ctx context.Context, a Actor, page Page, crop, organism domain.ID) (List[advice.Threshold], error) {
	return list(ctx, s, a, thresholdTable(), page,
		`and ($4::uuid is null or t.crop_id = $4) and ($5::uuid is null or t.organism_id = $5)`, crop, organism)
}
