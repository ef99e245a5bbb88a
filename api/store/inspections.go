package store

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/stock"
)

func inspectionTable() table[arrival.Inspection] {
	return table[arrival.Inspection]{
		name: "inspection",
		columns: `t.id, t.lot_id, t.kind, t.inspected_at, t.inspector_id, coalesce(t.lens_power, 0), t.detection_percent,
			t.confidence_percent, t.sensitivity_percent,
			` + classColumns("t.root_counts") + `, ` + classColumns("t.condition_counts") + `,
			coalesce(t.leaf_spots_plants_looked_at, 0), coalesce(t.leaf_spots_plants_with, 0), t.note, t.withdrawn_because, t.site_id,
			coalesce(inspector.name, '')`,
		joins: `left join person inspector on inspector.id = t.inspector_id`,
		fields: func(x *arrival.Inspection) []any {
			return []any{
				&x.ID, &x.LotID, &x.Occasion, &x.InspectedAt, &x.InspectorID, &x.LensPower, &x.DetectionPercent,
				&x.ConfidencePercent, &x.SensitivityPercent, &x.Roots.White, &x.Roots.PartlyBrown, &x.Roots.Brown, &x.Roots.None,
				&x.Condition.Sound, &x.Condition.SlightlyDamaged, &x.Condition.BadlyDamaged, &x.Condition.Unusable,
				&x.LeafSpots.PlantsLookedAt, &x.LeafSpots.PlantsWith, &x.Note, &x.Withdrawn, &x.SiteID,
				&x.InspectorName,
			}
		},
		fill: fillInspections,
	}
}

func fillInspections(ctx context.Context, tx pgx.Tx, org domain.ID, inspections []Record[arrival.Inspection]) error {
	err := eachPart(ctx, tx, `select inspection_id, organism_id, plants_looked_at, infested_plants from inspection_finding
		where organisation_id = $1 and inspection_id = any($2) order by inspection_id, ordinal`, org, inspections,
		func(row pgx.CollectableRow, of func(domain.ID) *arrival.Inspection) error {
			var id domain.ID
			var f arrival.Finding
			if err := row.Scan(&id, &f.OrganismID, &f.PlantsLookedAt, &f.InfestedPlants); err != nil {
				return err
			}
			of(id).Findings = append(of(id).Findings, f)
			return nil
		})
	if err != nil {
		return err
	}
	err = eachPart(ctx, tx, `select inspection_id, organism_id, stage, state, colour, plants from inspection_sign
		where organisation_id = $1 and inspection_id = any($2) order by inspection_id, organism_id, ordinal`, org, inspections,
		func(row pgx.CollectableRow, of func(domain.ID) *arrival.Inspection) error {
			var id, organism domain.ID
			var sign arrival.Sign
			if err := row.Scan(&id, &organism, &sign.Stage, &sign.State, &sign.Colour, &sign.Plants); err != nil {
				return err
			}
			for i := range of(id).Findings {
				if f := &of(id).Findings[i]; f.OrganismID == organism {
					f.Signs = append(f.Signs, sign)
				}
			}
			return nil
		})
	if err != nil {
		return err
	}
	err = eachPart(ctx, tx, `select inspection_id, name, plants_looked_at, plants_with from inspection_disease
		where organisation_id = $1 and inspection_id = any($2) order by inspection_id, ordinal`, org, inspections,
		func(row pgx.CollectableRow, of func(domain.ID) *arrival.Inspection) error {
			var id domain.ID
			var d arrival.Incidence
			if err := row.Scan(&id, &d.Name, &d.PlantsLookedAt, &d.PlantsWith); err != nil {
				return err
			}
			of(id).OtherDiseases = append(of(id).OtherDiseases, d)
			return nil
		})
	if err != nil {
		return err
	}
	for i := range inspections {
		if err := readInspection(ctx, tx, org, &inspections[i].Value); err != nil {
			return err
		}
	}
	return nil
}

