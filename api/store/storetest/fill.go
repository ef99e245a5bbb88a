package storetest

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/arrival"
	"benchtrail/domain/imports"
	"benchtrail/domain/place"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stock"
)

// Filled names the records that Fill made.
type Filled struct {
	Owner                                          store.Actor
	Organism                                       domain.ID // the crop's main pest
	Site, House, Section, Block, OtherBlock        domain.ID
	Supplier, Farm, Crop, Cultivar, Season         domain.ID
	Threshold, Shipment, Lot, OtherLot             domain.ID
	Child                                          domain.ID // split off OtherLot
	Photo, Claim, Import                           domain.ID
	Customer, Hold, LabSample, Split, TooMany      domain.ID // TooMany is a conflict and a breach
	Inspection, Verdict, Movement, Look, Decision  domain.ID
	LeftAt, DockedAt, InspectedAt, StuckAt, LookAt time.Time
}

// Organisation makes an organisation and gives its owner.
func Organisation(tb testing.TB, st *store.Store, name string) store.Actor {
	tb.Helper()
	owner, err := st.CreateOrganisation(tb.Context(), NewID(tb), name, store.Account{
		ID: NewID(tb), Email: "owner@" + NewID(tb).String() + ".test", Name: "Owner of " + name, Language: "en", PasswordHash: "none",
	})
	require.NoError(tb, err)
	return owner
}

// Fill makes an organisation with at least one row in every table of records.
func Fill(tb testing.TB, st *store.Store, name string) Filled {
	tb.Helper()
	ctx, owner := tb.Context(), Organisation(tb, st, name)
	f := Filled{
		Owner: owner, LeftAt: at(7, 31, 16), DockedAt: at(8, 3, 15), InspectedAt: at(8, 3, 17), StuckAt: at(8, 5, 14), LookAt: at(8, 12, 15),
	}
	for _, id := range []*domain.ID{
		&f.Site, &f.House, &f.Section, &f.Block, &f.OtherBlock, &f.Supplier, &f.Farm, &f.Crop, &f.Cultivar, &f.Season, &f.Threshold,
		&f.Shipment, &f.Lot, &f.OtherLot, &f.Inspection, &f.Verdict, &f.Movement, &f.Look, &f.Decision,
		&f.Child, &f.Customer, &f.Hold, &f.LabSample, &f.Split, &f.TooMany, &f.Photo, &f.Claim, &f.Import,
	} {
		*id = NewID(tb)
	}
	organisms, err := st.OrganismsByEPPO(ctx, owner)
	require.NoError(tb, err)
	f.Organism = organisms["TRIAVA"]

	keep(tb, owner, st.PutSite, f.Site, place.Site{ID: f.Site, Name: name + " site", TimeZone: "America/Chicago"})
	keep(tb, owner, st.PutHouse, f.House, place.House{ID: f.House, SiteID: f.Site, Name: "House"})
	keep(tb, owner, st.PutSection, f.Section, place.Section{ID: f.Section, SiteID: f.Site, Name: "Section", GrowerID: owner.PersonID})
	for i, block := range []domain.ID{f.Block, f.OtherBlock} {
		name := []string{"A", "B"}[i]
		keep(tb, owner, st.PutBlock, block, place.Block{ID: block, HouseID: f.House, SectionID: f.Section, Name: name, Position: i})
	}
	f.stock(tb, st)
	f.arrive(tb, st)
	f.grow(tb, st)
	keep(tb, owner, st.PutPhoto, f.Photo, stock.Photo{ID: f.Photo, Subject: stock.LookSubject, SubjectID: f.Look, TakenAt: f.LookAt})
	keep(tb, owner, st.PutClaim, f.Claim, arrival.Claim{ID: f.Claim, ShipmentID: f.Shipment, Items: []arrival.ClaimItem{{LotID: f.Lot, What: "dead"}}})
	brought := imports.Reading{Lines: 1, Looks: []imports.Look{{Line: 2, Look: scouting.Look{
		BlockID: f.OtherBlock, LotID: f.OtherLot, LookedAt: f.LookAt, Purpose: scouting.OnPurpose,
		Targets: []scouting.Target{{OrganismID: f.Organism, PlantsLookedAt: 60, InfestedPlants: 12}},
	}}}}
	_, err = st.PutImport(ctx, owner, store.Put{ID: f.Import, Content: []byte(`{"made_with":"test"}`)}, imports.Import{SiteID: f.Site, FileName: "looks.csv", FileHash: []byte("hash")},
		brought, func(scouting.Look) ([]byte, error) { return []byte(`{"made_with":"test"}`), nil })
	require.NoError(tb, err)
	_, err = st.PutPicture(ctx, owner, f.Photo, store.Image{Width: 1, Height: 1, Full: []byte("full"), Small: []byte("small"), ReceivedHash: []byte("hash")})
	require.NoError(tb, err)
	_, err = st.PutToken(ctx, owner, store.Put{ID: NewID(tb), Content: []byte(`{}`)}, store.Token{Purpose: store.ForProgram, Name: "Program", Secret: NewID(tb).String()})
	require.NoError(tb, err)
	keep(tb, owner, st.PutLetter, NewID(tb), store.Letter{SiteID: f.Site, SectionID: f.Section})
	_, err = st.SendLetterOnce(ctx, owner, domain.NewDate(2026, 9, 14), func(context.Context) error { return nil })
	require.NoError(tb, err)
	require.NoError(tb, st.StartSession(ctx, NewID(tb).String(), owner.PersonID, owner.OrganisationID, time.Hour))
	return f
}

