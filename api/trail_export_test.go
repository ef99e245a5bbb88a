package api

import (
	"net/http"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store/storetest"
)

// exported is a shipment of two lots that was received, split, merged, counted,
// thrown out in part and sent away in part.
type exported struct {
	grounds
	c                                        *caller
	first, second, child, merged, unnumbered string // lots
	otherBlock, customer                     string
	split, merge, dispatch                   string // movements
}

const (
	harmful = `=HYPERLINK("http://evil.example","Viveros")`
	gtin    = "4012345678901"
)

func newExported(c *caller) exported {
	x := exported{grounds: newGrounds(c, "Exported"), c: c}
	x.otherBlock = c.new("blocks", object{"house_id": x.house, "section_id": x.section, "name": "08", "position": 8})
	x.customer = c.new("customers", object{"name": harmful})
	cultivar := c.new("cultivars", object{
		"crop_id": x.crop, "name": "Peñíscola Ruby", "foliage": "dark", "bract_colour": "red", "gtin": gtin,
	})
	shipment := c.new("shipments", object{
		"site_id": x.site, "supplier_id": x.supplier, "expected_on": x.arrivedOn, "docked_at": "2026-08-04T03:15:00Z",
		"papers": []object{{"kind": "invoice", "number": "00417"}, {"kind": "phytosanitary_certificate", "number": "ES/28 077"}, {"kind": "other", "number": "n1"}},
	})
	lot := object{"shipment_id": shipment, "cultivar_id": cultivar, "plants": 1000, "form": "unrooted", "farm_ids": []string{x.farm}, "supplier_lot_code": "0012"}
	x.first = c.new("lots", with(lot, object{"code": "07-01"}))
	x.second = c.new("lots", with(lot, object{"code": "+31 B", "farm_ids": []string{}})) // not a batch number as GS1 has them
	x.unnumbered = c.new("lots", with(lot, object{"code": "07-03", "cultivar_id": x.cultivar}))
	x.shipment = shipment
	move := func(lot, kind, at string, plants int, more object) string {
		return c.new("movements", with(object{"lot_id": lot, "kind": kind, "moved_at": at, "plants": plants}, more))
	}
	move(x.first, "receive", "2026-08-04T04:00:00Z", 990, nil)
	move(x.first, "stick", "2026-08-05T14:00:00Z", 900, object{"to_block_id": x.block})
	move(x.second, "stick", "2026-08-05T15:00:00Z", 1000, object{"to_block_id": x.block})
	move(x.first, "root", "2026-08-25T14:00:00Z", 900, object{"rooted": 850})
	x.child = storetest.NewID(c.t).String()
	x.split = move(x.first, "split", "2026-09-01T14:00:00Z", 300, object{"parts": []object{
		{"lot_id": x.child, "plants": 200, "from_block_id": x.block, "to_block_id": x.otherBlock},
		{"lot_id": x.child, "plants": 100, "from_block_id": x.block},
	}})
	x.merged = storetest.NewID(c.t).String()
	x.merge = move(x.merged, "merge", "2026-09-02T14:00:00Z", 700, object{"parts": []object{
		{"lot_id": x.first, "plants": 400, "from_block_id": x.block, "to_block_id": x.otherBlock},
		{"lot_id": x.second, "plants": 300, "from_block_id": x.block, "to_block_id": x.otherBlock},
	}})
	move(x.second, "pot", "2026-09-03T14:00:00Z", 700, object{"from_block_id": x.block, "to_block_id": x.block})
	move(x.child, "move", "2026-09-04T14:00:00Z", 50, object{"from_block_id": x.block, "to_block_id": x.otherBlock})
	move(x.second, "count", "2026-09-05T14:00:00Z", 690, object{"from_block_id": x.block})
	move(x.second, "discard", "2026-09-06T14:00:00Z", 40, object{"from_block_id": x.block, "reason": "-rot", "paper_number": "D 1"})
	x.dispatch = move(x.merged, "dispatch", "2026-10-02T03:30:00Z", 500, object{
		"from_block_id": x.otherBlock, "customer_id": x.customer, "paper_number": "000123",
	})
	return x
}

func (x exported) ask(kind, from, id, way string) outcome {
	answer := x.c.do(http.MethodGet, "/trail/"+kind+"?from="+from+"&id="+id+"&way="+way, nil)
	require.Equal(x.c.t, http.StatusOK, answer.status, answer.text)
	return answer
}

// keepExport writes an export to the folder that BENCHTRAIL_KEEP_EXPORTS names, to
// be opened in a spreadsheet or held against the published schema by hand.
func keepExport(t *testing.T, name, text string) {
	t.Helper()
	if folder := os.Getenv("BENCHTRAIL_KEEP_EXPORTS"); folder != "" {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
}