// readInspection adds what the inspection means for its lot.
func readInspection(ctx context.Context, tx pgx.Tx, org domain.ID, x *arrival.Inspection) error {
	known := arrival.Known{Organisms: map[domain.ID]stock.Organism{}}
	const q = `select lot.plants, crop.main_organism_id, coalesce((select min(percent) from threshold t
			where t.organisation_id = $1 and t.crop_id = crop.id and t.organism_id = crop.main_organism_id
				and t.effect = 'act' and t.withdrawn_because = '' and lot.arrived_on between t.from_on and t.to_on
				and (t.cultivar_id is null or t.cultivar_id = lot.cultivar_id) and t.house_id is null), 0)
		from lot
		join cultivar on cultivar.organisation_id = $1 and cultivar.id = lot.cultivar_id
		join crop on crop.organisation_id = $1 and crop.id = cultivar.crop_id
		where lot.organisation_id = $1 and lot.id = $2`
	if err := tx.QueryRow(ctx, q, org, x.LotID).Scan(&known.LotPlants, &known.MainOrganismID, &known.LimitPercent); err != nil {
		return missing(err, "lot")
	}
	ids := make([]domain.ID, len(x.Findings))
	for i, f := range x.Findings {
		ids[i] = f.OrganismID
	}
	organisms := organismTable()
	records, err := organisms.collect(ctx, tx, org, organisms.selectFrom()+` and t.id = any($2)`, ids)
	if err != nil {
		return err
	}
	for _, r := range records {
		known.Organisms[r.ID] = r.Value
	}
	x.Reading, err = arrival.Read(*x, known)
	return err
}

// PutInspection stores an inspection.
func (s *Store) PutInspection(ctx context.Context, a Actor, p Put, x arrival.Inspection) (Saved[arrival.Inspection], error) {
	return save(ctx, s, a, p, inspectionTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		var plants int
		var left time.Time
		const q = `select lot.plants, lot.site_id, shipment.left_at from lot
			left join shipment on shipment.organisation_id = $1 and shipment.id = lot.origin_id
			where lot.organisation_id = $1 and lot.id = $2`
		if err := tx.QueryRow(ctx, q, st.org, x.LotID).Scan(&plants, &x.SiteID, &left); err != nil {
			return x.SiteID, missing(err, "lot")
		}
		if err := x.CheckAgainst(plants, left); err != nil {
			return x.SiteID, err
		}
		if x.InspectorID.IsZero() { // who corrects an inspection is not who inspected
			const before = `select coalesce((select inspector_id from inspection where organisation_id = $1 and id = $2), $3)`
			if err := tx.QueryRow(ctx, before, st.org, st.id, st.by).Scan(&x.InspectorID); err != nil {
				return x.SiteID, fmt.Errorf("read the inspector: %w", err)
			}
		}
		err := upsert(ctx, tx, st, "inspection",
			`site_id, lot_id, kind, inspected_at, inspector_id, lens_power, detection_percent, confidence_percent, sensitivity_percent,
			root_counts, condition_counts, leaf_spots_plants_looked_at, leaf_spots_plants_with, note, withdrawn_because`,
			x.SiteID, x.LotID, x.Occasion, x.InspectedAt, x.InspectorID, orNull(x.LensPower), x.DetectionPercent, x.ConfidencePercent,
			x.SensitivityPercent, counts(x.Roots.White, x.Roots.PartlyBrown, x.Roots.Brown, x.Roots.None),
			counts(x.Condition.Sound, x.Condition.SlightlyDamaged, x.Condition.BadlyDamaged, x.Condition.Unusable), orNull(x.LeafSpots.PlantsLookedAt),
			x.LeafSpots.PlantsWith, x.Note, x.Withdrawn)
		if err != nil {
			return x.SiteID, err
		}
		return x.SiteID, writeInspectionParts(ctx, tx, st, x)
	})
}