func (f Filled) stock(tb testing.TB, st *store.Store) {
	keep(tb, f.Owner, st.PutSupplier, f.Supplier, stock.Supplier{ID: f.Supplier, Name: "Supplier", ClaimHours: 24})
	keep(tb, f.Owner, st.PutFarm, f.Farm, stock.Farm{ID: f.Farm, SupplierID: f.Supplier, Name: "Farm"})
	keep(tb, f.Owner, st.PutCrop, f.Crop, stock.Crop{
		ID: f.Crop, Name: "Crop", MainOrganismID: f.Organism, SecondLookFromDays: 14, SecondLookToDays: 18,
	})
	keep(tb, f.Owner, st.PutCultivar, f.Cultivar, stock.Cultivar{ID: f.Cultivar, CropID: f.Crop, Name: "Cultivar", Foliage: stock.LightFoliage})
	keep(tb, f.Owner, st.PutSeason, f.Season, stock.Season{
		ID: f.Season, CropID: f.Crop, Year: 2026, StartsOn: domain.NewDate(2026, 6, 1), EndsOn: domain.NewDate(2026, 12, 31),
		Milestones: []stock.Milestone{{Kind: "decision", On: domain.NewDate(2026, 9, 15)}},
	})
	keep(tb, f.Owner, st.PutThreshold, f.Threshold, advice.Threshold{
		ID: f.Threshold, OrganismID: f.Organism, CropID: f.Crop, FromOn: domain.NewDate(2026, 6, 1), ToOn: domain.NewDate(2026, 12, 31),
		Percent: 5, Effect: advice.Act, Source: "test",
	})
}

func (f Filled) arrive(tb testing.TB, st *store.Store) {
	keep(tb, f.Owner, st.PutShipment, f.Shipment, stock.Shipment{
		ID: f.Shipment, SiteID: f.Site, SupplierID: f.Supplier, ExpectedOn: domain.NewDate(2026, 8, 3), LeftAt: f.LeftAt, DockedAt: f.DockedAt,
		Papers:     []stock.Paper{{Kind: "invoice", Number: "1"}},
		OrderLines: []stock.OrderLine{{CultivarID: f.Cultivar, Form: stock.Unrooted, Ordered: 2000}},
		Boxes:      []stock.Box{{Label: "1", CultivarIDs: []domain.ID{f.Cultivar}}},
	})
	for _, lot := range []domain.ID{f.Lot, f.OtherLot} {
		keep(tb, f.Owner, st.PutLot, lot, stock.Lot{
			ID: lot, ShipmentID: f.Shipment, CultivarID: f.Cultivar, FarmIDs: []domain.ID{f.Farm}, Form: stock.Unrooted, Plants: 1000,
		})
	}
	keep(tb, f.Owner, st.PutInspection, f.Inspection, arrival.Inspection{
		ID: f.Inspection, LotID: f.Lot, Occasion: arrival.AtDock, InspectedAt: f.InspectedAt, LensPower: 10,
		DetectionPercent: 5, ConfidencePercent: 95, SensitivityPercent: 100,
		Findings: []arrival.Finding{{
			OrganismID: f.Organism, PlantsLookedAt: 57, InfestedPlants: 2, Signs: []arrival.Sign{{Stage: scouting.Egg, Plants: 2}},
		}},
		OtherDiseases: []arrival.Incidence{{Name: "rot", PlantsLookedAt: 57, PlantsWith: 1}},
	})
	keep(tb, f.Owner, st.PutVerdict, f.Verdict, arrival.Verdict{ID: f.Verdict, InspectionID: f.Inspection, Decision: arrival.Accept})
}

