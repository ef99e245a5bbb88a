package simulation_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/place"
	"benchtrail/domain/scouting"
	"benchtrail/domain/simulation"
	"benchtrail/domain/stock"
)

// facts are what a test wants of any record.
type facts struct {
	id     domain.ID
	refers []domain.ID
	unique string // a name or code that no other record of the kind may have
	check  error
}

func factsOf(t *testing.T, record any) facts {
	t.Helper()
	switch r := record.(type) {
	case place.Site:
		return facts{r.ID, nil, r.Name, r.Check()}
	case place.House:
		return facts{r.ID, []domain.ID{r.SiteID}, r.SiteID.String() + r.Name, r.Check()}
	case place.Section:
		return facts{r.ID, []domain.ID{r.SiteID}, r.SiteID.String() + r.Name, r.Check()}
	case place.Block:
		return facts{r.ID, []domain.ID{r.SiteID, r.HouseID, r.SectionID}, fmt.Sprint(r.HouseID, r.Position), r.Check()}
	case stock.Supplier:
		return facts{r.ID, nil, r.Name, r.Check()}
	case stock.Farm:
		return facts{r.ID, []domain.ID{r.SupplierID}, r.Name, r.Check()}
	case stock.Crop:
		return facts{r.ID, nil, r.Name, r.Check()}
	case stock.Cultivar:
		return facts{r.ID, []domain.ID{r.CropID}, r.Name, r.Check()}
	case stock.Season:
		return facts{r.ID, []domain.ID{r.CropID}, "", r.Check()}
	case stock.Shipment:
		refers := []domain.ID{r.SiteID, r.SupplierID}
		for _, line := range r.OrderLines {
			refers = append(refers, line.CultivarID)
		}
		return facts{r.ID, refers, "", r.Check()}
	case stock.Lot:
		return facts{r.ID, append([]domain.ID{r.ShipmentID, r.CultivarID}, r.FarmIDs...), r.Code, r.Check()}
	case stock.Movement:
		refers := append(r.Sources(), r.FromBlockID, r.ToBlockID, r.CustomerID)
		for _, p := range r.Parts {
			refers = append(refers, p.FromBlockID, p.ToBlockID)
		}
		return facts{r.ID, refers, r.PaperNumber, r.Check()}
	case stock.Customer:
		return facts{r.ID, nil, r.Name, r.Check()}
	case stock.Hold:
		return facts{r.ID, []domain.ID{r.ScopeID}, "", r.Check()}
	case stock.LabSample:
		return facts{r.ID, []domain.ID{r.LotID, r.BlockID}, r.SampleNumber, r.Check()}
	case arrival.Inspection:
		return facts{r.ID, []domain.ID{r.LotID}, "", r.Check()}
	case arrival.Verdict:
		return facts{r.ID, []domain.ID{r.InspectionID}, "", r.Check()}
	case arrival.Claim:
		refers := []domain.ID{r.ShipmentID}
		for _, item := range r.Items {
			refers = append(refers, item.LotID)
		}
		return facts{r.ID, refers, "", r.Check()}
	case scouting.Look:
		return facts{r.ID, []domain.ID{r.BlockID, r.LotID}, "", r.Check()}
	default:
		require.Failf(t, "no such record", "%T", record)
		return facts{}
	}
}

func TestRecordsHoldTogether(t *testing.T) {
	t.Parallel()
	for seed := uint64(1); seed <= 3; seed++ {
		upTo := demoMorning(t).AddDate(0, int(seed%3), 0)
		s := tell(t, seed, upTo)
		versions := map[domain.ID]int{}
		owners := map[string]domain.ID{}
		last := time.Time{}
		for _, e := range s.Events {
			f := factsOf(t, e.Record)
			require.NoError(t, f.check, "%T", e.Record)
			require.False(t, f.id.IsZero())
			require.False(t, e.At.Before(last))
			require.False(t, e.At.After(upTo))
			last = e.At
			for _, id := range f.refers {
				require.True(t, id.IsZero() || versions[id] > 0, "%T refers to what is not there yet", e.Record)
			}
			require.Equal(t, versions[f.id], e.Corrects, "%T", e.Record)
			versions[f.id]++
			if m, ok := e.Record.(stock.Movement); ok {
				for _, id := range m.Births() {
					require.Zero(t, versions[id], "born twice")
					versions[id]++
				}
			}
			if f.unique != "" {
				name := fmt.Sprintf("%T %s", e.Record, f.unique)
				owner, taken := owners[name]
				require.True(t, !taken || owner == f.id, "%s twice", name)
				owners[name] = f.id
			}
		}
	}
}

func TestInspectionsFitTheirLots(t *testing.T) {
	t.Parallel()
	for seed := uint64(1); seed <= 3; seed++ {
		s := tell(t, seed, demoMorning(t))
		lots, shipments := lotsOf(s), shipmentsOf(s)
		for _, x := range simulation.All[arrival.Inspection](s.Events) {
			l := lots[x.LotID]
			require.NoError(t, x.CheckAgainst(l.Plants, shipments[l.ShipmentID].LeftAt))
			require.True(t, x.InspectedAt.After(shipments[l.ShipmentID].OpenedAt))
			require.Equal(t, x.Occasion == arrival.AtDock && l.Form == stock.Rooted, x.Roots.Total() > 0)
		}
	}
}
