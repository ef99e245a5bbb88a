package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stats"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

func lookFromWire(id domain.ID, b wire.LookBody) scouting.Look {
	return scouting.Look{
		ID: id, BlockID: b.BlockID, LotID: b.LotID, LookedAt: b.LookedAt, ObserverID: b.ObserverID,
		Purpose: scouting.Purpose(orDefault(b.Purpose, wire.LookBodyPurpose(scouting.Planned))),
		Targets: each(b.Targets, func(t wire.LookTarget) scouting.Target {
			return scouting.Target{
				OrganismID: t.OrganismID, SignsLookedFor: t.SignsLookedFor, Severity: t.Severity, Signs: each(t.Signs, signFromWire),
				Plants: each(t.Plants, func(p wire.PlantMark) scouting.Plant {
					return scouting.Plant{Seen: p.Seen, DenseLeaf: p.DenseLeaf, Signs: each(p.Signs, signFromWire)}
				}),
				PlantsLookedAt: t.Tally.PlantsLookedAt, InfestedPlants: t.Tally.InfestedPlants,
			}
		}),
		Note: b.Note, Withdrawn: b.WithdrawnBecause, Settled: b.SettledBecause,
		CropStage: scouting.CropStage(b.CropStage), HotSpot: b.HotSpot, Seconds: b.Seconds,
	}
}

func signFromWire(x wire.Sign) scouting.Sign {
	return scouting.Sign{
		Stage: scouting.Stage(x.Stage), Place: scouting.Place(x.Place), State: scouting.State(x.State), Colour: x.Colour, Amount: string(x.Amount),
	}
}

func signToWire(x scouting.Sign) wire.Sign {
	return wire.Sign{
		Stage: wire.Stage(x.Stage), Place: wire.SignPlace(x.Place), State: wire.Condition(x.State), Colour: x.Colour, Amount: wire.SignAmount(x.Amount),
	}
}

func lookToWire(r store.Record[scouting.Look]) wire.Look {
	x := r.Value
	return wire.Look{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		BlockID: x.BlockID, LotID: x.LotID, LookedAt: x.LookedAt, ObserverID: x.ObserverID, Purpose: wire.LookPurpose(x.Purpose),
		Targets: each(x.Targets, targetToWire), Note: x.Note, WithdrawnBecause: x.Withdrawn, SettledBecause: x.Settled,
		CropStage: wire.CropStage(x.CropStage), HotSpot: x.HotSpot, Seconds: x.Seconds,
		SiteID: x.SiteID, HouseID: x.HouseID, LookedOn: x.LookedOn, Week: x.LookedOn.Week().String(), ImportID: x.ImportID, ImportLine: x.ImportLine,
		Observer: wire.Author{ID: x.ObserverID, Name: x.ObserverName},
		Results:  each(x.Targets, resultOf),
		Doubts: each(x.Doubts, func(d scouting.Doubt) wire.Doubt {
			return wire.Doubt{Code: wire.DoubtCode(d), Settled: x.Settled != ""}
		}),
	}
}

func targetToWire(t scouting.Target) wire.LookTarget {
	out := wire.LookTarget{
		OrganismID: t.OrganismID, SignsLookedFor: t.SignsLookedFor, Severity: t.Severity, Signs: each(t.Signs, signToWire),
	}
	if len(t.Plants) == 0 {
		out.Tally = wire.LookTally{PlantsLookedAt: t.PlantsLookedAt, InfestedPlants: t.InfestedPlants}
		return out
	}
	out.Plants = each(t.Plants, func(p scouting.Plant) wire.PlantMark {
		return wire.PlantMark{Seen: p.Seen, DenseLeaf: p.DenseLeaf, Signs: each(p.Signs, signToWire)}
	})
	return out
}

// resultOf gives the share of a target with its interval. What is stored has
// at least one plant, so there always is one.
func resultOf(t scouting.Target) wire.LookResult {
	p := stats.Proportion{Examined: t.PlantsLookedAt, Infested: t.InfestedPlants}
	out := wire.LookResult{
		OrganismID: t.OrganismID, PlantsLookedAt: p.Examined, InfestedPlants: p.Infested,
		ConfidencePercent: 100 * trend.Confidence, Method: string(stats.MethodWilson), UpperPercent: 100,
	}
	if interval, err := stats.Wilson(p, trend.Confidence); err == nil {
		out.InfestedPercent = 100 * float64(p.Infested) / float64(p.Examined)
		out.LowerPercent, out.UpperPercent = 100*interval.Lower, 100*interval.Upper
	}
	return out
}

func (s *server) looks() writer { return writerOf(s, daily, lookFromWire, s.Store.PutLook, lookToWire) }

// PutLook implements PUT /looks/{id}.
func (s *server) PutLook(c echo.Context, id domain.ID, p wire.PutLookParams) error {
	return s.put(c, s.looks(), id, p.IfMatch)
}

// GetLook implements GET /looks/{id}.
func (s *server) GetLook(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Look, lookToWire)
}

// lookFilter reads what a list of looks is narrowed by.
func lookFilter(p wire.ListLooksParams) (store.LookFilter, error) {
	f := store.LookFilter{
		SiteID: p.SiteID, BlockID: p.BlockID, LotID: p.LotID, OrganismID: p.OrganismID, InDoubt: p.InDoubt,
		HouseID: p.HouseID, CultivarID: p.CultivarID, SeasonID: p.SeasonID, Foliage: stock.Foliage(p.Foliage), ArrivalWeek: p.ArrivalWeek,
		By: trend.By(p.By), Key: p.Key,
	}
	if p.Key != "" && p.By == "" {
		return f, domain.Faults{{Path: "#query/by", Code: "missing", Detail: "is needed to say what the key is of"}}
	}
	if p.Week != "" {
		week, err := domain.ParseWeek(p.Week)
		if err != nil {
			return f, domain.Faults{{Path: "#query/week", Code: "wrong_form", Detail: err.Error()}}
		}
		f.WeekStart = week.Monday()
	}
	return f, nil
}

// ListLooks implements GET /looks.
func (s *server) ListLooks(c echo.Context, p wire.ListLooksParams) error {
	f, err := lookFilter(p)
	if err != nil {
		return err
	}
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[scouting.Look], error) {
		return s.Store.Looks(ctx, a, page, f)
	}
	return list(c, p.Limit, p.After, read, lookToWire)
}