func (f Filled) grow(tb testing.TB, st *store.Store) {
	keep(tb, f.Owner, st.PutMovement, f.Movement, stock.Movement{
		ID: f.Movement, LotID: f.Lot, Kind: stock.Stick, MovedAt: f.StuckAt, Plants: 1000, ToBlockID: f.Block,
	})
	keep(tb, f.Owner, st.PutMovement, f.Split, stock.Movement{
		ID: f.Split, LotID: f.OtherLot, Kind: stock.Split, MovedAt: f.StuckAt, Plants: 300, Parts: []stock.Part{{LotID: f.Child, Plants: 300, ToBlockID: f.OtherBlock}},
	})
	keep(tb, f.Owner, st.PutCustomer, f.Customer, stock.Customer{ID: f.Customer, Name: "Customer"})
	keep(tb, f.Owner, st.PutHold, f.Hold, stock.Hold{
		ID: f.Hold, Scope: stock.ScopeLot, ScopeID: f.OtherLot, Kind: stock.InternalHold, From: f.StuckAt.Add(time.Hour), Reason: "test",
	})
	keep(tb, f.Owner, st.KeepMovement, f.TooMany, stock.Movement{
		ID: f.TooMany, LotID: f.OtherLot, Kind: stock.Dispatch, MovedAt: f.StuckAt.Add(2 * time.Hour), Plants: 5000, CustomerID: f.Customer,
	})
	keep(tb, f.Owner, st.PutLabSample, f.LabSample, stock.LabSample{ID: f.LabSample, LotID: f.Lot, TakenAt: f.LookAt, Result: stock.Waiting})
	sign := scouting.Sign{Stage: scouting.LargeNymph, Place: scouting.OldGrowth, Amount: "few"}
	keep(tb, f.Owner, st.PutLook, f.Look, scouting.Look{
		ID: f.Look, BlockID: f.Block, LotID: f.Lot, LookedAt: f.LookAt, Purpose: scouting.Planned,
		CropStage: "shoots", HotSpot: "by the vent", Seconds: 300,
		Targets: []scouting.Target{{OrganismID: f.Organism, SignsLookedFor: true, Plants: []scouting.Plant{
			{}, {Seen: true, Signs: []scouting.Sign{sign}}, {},
		}}},
	})
	keep(tb, f.Owner, st.PutDecision, f.Decision, advice.Decision{
		ID: f.Decision, HouseID: f.House, CultivarID: f.Cultivar, OrganismID: f.Organism, SeasonID: f.Season,
		Choice: advice.ChoseBiological, Because: "test", DecidedAt: f.LookAt,
	})
}

func at(month time.Month, day, hour int) time.Time {
	return time.Date(2026, month, day, hour, 0, 0, 0, time.UTC)
}

// keep stores a new record by one of the store's methods.
func keep[T any](tb testing.TB, a store.Actor, put func(context.Context, store.Actor, store.Put, T) (store.Saved[T], error), id domain.ID, value T) {
	tb.Helper()
	_, err := put(tb.Context(), a, store.Put{ID: id, Content: []byte(`{"made_with":"test"}`)}, value)
	require.NoError(tb, err)
}
