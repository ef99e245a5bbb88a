package store

import (
	"context"
	"crypto/rand"
	"fmt"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/imports"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stock"
)

// looksAtOnce is how many looks go to the database in one statement.
const looksAtOnce = 2500

// keepLooks writes the looks of an import as PutLook would write each: with its
// doubts, a revision and its part of the tallies.
func keepLooks(ctx context.Context, tx pgx.Tx, st stamp, x imports.Import, looks []imports.Look, content ContentOf) error {
	zone, err := siteZone(ctx, tx, st.org, x.SiteID)
	if err != nil {
		return err
	}
	stood, err := placementsOf(ctx, tx, st.org, looks)
	if err != nil {
		return err
	}
	sums := tallies{}
	for part := range slices.Chunk(looks, looksAtOnce) {
		rows := newLookRows(len(part))
		for _, look := range part {
			look.Look = completeImported(look.Look, st, x, zone, stood)
			if look.ID, err = domain.NewID(look.LookedAt, rand.Reader); err != nil {
				return fmt.Errorf("make an id: %w", err)
			}
			body, err := content(look.Look)
			if err != nil {
				return fmt.Errorf("write a look down: %w", err)
			}
			rows.add(look, body)
			sums.add(look.Look)
		}
		if err := rows.write(ctx, tx, st, x); err != nil {
			return err
		}
	}
	return sums.write(ctx, tx, st.org, x.SiteID)
}

// completeImported adds what the look does not say itself. Nothing is known here of
// where its lot stood in those days, so a doubt about that is settled by the import.
func completeImported(look scouting.Look, st stamp, x imports.Import, zone *time.Location, stood map[domain.ID][]stock.Placement) scouting.Look {
	look.SiteID = x.SiteID
	look.LookedOn = domain.DateOf(look.LookedAt.In(zone))
	if look.ObserverID.IsZero() {
		look.ObserverID = st.by
	}
	there := stock.StoodIn(stood[look.LotID], look.BlockID, look.LookedAt)
	if look.Doubts = look.DoubtsNow(there, false, st.at); len(look.Doubts) > 0 {
		look.Settled = "import: " + x.FileName
	}
	return look
}

// placementsOf reads where the lots of the looks stood, and has movements of them
// wait: they look again at the doubts of the looks.
func placementsOf(ctx context.Context, tx pgx.Tx, org domain.ID, looks []imports.Look) (map[domain.ID][]stock.Placement, error) {
	seen := map[domain.ID]bool{}
	var lots []domain.ID
	for _, look := range looks {
		if !look.LotID.IsZero() && !seen[look.LotID] {
			seen[look.LotID] = true
			lots = append(lots, look.LotID)
		}
	}
	if _, err := tx.Exec(ctx, `select id from lot where organisation_id = $1 and id = any($2) order by id for key share`, org, lots); err != nil {
		return nil, fmt.Errorf("wait for the lots: %w", err)
	}
	rows, err := tx.Query(ctx, `select lot_id, block_id, from_at, to_at from placement where organisation_id = $1 and lot_id = any($2)`, org, lots)
	if err != nil {
		return nil, fmt.Errorf("see where the lots stood: %w", err)
	}
	stood := map[domain.ID][]stock.Placement{}
	_, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (struct{}, error) {
		var p stock.Placement
		err := row.Scan(&p.LotID, &p.BlockID, &p.From, &p.To)
		stood[p.LotID] = append(stood[p.LotID], p)
		return struct{}{}, err
	})
	return stood, err
}

// lookRows are columns of rows on their way into the tables of looks.
type lookRows struct {
	ids, blocks, lots, observers        []domain.ID
	at                                  []time.Time
	on, monday                          []domain.Date
	purpose, note, settled, stage, spot []string
	lookedBy, doubts, content           []string
	seconds, line                       []int
	hash                                [][]byte
	of, organism                        []domain.ID // of findings
	ordinal, lookedAt, infested         []int
	signs                               []bool
}

func newLookRows(n int) *lookRows {
	return &lookRows{ids: make([]domain.ID, 0, n), of: make([]domain.ID, 0, n)}
}