func writeInspectionParts(ctx context.Context, tx pgx.Tx, st stamp, x arrival.Inspection) error {
	batch := &pgx.Batch{}
	batch.Queue(`update verdict set lot_id = $3, site_id = $4 where organisation_id = $1 and inspection_id = $2 and lot_id <> $3`,
		st.org, st.id, x.LotID, x.SiteID)
	for _, table := range []string{"inspection_sign", "inspection_finding", "inspection_disease"} {
		batch.Queue(`delete from `+table+` where organisation_id = $1 and inspection_id = $2`, st.org, st.id)
	}
	for i, f := range x.Findings {
		batch.Queue(`insert into inspection_finding (organisation_id, inspection_id, organism_id, site_id, ordinal, plants_looked_at, infested_plants)
			values ($1, $2, $3, $4, $5, $6, $7)`, st.org, st.id, f.OrganismID, x.SiteID, i, f.PlantsLookedAt, f.InfestedPlants)
		for j, sign := range f.Signs {
			batch.Queue(`insert into inspection_sign (organisation_id, inspection_id, organism_id, ordinal, site_id, stage, state, colour, plants)
				values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
				st.org, st.id, f.OrganismID, j, x.SiteID, sign.Stage, sign.State, sign.Colour, sign.Plants)
		}
	}
	for i, d := range x.OtherDiseases {
		batch.Queue(`insert into inspection_disease (organisation_id, inspection_id, ordinal, site_id, name, plants_looked_at, plants_with)
			values ($1, $2, $3, $4, $5, $6, $7)`, st.org, st.id, i, x.SiteID, d.Name, d.PlantsLookedAt, d.PlantsWith)
	}
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("write the findings: %w", err)
	}
	return nil
}

// Inspection reads an inspection.
func (s *Store) Inspection(ctx context.Context, a Actor, id domain.ID) (Record[arrival.Inspection], error) {
	return get(ctx, s, a, inspectionTable(), id)
}

// lotsCame is a condition for rows of lots that came with the shipment $%d, or were
// split off such lots, unless it is null.
const lotsCame = `($%[1]d::uuid is null or t.lot_id in (select id from lot where organisation_id = $1 and $%[1]d in (shipment_id, origin_id)))`

// Inspections lists the inspections, of one site, lot or shipment unless they are zero.
func (s *Store) Inspections(ctx context.Context, a Actor, page Page, site, lot, shipment domain.ID) (List[arrival.Inspection], error) {
	return list(ctx, s, a, inspectionTable(), page,
		`and ($4::uuid is null or t.site_id = $4) and ($5::uuid is null or t.lot_id = $5) and `+fmt.Sprintf(lotsCame, 6), site, lot, shipment)
}

func verdictTable() table[arrival.Verdict] {
	return table[arrival.Verdict]{
		name:    "verdict",
		columns: `t.id, t.inspection_id, t.decision, coalesce(t.plants, 0), t.because, t.withdrawn_because, t.lot_id, t.site_id, t.suggested`,
		fields: func(v *arrival.Verdict) []any {
			return []any{&v.ID, &v.InspectionID, &v.Decision, &v.Plants, &v.Because, &v.Withdrawn, &v.LotID, &v.SiteID, &v.Suggested}
		},
	}
}

// PutVerdict stores a verdict with what was suggested when it was signed.
func (s *Store) PutVerdict(ctx context.Context, a Actor, p Put, v arrival.Verdict) (Saved[arrival.Verdict], error) {
	return save(ctx, s, a, p, verdictTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		inspection, err := inspectionTable().one(ctx, tx, st.org, v.InspectionID)
		if err != nil {
			return v.SiteID, missing(err, "inspection")
		}
		x := inspection.Value
		signedAt, suggested := st.at, x.Reading.Suggestion
		if st.version > 1 {
			const first = `select signed_at, suggested from verdict where organisation_id = $1 and id = $2`
			if err := tx.QueryRow(ctx, first, st.org, st.id).Scan(&signedAt, &suggested); err != nil {
				return x.SiteID, missing(err, "verdict")
			}
		}
		if err := lockBook(ctx, tx, x.SiteID); err != nil {
			return x.SiteID, err
		}
		err = upsert(ctx, tx, st, "verdict",
			"site_id, lot_id, inspection_id, decision, plants, because, suggested, signed_at, withdrawn_because",
			x.SiteID, x.LotID, x.ID, v.Decision, orNull(v.Plants), v.Because, suggested, signedAt, v.Withdrawn)
		if err != nil {
			return x.SiteID, err
		}
		return x.SiteID, holdAnew(ctx, tx, st.org, lotsHeld(stock.ScopeLot), x.LotID)
	})
}

// Verdict reads a verdict.
func (s *Store) Verdict(ctx context.Context, a Actor, id domain.ID) (Record[arrival.Verdict], error) {
	return get(ctx, s, a, verdictTable(), id)
}

// Verdicts lists the verdicts, of one lot or shipment unless they are zero.
func (s *Store) Verdicts(ctx context.Context, a Actor, page Page, lot, shipment domain.ID) (List[arrival.Verdict], error) {
	return list(ctx, s, a, verdictTable(), page, `and ($4::uuid is null or t.lot_id = $4) and `+fmt.Sprintf(lotsCame, 5), lot, shipment)
}

// classColumns reads the four counts of a column of counts per class, which is
// null when nobody looked.
func classColumns(column string) string {
	return fmt.Sprintf(`coalesce(%[1]s[1], 0), coalesce(%[1]s[2], 0), coalesce(%[1]s[3], 0), coalesce(%[1]s[4], 0)`, column)
}

func counts(perClass ...int) []int {
	for _, n := range perClass {
		if n > 0 {
			return perClass
		}
	}
	return nil
}

// orNull stores the zero value as null.
func orNull[T comparable](v T) *T {
	var zero T
	if v == zero {
		return nil
	}
	return &v
}
