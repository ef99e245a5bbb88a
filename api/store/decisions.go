package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/advice"
)

func decisionTable() table[advice.Decision] {
	return table[advice.Decision]{
		name: "decision",
		columns: `t.id, t.house_id, t.cultivar_id, t.organism_id, t.season_id, t.choice, t.because, t.decided_at, t.week, t.plants_looked_at,
			t.infested_plants, t.percent, t.lower_percent, t.upper_percent, t.limit_percent, t.limit_on, t.over_limit_percent, t.suggested,
			t.done_on, t.done_note, t.withdrawn_because, t.site_id, t.decided_by, coalesce(decider.name, '')`,
		joins: ` left join person decider on decider.id = t.decided_by`,
		fields: func(x *advice.Decision) []any {
			f := &x.Figures
			return []any{
				&x.ID, &x.HouseID, &x.CultivarID, &x.OrganismID, &x.SeasonID, &x.Choice, &x.Because, &x.DecidedAt, &f.Week, &f.Plants,
				&f.Infested, &f.Percent, &f.LowerPercent, &f.UpperPercent, &f.LimitPercent, &f.LimitOn, &f.OverPercent, &f.Suggested,
				&x.DoneOn, &x.DoneNote, &x.Withdrawn, &x.SiteID, &x.DecidedBy, &x.DecidedByName,
			}
		},
	}
}

// PutDecision stores what a person chose. Who may decide about a house is a
// grower or an owner at its site. A correction leaves it about the same, and by
// the same person.
func (s *Store) PutDecision(ctx context.Context, a Actor, p Put, x advice.Decision) (Saved[advice.Decision], error) {
	return save(ctx, s, a, p, decisionTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		x.DecidedBy = st.by
		if st.version > 1 {
			was, err := decisionTable().one(ctx, tx, st.org, st.id)
			if err != nil {
				return x.SiteID, err
			}
			if !a.decidesAt(was.Value.SiteID) {
				return was.Value.SiteID, fmt.Errorf("correct decision %s: %w", st.id, ErrDenied)
			}
			if err := x.CheckCorrects(was.Value); err != nil {
				return was.Value.SiteID, err
			}
			x.DecidedBy = was.Value.DecidedBy
		}
		site, err := ownSite(ctx, tx, st.org, "house", x.HouseID)
		if err != nil {
			return site, err
		}
		if !a.decidesAt(site) {
			return site, fmt.Errorf("decide about house %s: %w", x.HouseID, ErrDenied)
		}
		zone, err := siteZone(ctx, tx, st.org, site)
		if err != nil {
			return site, err
		}
		if err := x.CheckAt(st.at.In(zone)); err != nil {
			return site, err
		}
		if err := sameCrop(ctx, tx, st.org, x); err != nil {
			return site, err
		}
		f := x.Figures
		return site, upsert(ctx, tx, st, "decision",
			`site_id, house_id, cultivar_id, organism_id, season_id, choice, because, decided_at, decided_by, week, plants_looked_at, infested_plants,
			percent, lower_percent, upper_percent, limit_percent, limit_on, over_limit_percent, suggested, done_on, done_note, withdrawn_because`,
			site, x.HouseID, x.CultivarID, x.OrganismID, x.SeasonID, x.Choice, x.Because, x.DecidedAt, x.DecidedBy, f.Week, f.Plants, f.Infested,
			f.Percent, f.LowerPercent, f.UpperPercent, f.LimitPercent, f.LimitOn, f.OverPercent, f.Suggested, x.DoneOn, x.DoneNote, x.Withdrawn)
	})
}

func (a Actor) decidesAt(site domain.ID) bool {
	for _, r := range a.Roles {
		if (r.Role == Grower || r.Role == Owner) && (r.SiteID.IsZero() || r.SiteID == site) {
			return true
		}
	}
	return false
}

// sameCrop refuses a cultivar of another crop than the season's.
func sameCrop(ctx context.Context, tx pgx.Tx, org domain.ID, x advice.Decision) error {
	var ofSeason, ofCultivar domain.ID
	const bySeason = `select crop_id from season where organisation_id = $1 and id = $2`
	if err := tx.QueryRow(ctx, bySeason, org, x.SeasonID).Scan(&ofSeason); err != nil {
		return missing(err, "season")
	}
	const byCultivar = `select crop_id from cultivar where organisation_id = $1 and id = $2`
	if err := tx.QueryRow(ctx, byCultivar, org, x.CultivarID).Scan(&ofCultivar); err != nil {
		return missing(err, "cultivar")
	}
	if ofSeason != ofCultivar {
		return domain.Faults{{Path: "/cultivar_id", Code: "other_crop", Detail: "the cultivar is of another crop than the season"}}
	}
	return nil
}

// Decision reads a decision.
func (s *Store) Decision(ctx context.Context, a Actor, id domain.ID) (Record[advice.Decision], error) {
	return get(ctx, s, a, decisionTable(), id)
}

// DecisionFilter narrows a list of decisions; zero members do not.
type DecisionFilter struct{ SiteID, HouseID, CultivarID, SeasonID domain.ID }

// Decisions lists the decisions.
func (s *Store) Decisions(ctx context.Context, a Actor, page Page, f DecisionFilter) (List[advice.Decision], error) {
	return list(ctx, s, a, decisionTable(), page, `and ($4::uuid is null or t.site_id = $4) and ($5::uuid is null or t.house_id = $5)
		and ($6::uuid is null or t.cultivar_id = $6) and ($7::uuid is null or t.season_id = $7)`,
		f.SiteID, f.HouseID, f.CultivarID, f.SeasonID)
}