func (r *lookRows) add(x imports.Look, content []byte) {
	r.ids, r.blocks, r.lots, r.observers = append(r.ids, x.ID), append(r.blocks, x.BlockID), append(r.lots, x.LotID), append(r.observers, x.ObserverID)
	r.at, r.on, r.monday = append(r.at, x.LookedAt), append(r.on, x.LookedOn), append(r.monday, x.LookedOn.Week().Monday())
	r.purpose, r.note, r.settled = append(r.purpose, string(x.Purpose)), append(r.note, x.Note), append(r.settled, x.Settled)
	r.stage, r.spot, r.seconds = append(r.stage, string(x.CropStage)), append(r.spot, x.HotSpot), append(r.seconds, x.Seconds)
	r.lookedBy, r.line = append(r.lookedBy, x.LookedBy), append(r.line, x.Line)
	doubt := "" // of an import there is one at most: its lot
	for _, d := range x.Doubts {
		doubt = string(d)
	}
	r.doubts = append(r.doubts, doubt)
	r.content, r.hash = append(r.content, string(content)), append(r.hash, Put{Content: content}.hash())
	for i, t := range x.Targets {
		r.of, r.organism, r.ordinal = append(r.of, x.ID), append(r.organism, t.OrganismID), append(r.ordinal, i)
		r.lookedAt, r.infested, r.signs = append(r.lookedAt, t.PlantsLookedAt), append(r.infested, t.InfestedPlants), append(r.signs, t.SignsLookedFor)
	}
}

func (r *lookRows) write(ctx context.Context, tx pgx.Tx, st stamp, x imports.Import) error {
	batch := &pgx.Batch{}
	batch.Queue(`insert into look (organisation_id, id, site_id, block_id, lot_id, looked_at, looked_on, week_start, observer_id, purpose, note, doubts,
			settled_because, crop_stage, hot_spot, seconds, import_id, import_line, looked_by, version, recorded_at, recorded_by)
		select $1, r.id, $2, r.block, r.lot, r.at, r.day, r.monday, r.observer, r.purpose, r.note, case r.doubt when '' then '{}'::text[] else array[r.doubt] end,
			r.settled, r.stage, r.spot, r.seconds, $3, r.line, r.looked_by, 1, $4, $5
		from unnest($6::uuid[], $7::uuid[], $8::uuid[], $9::timestamptz[], $10::date[], $11::date[], $12::uuid[], $13::text[], $14::text[], $15::text[],
			$16::text[], $17::text[], $18::text[], $19::int[], $20::int[], $21::text[])
			as r(id, block, lot, at, day, monday, observer, purpose, note, doubt, settled, stage, spot, seconds, line, looked_by)`,
		st.org, x.SiteID, st.id, st.at, st.by, r.ids, r.blocks, r.lots, r.at, r.on, r.monday, r.observers, r.purpose, r.note, r.doubts,
		r.settled, r.stage, r.spot, r.seconds, r.line, r.lookedBy)
	batch.Queue(`insert into look_finding (organisation_id, look_id, organism_id, site_id, ordinal, plants_looked_at, infested_plants, signs_looked_for)
		select $1, r.look, r.organism, $2, r.ordinal, r.looked_at, r.infested, r.signs
		from unnest($3::uuid[], $4::uuid[], $5::int[], $6::int[], $7::int[], $8::boolean[]) as r(look, organism, ordinal, looked_at, infested, signs)`,
		st.org, x.SiteID, r.of, r.organism, r.ordinal, r.lookedAt, r.infested, r.signs)
	batch.Queue(`insert into revision (organisation_id, record_id, version, noun, site_id, expected_version, content, content_hash, recorded_at, recorded_by)
		select $1, r.id, 1, 'look', $2, 0, r.content::jsonb, r.hash, $3, $4 from unnest($5::uuid[], $6::text[], $7::bytea[]) as r(id, content, hash)`,
		st.org, x.SiteID, st.at, st.by, r.ids, r.content, r.hash)
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("write the looks: %w", err)
	}
	return nil
}

// tallyOf names one tally of a site.
type tallyOf struct {
	organism, block, lot domain.ID
	monday               domain.Date
}

type tallySum struct{ looks, plants, infested int }

// tallies sums looks before they are added, so that each tally is written once.
type tallies map[tallyOf]tallySum

func (s tallies) add(x scouting.Look) {
	if !x.Counts() {
		return
	}
	for _, t := range x.Targets {
		key := tallyOf{t.OrganismID, x.BlockID, x.LotID, x.LookedOn.Week().Monday()}
		sum := s[key]
		s[key] = tallySum{sum.looks + 1, sum.plants + t.PlantsLookedAt, sum.infested + t.InfestedPlants}
	}
}

