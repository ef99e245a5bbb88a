package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func supplierToWire(r store.Record[stock.Supplier]) wire.Supplier {
	return wire.Supplier{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		Name: r.Value.Name, Country: r.Value.Country, ClaimHours: r.Value.ClaimHours, Note: r.Value.Note,
	}
}

func (s *server) suppliers() writer {
	from := func(id domain.ID, b wire.SupplierBody) stock.Supplier {
		return stock.Supplier{
			ID: id, Name: b.Name, Country: b.Country, ClaimHours: orDefault(b.ClaimHours, stock.DefaultClaimHours), Note: b.Note,
		}
	}
	return writerOf(s, daily, from, s.Store.PutSupplier, supplierToWire)
}

// PutSupplier implements PUT /suppliers/{id}.
func (s *server) PutSupplier(c echo.Context, id domain.ID, p wire.PutSupplierParams) error {
	return s.put(c, s.suppliers(), id, p.IfMatch)
}

// GetSupplier implements GET /suppliers/{id}.
func (s *server) GetSupplier(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Supplier, supplierToWire)
}

// ListSuppliers implements GET /suppliers.
func (s *server) ListSuppliers(c echo.Context, p wire.ListSuppliersParams) error {
	return list(c, p.Limit, p.After, s.Store.Suppliers, supplierToWire)
}

func farmToWire(r store.Record[stock.Farm]) wire.Farm {
	return wire.Farm{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		SupplierID: r.Value.SupplierID, Name: r.Value.Name, Country: r.Value.Country,
	}
}

func (s *server) farms() writer {
	from := func(id domain.ID, b wire.FarmBody) stock.Farm {
		return stock.Farm{ID: id, SupplierID: b.SupplierID, Name: b.Name, Country: b.Country}
	}
	return writerOf(s, daily, from, s.Store.PutFarm, farmToWire)
}

// PutFarm implements PUT /farms/{id}.
func (s *server) PutFarm(c echo.Context, id domain.ID, p wire.PutFarmParams) error {
	return s.put(c, s.farms(), id, p.IfMatch)
}

// GetFarm implements GET /farms/{id}.
func (s *server) GetFarm(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Farm, farmToWire)
}

// ListFarms implements GET /farms.
func (s *server) ListFarms(c echo.Context, p wire.ListFarmsParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[stock.Farm], error) {
		return s.Store.Farms(ctx, a, page, p.SupplierID)
	}
	return list(c, p.Limit, p.After, read, farmToWire)
}

func organismToWire(r store.Record[stock.Organism]) wire.Organism {
	return wire.Organism{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		ScientificName: r.Value.ScientificName, CommonName: r.Value.CommonName, CommonNameEs: r.Value.CommonNameES,
		EppoCode: r.Value.EPPOCode, Kind: wire.OrganismKind(r.Value.Kind), WhereToLook: r.Value.WhereToLook,
		WhereToLookEs: r.Value.WhereToLookES, RegulatedNote: r.Value.RegulatedNote, RegulatedNoteEs: r.Value.RegulatedNoteES,
		InfestedStages: each(r.Value.InfestedStages, func(stage string) wire.OrganismInfestedStages {
			return wire.OrganismInfestedStages(stage)
		}),
	}
}

// GetOrganism implements GET /organisms/{id}.
func (s *server) GetOrganism(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Organism, organismToWire)
}

// ListOrganisms implements GET /organisms.
func (s *server) ListOrganisms(c echo.Context, p wire.ListOrganismsParams) error {
	return list(c, p.Limit, p.After, s.Store.Organisms, organismToWire)
}

func cropToWire(r store.Record[stock.Crop]) wire.Crop {
	return wire.Crop{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		Name: r.Value.Name, EppoCode: r.Value.EPPOCode, MainOrganismID: r.Value.MainOrganismID,
		SecondLookFromDays: r.Value.SecondLookFromDays, SecondLookToDays: r.Value.SecondLookToDays,
	}
}

// PutCrop implements PUT /crops/{id}.
func (s *server) PutCrop(c echo.Context, id domain.ID, p wire.PutCropParams) error {
	from := func(id domain.ID, b wire.CropBody) stock.Crop {
		return stock.Crop{
			ID: id, Name: b.Name, EPPOCode: b.EppoCode, MainOrganismID: b.MainOrganismID,
			SecondLookFromDays: orDefault(b.SecondLookFromDays, stock.DefaultSecondLookFromDays),
			SecondLookToDays:   orDefault(b.SecondLookToDays, stock.DefaultSecondLookToDays),
		}
	}
	return s.put(c, writerOf(s, whole, from, s.Store.PutCrop, cropToWire), id, p.IfMatch)
}

// GetCrop implements GET /crops/{id}.
func (s *server) GetCrop(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Crop, cropToWire)
}

// ListCrops implements GET /crops.
func (s *server) ListCrops(c echo.Context, p wire.ListCropsParams) error {
	return list(c, p.Limit, p.After, s.Store.Crops, cropToWire)
}

func cultivarToWire(r store.Record[stock.Cultivar]) wire.Cultivar {
	return wire.Cultivar{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		CropID: r.Value.CropID, Name: r.Value.Name, Foliage: wire.CultivarFoliage(r.Value.Foliage),
		BractColour: wire.BractColour(r.Value.BractColour), Gtin: r.Value.GTIN,
	}
}

// PutCultivar implements PUT /cultivars/{id}.
func (s *server) PutCultivar(c echo.Context, id domain.ID, p wire.PutCultivarParams) error {
	from := func(id domain.ID, b wire.CultivarBody) stock.Cultivar {
		return stock.Cultivar{
			ID: id, CropID: b.CropID, Name: b.Name, Foliage: stock.Foliage(b.Foliage), BractColour: string(b.BractColour), GTIN: b.Gtin,
		}
	}
	return s.put(c, writerOf(s, daily, from, s.Store.PutCultivar, cultivarToWire), id, p.IfMatch)
}

// GetCultivar implements GET /cultivars/{id}.
func (s *server) GetCultivar(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Cultivar, cultivarToWire)
}

// ListCultivars implements GET /cultivars.
func (s *server) ListCultivars(c echo.Context, p wire.ListCultivarsParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[stock.Cultivar], error) {
		return s.Store.Cultivars(ctx, a, page, p.CropID)
	}
	return list(c, p.Limit, p.After, read, cultivarToWire)
}
