package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/place"
)

func siteToWire(r store.Record[place.Site]) wire.Site {
	return wire.Site{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		Name: r.Value.Name, TimeZone: r.Value.TimeZone, Country: r.Value.Country, RoundRules: roundRulesToWire(r.Value.RoundRules),
	}
}

func roundRulesFromWire(x wire.RoundRules) place.RoundRules {
	return place.RoundRules{
		CropPercent: x.CropPercent, BlocksPercent: x.BlocksPercent, PlantsPerBlockLeast: x.PlantsPerBlockLeast,
		PlantsPerBlockMost: x.PlantsPerBlockMost, SecondsPerPlant: x.SecondsPerPlant, MinutesPerBlock: x.MinutesPerBlock,
	}
}

func roundRulesToWire(x place.RoundRules) wire.RoundRules {
	return wire.RoundRules{
		CropPercent: x.CropPercent, BlocksPercent: x.BlocksPercent, PlantsPerBlockLeast: x.PlantsPerBlockLeast,
		PlantsPerBlockMost: x.PlantsPerBlockMost, SecondsPerPlant: x.SecondsPerPlant, MinutesPerBlock: x.MinutesPerBlock,
	}
}

// PutSite implements PUT /sites/{id}. Roles at one site name sites there are, so
// only an owner of every site is an owner at one that is new.
func (s *server) PutSite(c echo.Context, id domain.ID, p wire.PutSiteParams) error {
	from := func(id domain.ID, b wire.SiteBody) place.Site {
		return place.Site{ID: id, Name: b.Name, TimeZone: b.TimeZone, Country: b.Country, RoundRules: roundRulesFromWire(b.RoundRules)}
	}
	ownerThere := func(a store.Actor) bool { return a.OwnerAt(id) }
	return s.put(c, writerOf(s, ownerThere, from, s.Store.PutSite, siteToWire), id, p.IfMatch)
}

// GetSite implements GET /sites/{id}.
func (s *server) GetSite(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Site, siteToWire)
}

// ListSites implements GET /sites.
func (s *server) ListSites(c echo.Context, p wire.ListSitesParams) error {
	return list(c, p.Limit, p.After, s.Store.Sites, siteToWire)
}

func houseToWire(r store.Record[place.House]) wire.House {
	return wire.House{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		SiteID: r.Value.SiteID, Name: r.Value.Name, AreaM2: r.Value.AreaM2,
	}
}

// PutHouse implements PUT /houses/{id}.
func (s *server) PutHouse(c echo.Context, id domain.ID, p wire.PutHouseParams) error {
	from := func(id domain.ID, b wire.HouseBody) place.House {
		return place.House{ID: id, SiteID: b.SiteID, Name: b.Name, AreaM2: b.AreaM2}
	}
	return s.put(c, writerOf(s, setup, from, s.Store.PutHouse, houseToWire), id, p.IfMatch)
}

// GetHouse implements GET /houses/{id}.
func (s *server) GetHouse(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.House, houseToWire)
}

// ListHouses implements GET /houses.
func (s *server) ListHouses(c echo.Context, p wire.ListHousesParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[place.House], error) {
		return s.Store.Houses(ctx, a, page, p.SiteID)
	}
	return list(c, p.Limit, p.After, read, houseToWire)
}

func sectionToWire(r store.Record[place.Section]) wire.Section {
	return wire.Section{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		SiteID: r.Value.SiteID, Name: r.Value.Name, GrowerID: r.Value.GrowerID,
	}
}

// PutSection implements PUT /sections/{id}.
func (s *server) PutSection(c echo.Context, id domain.ID, p wire.PutSectionParams) error {
	from := func(id domain.ID, b wire.SectionBody) place.Section {
		return place.Section{ID: id, SiteID: b.SiteID, Name: b.Name, GrowerID: b.GrowerID}
	}
	return s.put(c, writerOf(s, setup, from, s.Store.PutSection, sectionToWire), id, p.IfMatch)
}

// GetSection implements GET /sections/{id}.
func (s *server) GetSection(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Section, sectionToWire)
}

// ListSections implements GET /sections.
func (s *server) ListSections(c echo.Context, p wire.ListSectionsParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[place.Section], error) {
		return s.Store.Sections(ctx, a, page, p.SiteID)
	}
	return list(c, p.Limit, p.After, read, sectionToWire)
}

func blockToWire(r store.Record[place.Block]) wire.Block {
	return wire.Block{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		SiteID: r.Value.SiteID, HouseID: r.Value.HouseID, SectionID: r.Value.SectionID, Name: r.Value.Name, Position: r.Value.Position,
		Quarantine: r.Value.Quarantine, Water: r.Value.Water, Tools: r.Value.Tools,
	}
}

// PutBlock implements PUT /blocks/{id}.
func (s *server) PutBlock(c echo.Context, id domain.ID, p wire.PutBlockParams) error {
	from := func(id domain.ID, b wire.BlockBody) place.Block {
		return place.Block{ID: id, HouseID: b.HouseID, SectionID: b.SectionID, Name: b.Name, Position: b.Position, Quarantine: b.Quarantine, Water: b.Water, Tools: b.Tools}
	}
	return s.put(c, writerOf(s, setup, from, s.Store.PutBlock, blockToWire), id, p.IfMatch)
}

// GetBlock implements GET /blocks/{id}.
func (s *server) GetBlock(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Block, blockToWire)
}

// ListBlocks implements GET /blocks.
func (s *server) ListBlocks(c echo.Context, p wire.ListBlocksParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[place.Block], error) {
		return s.Store.Blocks(ctx, a, page, p.SiteID, p.HouseID)
	}
	return list(c, p.Limit, p.After, read, blockToWire)
}