// write adds the sums to the tallies, in the order in which looks do (see eachTally).
func (s tallies) write(ctx context.Context, tx pgx.Tx, org, site domain.ID) error {
	var organisms, blocks, lots []domain.ID
	var mondays []domain.Date
	var looks, plants, infested []int
	for key, sum := range s {
		organisms, blocks, lots, mondays = append(organisms, key.organism), append(blocks, key.block), append(lots, key.lot), append(mondays, key.monday)
		looks, plants, infested = append(looks, sum.looks), append(plants, sum.plants), append(infested, sum.infested)
	}
	const q = `insert into tally (organisation_id, organism_id, week_start, block_id, lot_id, site_id, looks, plants, infested)
		select $1, r.organism, r.monday, r.block, r.lot, $2, r.looks, r.plants, r.infested
		from unnest($3::uuid[], $4::date[], $5::uuid[], $6::uuid[], $7::int[], $8::int[], $9::int[]) as r(organism, monday, block, lot, looks, plants, infested)
		order by r.organism, r.monday, r.block, r.lot
		on conflict on constraint tally_key do update
		set looks = tally.looks + excluded.looks, plants = tally.plants + excluded.plants, infested = tally.infested + excluded.infested`
	if _, err := tx.Exec(ctx, q, org, site, organisms, mondays, blocks, lots, looks, plants, infested); err != nil {
		return fmt.Errorf("tally the looks: %w", err)
	}
	return nil
}

// withdrawImport withdraws an import and all its looks that stand, each with a
// revision of its own, and takes them out of the tallies.
func withdrawImport(ctx context.Context, tx pgx.Tx, st stamp, x imports.Import) (domain.ID, error) {
	before, err := importTable().one(ctx, tx, st.org, st.id)
	if err != nil {
		return x.SiteID, err
	}
	site := before.Value.SiteID
	if x.Withdrawn == "" || before.Value.Withdrawn != "" {
		return site, domain.Faults{{Path: "/withdrawn_because", Code: "only_withdrawn", Detail: "an import can only be withdrawn, once; import the file again instead"}}
	}
	const mine = `l.organisation_id = $1 and l.import_id = $2 and l.withdrawn_because = ''`
	batch := &pgx.Batch{}
	// All looks of the import are locked first, in one order, so that a correction of one waits.
	batch.Queue(`select id from look l where `+mine+` order by id for update`, st.org, st.id)
	batch.Queue(`update tally t set looks = t.looks - s.looks, plants = t.plants - s.plants, infested = t.infested - s.infested
		from (select f.organism_id, l.week_start, l.block_id, l.lot_id, count(*) as looks, sum(f.plants_looked_at) as plants, sum(f.infested_plants) as infested
			from look l join look_finding f on f.organisation_id = $1 and f.look_id = l.id
			where `+mine+` and l.purpose <> 'on_purpose' group by 1, 2, 3, 4) s
		where t.organisation_id = $1 and t.organism_id = s.organism_id and t.week_start = s.week_start and t.block_id = s.block_id
			and t.lot_id is not distinct from s.lot_id`, st.org, st.id)
	batch.Queue(`insert into revision (organisation_id, record_id, version, noun, site_id, expected_version, content, content_hash, recorded_at, recorded_by)
		select $1, l.id, l.version + 1, 'look', l.site_id, l.version, said.content, sha256(convert_to(said.content::text, 'UTF8')), $3, $4
		from look l join revision r on r.organisation_id = $1 and r.record_id = l.id and r.version = l.version
		cross join lateral (select r.content || jsonb_build_object('withdrawn_because', $5::text) as content) said
		where `+mine, st.org, st.id, st.at, st.by, x.Withdrawn)
	batch.Queue(`update look l set version = version + 1, recorded_at = $3, recorded_by = $4, withdrawn_because = $5 where `+mine,
		st.org, st.id, st.at, st.by, x.Withdrawn)
	batch.Queue(`update import set version = $3, recorded_at = $4, recorded_by = $5, withdrawn_because = $6 where organisation_id = $1 and id = $2`,
		st.org, st.id, st.version, st.at, st.by, x.Withdrawn)
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return site, fmt.Errorf("withdraw the import: %w", err)
	}
	return site, nil
}
