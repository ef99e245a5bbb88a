package api

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"net/http"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// trailColumns are the columns of the table, in order.
var trailColumns = []string{
	"what", "lot_code", "cultivar", "foliage", "supplier", "farms", "farm_certain", "supplier_lot_code", "arrived_on", "papers",
	"site", "house", "block", "plants", "on", "customer", "paper_number", "reason", "while_held", "parent_or_child_code", "cannot_rule_out",
}

// trailRow is one thing that is so, by column; what is not said is left empty.
type trailRow map[string]string

// trailTable turns a trail into rows.
type trailTable struct {
	record store.TrailRecord
	from   stock.TrailStart
	zones  map[domain.ID]*time.Location // by site
	rows   []trailRow
}

func newTrailTable(r store.TrailRecord, from stock.TrailStart) (*trailTable, error) {
	zones, err := zonesOf(r)
	if err != nil {
		return nil, err
	}
	t := &trailTable{record: r, from: from, zones: zones}
	t.add(r.Trail, false)
	t.add(r.NotRuledOut, true)
	return t, nil
}

func zonesOf(r store.TrailRecord) (map[domain.ID]*time.Location, error) {
	zones := map[domain.ID]*time.Location{}
	for id, site := range r.Names.Sites {
		zone, err := site.Location()
		if err != nil {
			return nil, fmt.Errorf("the zone of the site %s: %w", id, err)
		}
		zones[id] = zone
	}
	return zones, nil
}

// add writes each lot's rows together: what came, what it became, where it stands
// and what left.
func (t *trailTable) add(trail store.Trail, cannotRuleOut bool) {
	shipments := map[domain.ID]stock.Shipment{}
	for _, x := range trail.Shipments {
		shipments[x.ID] = x
	}
	for _, x := range trail.Lots {
		came := shipments[x.Lot.ShipmentID]
		base := t.lotRow(x, came, cannotRuleOut)
		arrives := !x.Lot.ShipmentID.IsZero()
		expected := arrives && x.Lot.State == stock.Expected && came.DockedAt.IsZero()
		switch {
		case expected:
			t.put(base, trailRow{"what": "expected", "plants": numberCell(x.Tally.In), "on": dateCell(x.Lot.ArrivedOn)})
		case arrives:
			t.put(base, trailRow{"what": "received", "plants": numberCell(x.Tally.In), "on": t.receivedOn(x)})
		}
		if !expected {
			t.standing(base, x, trail.Placements)
		}
		t.exits(base, x, trail.Exits)
		t.became(base, x.Lot.ID, trail.Links)
	}
}

func (t *trailTable) put(base, more trailRow) {
	row := trailRow{}
	for _, part := range []trailRow{base, more} {
		for column, cell := range part {
			row[column] = cell
		}
	}
	t.rows = append(t.rows, row)
}

func (t *trailTable) lotRow(x stock.TrailLot, came stock.Shipment, cannotRuleOut bool) trailRow {
	n, l := t.record.Names, x.Lot
	var farms, papers []string
	for _, id := range l.FarmIDs {
		farms = append(farms, n.Farms[id].Name)
	}
	for _, p := range came.Papers {
		papers = append(papers, strings.ReplaceAll(p.Kind, "_", " ")+" "+p.Number)
	}
	row := trailRow{
		"lot_code": textCell(l.Code), "cultivar": textCell(n.Cultivars[l.CultivarID].Name), "foliage": string(n.Cultivars[l.CultivarID].Foliage),
		"supplier": textCell(n.Suppliers[n.Lots[l.ID].SupplierID].Name), "farms": textCell(strings.Join(farms, "; ")),
		"supplier_lot_code": textCell(l.SupplierLotCode), "arrived_on": dateCell(l.ArrivedOn), "papers": textCell(strings.Join(papers, "; ")),
		"site": textCell(n.Sites[l.SiteID].Name), "cannot_rule_out": yesCell(cannotRuleOut),
	}
	switch {
	case t.from == stock.FromFarm:
		row["farm_certain"] = yesCell(x.Certain && !cannotRuleOut)
	case len(farms) > 0:
		row["farm_certain"] = yesCell(len(farms) == 1)
	}
	return row
}

