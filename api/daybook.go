package api

import (
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
	return c.JSON(http.StatusOK, wire.Daybook{
		Now: d.Now, On: d.On, Week: d.On.Week().String(), Site: siteToWire(d.Site),
		Houses: each(d.Houses, houseToWire), Sections: each(d.Sections, sectionToWire), Blocks: each(d.Blocks, blockToWire),
		Lots: each(d.Lots, lotToWire), Placements: each(d.Placements, placementToWire), Cultivars: each(d.Cultivars, cultivarToWire),
		Crops: each(d.Crops, cropToWire), Organisms: each(d.Organisms, organismToWire), Thresholds: each(d.Thresholds, thresholdToWire),
		Looks: each(d.Looks, lookToWire), Holds: each(d.Holds, holdToWire), Customers: each(d.Customers, customerToWire),
	})
}
