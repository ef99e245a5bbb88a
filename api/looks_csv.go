package api

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/imports"
	"benchtrail/domain/scouting"
)

// lookColumns are the columns of the table, in order, by the names under which an
// import knows them; those it does not know are for people.
var lookColumns = []string{
	string(imports.LookKey), string(imports.LookedOn), string(imports.LookedAt), "site", string(imports.HouseName), string(imports.BlockName),
	string(imports.LotCode), string(imports.CultivarName), string(imports.ArrivedOn), string(imports.SupplierName), string(imports.OrganismName),
	string(imports.PlantsLookedAt), string(imports.InfestedPlants), string(imports.SignsLookedFor), string(imports.ObserverName),
	string(imports.Purpose), string(imports.CropStage), string(imports.HotSpot), string(imports.Seconds), "doubts", string(imports.Note),
}

// looksARead is how many looks are read at a time.
const looksARead = 1000

// GetLookTable implements GET /looks/csv.
func (s *server) GetLookTable(c echo.Context, p wire.GetLookTableParams) error {
	ctx, a := c.Request().Context(), actorOf(c)
	f, err := lookFilter(wire.ListLooksParams{
		SiteID: p.SiteID, BlockID: p.BlockID, LotID: p.LotID, HouseID: p.HouseID, CultivarID: p.CultivarID,
		Foliage: wire.ListLooksParamsFoliage(p.Foliage), ArrivalWeek: p.ArrivalWeek, SeasonID: p.SeasonID, Week: p.Week,
		OrganismID: p.OrganismID, InDoubt: p.InDoubt, By: p.By, Key: p.Key,
	})
	if err != nil {
		return err
	}
	names, err := s.Store.LookNames(ctx, a)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	out.WriteString(byteOrderMark)
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	if err := w.Write(lookColumns); err != nil {
		return fmt.Errorf("write the table: %w", err)
	}
	zones := map[domain.ID]*time.Location{}
	for id, site := range names.Sites {
		if zones[id], err = site.Location(); err != nil {
			return fmt.Errorf("the zone of the site %s: %w", id, err)
		}
	}
	page := store.Page{Limit: looksARead}
	for looks := 0; ; looks += looksARead {
		if looks >= imports.MostLines {
			return domain.Faults{{Path: "#query", Code: "too_many", Detail: fmt.Sprintf("these are more than %d looks; narrow the list", imports.MostLines)}}
		}
		found, err := s.Store.Looks(ctx, a, page, f)
		if err != nil {
			return err
		}
		for _, r := range found.Items {
			for _, row := range lookRows(r.Value, names, zones[r.Value.SiteID], p.OrganismID) {
				if err := w.Write(row); err != nil {
					return fmt.Errorf("write the table: %w", err)
				}
			}
		}
		if page.After = found.Next; found.Next.IsZero() {
			break
		}
	}
	if w.Flush(); w.Error() != nil {
		return fmt.Errorf("write the table: %w", w.Error())
	}
	c.Response().Header().Set(echo.HeaderContentDisposition, fmt.Sprintf(`attachment; filename="looks-%s.csv"`, domain.DateOf(s.Clock().UTC())))
	return c.Blob(http.StatusOK, "text/csv; charset=utf-8", out.Bytes())
}

// lookRows gives a row for each organism of the look, or for the one asked for.
func lookRows(x scouting.Look, n store.LookNames, zone *time.Location, only domain.ID) [][]string {
	if x.Withdrawn != "" {
		return nil
	}
	block, lot := n.Blocks[x.BlockID], n.Lots[x.LotID]
	doubts := ""
	if x.InDoubt() {
		for _, d := range x.Doubts {
			doubts += string(d) + " "
		}
	}
	var rows [][]string
	for _, t := range x.Targets {
		if !only.IsZero() && t.OrganismID != only {
			continue
		}
		seconds := ""
		if x.Seconds > 0 {
			seconds = numberCell(x.Seconds)
		}
		rows = append(rows, []string{
			x.ID.String(), dateCell(x.LookedOn), x.LookedAt.In(zone).Format(time.RFC3339), textCell(n.Sites[x.SiteID].Name), textCell(n.Houses[block.HouseID].Name),
			textCell(block.Name), textCell(lot.Code), textCell(n.Cultivars[lot.CultivarID].Name), dateCell(lot.ArrivedOn), textCell(n.Suppliers[lot.SupplierID].Name),
			textCell(n.Organisms[t.OrganismID].ScientificName), numberCell(t.PlantsLookedAt), strconv.Itoa(t.InfestedPlants), yesCell(t.SignsLookedFor),
			textCell(x.ObserverName), string(x.Purpose), string(x.CropStage), textCell(x.HotSpot), seconds, textCell(doubts), textCell(x.Note),
		})
	}
	return rows
}