func (t *trailTable) day(lot stock.Lot, at time.Time) string {
	zone := t.zones[lot.SiteID]
	if zone == nil || at.IsZero() {
		return ""
	}
	return dateCell(domain.DateOf(at.In(zone)))
}

// receivedOn is the day the plants were counted at the dock, or by the papers.
func (t *trailTable) receivedOn(x stock.TrailLot) string {
	if x.BornAt.IsZero() {
		return dateCell(x.Lot.ArrivedOn)
	}
	return t.day(x.Lot, x.BornAt)
}

// standing says where plants are now. What arrived and stands in no block yet is at
// the site.
func (t *trailTable) standing(base trailRow, x stock.TrailLot, placements []stock.Placement) {
	for _, p := range placements {
		if p.LotID == x.Lot.ID && p.To.IsZero() {
			t.put(base, t.inBlock(p.BlockID, trailRow{"what": "standing", "plants": numberCell(p.Plants), "on": t.day(x.Lot, p.From)}))
		}
	}
	if x.Tally.Unplaced > 0 {
		t.put(base, trailRow{"what": "standing", "plants": numberCell(x.Tally.Unplaced)})
	}
}

func (t *trailTable) inBlock(id domain.ID, row trailRow) trailRow {
	block := t.record.Names.Blocks[id]
	row["block"], row["house"] = textCell(block.Name), textCell(t.record.Names.Houses[block.HouseID].Name)
	return row
}

func (t *trailTable) exits(base trailRow, x stock.TrailLot, exits []stock.Movement) {
	for _, m := range exits {
		if m.LotID != x.Lot.ID {
			continue
		}
		what := map[stock.Kind]string{stock.Dispatch: "dispatched", stock.Discard: "discarded"}[m.Kind]
		t.put(base, t.inBlock(m.FromBlockID, trailRow{
			"what": what, "plants": numberCell(m.Plants), "on": t.day(x.Lot, m.MovedAt), "reason": textCell(m.Reason),
			"customer": textCell(t.record.Names.Customers[m.CustomerID].Name), "paper_number": textCell(m.PaperNumber),
			"while_held": yesCell(len(m.HeldBy) > 0),
		}))
	}
}

func (t *trailTable) became(base trailRow, lot domain.ID, links []stock.Link) {
	for _, link := range links {
		if link.From == lot {
			child := t.record.Names.Lots[link.To]
			t.put(base, trailRow{
				"what": "became", "plants": numberCell(link.Plants), "on": t.day(child, link.At), "parent_or_child_code": textCell(child.Code),
			})
		}
	}
}

// text writes the table as spreadsheets read it.
func (t *trailTable) text() ([]byte, error) {
	var out bytes.Buffer
	out.WriteString(byteOrderMark)
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	lines := [][]string{trailColumns}
	for _, row := range t.rows {
		line := make([]string, len(trailColumns))
		for i, column := range trailColumns {
			line[i] = row[column]
		}
		lines = append(lines, line)
	}
	if err := w.WriteAll(lines); err != nil {
		return nil, fmt.Errorf("write the table: %w", err)
	}
	return out.Bytes(), nil
}

// fileName tells a browser to keep the answer as a file of that name and day.
func (s *server) fileName(c echo.Context, from stock.TrailStart, zones map[domain.ID]*time.Location, extension string) {
	now := s.Clock().UTC()
	for _, zone := range zones {
		if len(zones) == 1 {
			now = now.In(zone)
		}
	}
	c.Response().Header().Set(echo.HeaderContentDisposition, fmt.Sprintf(`attachment; filename="trail-%s-%s.%s"`, from, domain.DateOf(now), extension))
}

// GetTrailTable implements GET /trail/csv.
func (s *server) GetTrailTable(c echo.Context, p wire.GetTrailTableParams) error {
	q := store.TrailQuery{From: stock.TrailStart(p.From), ID: p.ID, Back: p.Way == "back"}
	record, err := s.Store.TrailMovements(c.Request().Context(), actorOf(c), q)
	if err != nil {
		return err
	}
	table, err := newTrailTable(record, q.From)
	if err != nil {
		return err
	}
	text, err := table.text()
	if err != nil {
		return err
	}
	s.fileName(c, q.From, table.zones, "csv")
	return c.Blob(http.StatusOK, "text/csv; charset=utf-8", text)
}
