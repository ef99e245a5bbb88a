package api

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"net/http"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
)

// GetDaybook implements GET /daybook.
func (s *server) GetDaybook(c echo.Context, p wire.GetDaybookParams) error {
	d, err := s.Store.Daybook(c.Request().Context(), actorOf(c), p.SiteID)
	if err != nil {
		return err
	}
	book := wire.Daybook{
		On: d.On, Week: d.On.Week().String(), Site: siteToWire(d.Site),
		Houses: each(d.Houses, houseToWire), Sections: each(d.Sections, sectionToWire), Blocks: each(d.Blocks, blockToWire),
		Lots: each(d.Lots, lotToWire), Placements: each(d.Placements, placementToWire), Cultivars: each(d.Cultivars, cultivarToWire),
		Crops: each(d.Crops, cropToWire), Organisms: each(d.Organisms, organismToWire), Thresholds: each(d.Thresholds, thresholdToWire),
		Looks: each(d.Looks, lookToWire), Holds: each(d.Holds, holdToWire), Customers: each(d.Customers, customerToWire),
		Shipments: each(d.Shipments, shipmentToWire), Inspections: each(d.Inspections, inspectionToWire), Verdicts: each(d.Verdicts, verdictToWire),
		SecondLooks: each(d.SecondLooks, secondLookToWire),
		Suppliers:   each(d.Suppliers, supplierToWire), Farms: each(d.Farms, farmToWire), Seasons: each(d.Seasons, seasonToWire),
	}
	// Now is not in yet: the version is that of all the rest.
	content, err := json.Marshal(book)
	if err != nil {
		return fmt.Errorf("write the daybook down: %w", err)
	}
	sum := sha256.Sum256(content)
	book.Now, book.Version = d.Now, hex.EncodeToString(sum[:8])
	return c.JSON(http.StatusOK, book)
}
