package api

import (
	"fmt"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store/storetest"
)

// nursery is a site with three arrivals, of one lot each, in two houses with two
// blocks each: a lot in the first block of both houses, two in the second.
type nursery struct {
	*caller
	grounds
	houses []string
	blocks [2][2]string
	lots   []string // by arrival, on 3, 4 and 5 August
}

func newNursery(c *caller) nursery {
	n := nursery{caller: c, grounds: newGrounds(c, "Fernhollow")}
	n.houses = []string{n.house, c.new("houses", object{"site_id": n.site, "name": "East"})}
	for h := range n.blocks {
		for b := range n.blocks[h] {
			n.blocks[h][b] = c.new("blocks", object{"house_id": n.houses[h], "name": fmt.Sprintf("B%d", b), "position": 20 + b})
		}
	}
	n.lots = []string{n.lot}
	for _, day := range []string{"04", "05"} {
		shipment := c.new("shipments", object{
			"site_id": n.site, "supplier_id": n.supplier, "expected_on": "2026-08-" + day, "docked_at": "2026-08-" + day + "T15:00:00Z",
		})
		n.lots = append(n.lots, c.new("lots", object{"shipment_id": shipment, "cultivar_id": n.cultivar, "plants": 1000}))
	}
	return n
}

// count says that so many of the plants of a lot were found infested in a block,
// some weeks after Monday, 10 August.
func (n nursery) count(lot, house, block, week, infested, plants int) string {
	return n.new("looks", n.counted(lot, house, block, week, infested, plants))
}

func (n nursery) counted(lot, house, block, week, infested, plants int) object {
	at := time.Date(2026, time.August, 12, 15, 0, 0, 0, time.UTC).AddDate(0, 0, 7*week)
	return object{
		"block_id": n.blocks[house][block], "lot_id": n.lots[lot], "looked_at": at.Format(time.RFC3339),
		"targets": []object{{"organism_id": n.organism, "tally": object{"plants_looked_at": plants, "infested_plants": infested}}},
	}
}

// place is the block of a lot in each house.
func (nursery) place(lot int) int { return min(lot, 1) }

func (n nursery) inspect(lot int, kind string, plants, infested int) string {
	day := map[string]string{"dock": "2026-08-05", "second_look": "2026-08-25"}[kind]
	return n.new("inspections", object{
		"lot_id": n.lots[lot], "kind": kind, "inspected_at": day + "T17:00:00Z",
		"findings": []object{{"organism_id": n.organism, "plants_looked_at": plants, "infested_plants": infested}},
	})
}

// factOf gives the fact of the lot in an answer.
func (n nursery) factOf(answer object, lot int) object {
	for _, fact := range objects(n.t, answer["facts"]) {
		if fact["lot_id"] == n.lots[lot] {
			return fact
		}
	}
	require.FailNow(n.t, "no fact of the lot")
	return nil
}

func TestInfestationThatFollowsAnArrivalIsSaidToHaveComeIn(t *testing.T) {
	t.Parallel()
	n := newNursery(run(t).newOwner(t, "Fernhollow"))
	for week := range 4 {
		for house := range 2 {
			for lot := range 3 {
				infested := 1
				if lot == 0 {
					infested = 12 + week
				}
				n.count(lot, house, n.place(lot), week, infested, 20)
			}
		}
	}
	// Neither of these counts: made on purpose, withdrawn, of a lot not known.
	n.new("looks", with(n.counted(1, 0, 1, 1, 20, 20), object{"purpose": "on_purpose"}))
	n.new("looks", with(n.counted(1, 0, 1, 1, 20, 20), object{"withdrawn_because": "another block"}))
	n.new("looks", with(n.counted(1, 0, 1, 1, 20, 20), object{"lot_id": nil}))

	answer := n.get("/origins")
	require.Equal(t, "arrival", answer["code"])
	require.NotEqual(t, "none", answer["strength"])
	require.Nil(t, answer["because"])
	for member, want := range map[string]float64{"plants_looked_at": 480, "infested_plants": 124, "arrivals": 3, "houses": 2, "weeks": 4} {
		require.InDelta(t, want, answer[member], 0, member)
	}
	require.GreaterOrEqual(t, answer["dispersion"], 1.0)
	terms := objects(t, answer["terms"])
	require.Len(t, terms, 2)
	require.Equal(t, "arrival", terms[0]["term"])
	require.InDelta(t, 3, terms[0]["levels"], 0)
	require.InDelta(t, 2, terms[0]["df_last"], 0)
	require.Less(t, terms[0]["p_last"], 0.05)
	require.Equal(t, "house", terms[1]["term"])
	require.InDelta(t, 1, terms[1]["df_last"], 0)
	require.Greater(t, terms[1]["p_last"], 0.05)
	require.Len(t, objects(t, answer["facts"]), 3)

	one := n.get("/origins?house_id=" + n.houses[0])
	require.InDelta(t, 1, one["houses"], 0)
	require.InDelta(t, 240, one["plants_looked_at"], 0)
	require.Equal(t, "arrival", one["code"])
	require.Equal(t, "weak", one["strength"], "in one house a patch would look the same")
	terms = objects(t, one["terms"])
	require.Nil(t, terms[1]["p_first"], "there is nothing to test")
	require.Nil(t, terms[1]["p_last"])
}

func TestTheFactsOfALotAreToldPlainly(t *testing.T) {
	t.Parallel()
	n := newNursery(run(t).newOwner(t, "Fernhollow"))
	n.inspect(0, "dock", 57, 2)
	wrong := n.inspect(1, "dock", 57, 5)
	n.put("/inspections/"+wrong, object{
		"lot_id": n.lots[1], "kind": "dock", "inspected_at": "2026-08-05T17:00:00Z", "withdrawn_because": "another lot",
		"findings": []object{{"organism_id": n.organism, "plants_looked_at": 57, "infested_plants": 5}},
	}, "If-Match", "1")
	n.inspect(1, "dock", 40, 0)
	n.inspect(1, "second_look", 30, 0)

	n.count(0, 0, 0, 0, 6, 20) // beside the block of lot 1, two weeks before
	n.count(0, 0, 0, 1, 9, 20) // one week before
	n.count(0, 0, 0, 2, 9, 20) // no longer before
	n.count(0, 1, 0, 1, 8, 20) // in the other house, where lot 1 is not
	n.count(1, 0, 1, 0, 0, 20)
	n.count(1, 0, 1, 1, 0, 20)
	plants := make([]object, 10)
	for i := range plants {
		plants[i] = object{"seen": false}
	}
	alive := object{"stage": "large_nymph", "place": "old_growth"}
	plants[0] = object{"seen": true, "signs": []object{alive, {"stage": "egg", "place": "new_growth", "state": "alive"}}}
	plants[1] = object{"seen": true, "signs": []object{alive, alive}}
	plants[2] = object{"seen": true, "signs": []object{{"stage": "empty_case", "place": "new_growth"}, {"stage": "pupa", "place": "new_growth", "state": "parasitised"}}}
	n.new("looks", with(n.counted(1, 0, 1, 2, 0, 1), object{
		"targets": []object{{"organism_id": n.organism, "signs_looked_for": true, "plants": plants}},
	}))
	n.count(1, 0, 1, 3, 5, 20)

	answer := n.get("/origins")
	require.Equal(t, object{
		"lot_id": n.lots[1], "lot_code": n.get("/lots/" + n.lots[1])["code"], "cultivar": "Fernhollow cultivar", "arrived_on": "2026-08-04",
		"dock_plants_looked_at": 40.0, "dock_infested_plants": 0.0, "second_plants_looked_at": 30.0, "second_infested_plants": 0.0,
		"first_look_week": "2026-W33", "first_seen_week": "2026-W35", "old_growth_plants": 2.0, "new_growth_plants": 1.0,
		"neighbours_plants_looked_at": 40.0, "neighbours_infested_plants": 15.0, "points_to": "house",
	}, n.factOf(answer, 1))
	first := n.factOf(answer, 0)
	require.Equal(t, "arrival", first["points_to"])
	require.InDelta(t, 2, first["dock_infested_plants"], 0)
	never := n.factOf(answer, 2)
	require.Equal(t, "nothing", never["points_to"])
	require.Nil(t, never["first_look_week"])
	require.Nil(t, never["first_seen_week"])

	ofLot := n.get("/origins?lot_id=" + n.lots[1])
	require.Len(t, objects(t, ofLot["facts"]), 1)
	require.Equal(t, n.lots[1], objects(t, ofLot["facts"])[0]["lot_id"])
	require.Equal(t, answer["plants_looked_at"], ofLot["plants_looked_at"], "asked of all lots of its cultivar")
	require.Equal(t, answer["code"], ofLot["code"])
}

func TestWhereNothingCanBeSaidTheReasonIs(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	requireCannotSay := func(path, because string) {
		t.Helper()
		answer := c.get(path)
		require.Equal(t, "cannot_say", answer["code"], path)
		require.Equal(t, because, answer["because"], path)
		require.Equal(t, "none", answer["strength"], path)
	}
	requireCannotSay("/origins", "no_looks") // not even a season
	n := newNursery(c)
	requireCannotSay("/origins", "no_looks")
	require.Len(t, objects(t, c.get("/origins")["facts"]), 3)

	n.count(0, 0, 0, 0, 0, 20)
	n.count(1, 1, 1, 0, 0, 20)
	requireCannotSay("/origins", "none_infested")
	n.count(0, 0, 0, 1, 24, 60)
	n.count(0, 0, 0, 2, 27, 60)
	requireCannotSay("/origins?house_id="+n.houses[0], "one_arrival_and_house")

	n.count(1, 1, 1, 1, 3, 60)
	n.count(1, 1, 1, 2, 6, 60)
	answer := c.get("/origins")
	require.Equal(t, "cannot_be_told_apart", answer["code"], "each arrival has a house of its own")
	require.Equal(t, "confounded", answer["because"])
	require.Len(t, objects(t, answer["facts"]), 3)
	require.Len(t, objects(t, c.get("/origins?house_id=" + n.houses[0])["facts"]), 1, "of the lots looked at there")

	other := c.new("cultivars", object{"crop_id": n.crop, "name": "Another", "foliage": "dark"})
	requireCannotSay("/origins?cultivar_id="+other, "no_looks")
	requireCannotSay("/origins?organism_id="+organismByEPPO(c, "BEMITA"), "no_looks")
	south := c.new("sites", object{"name": "South", "time_zone": "Europe/Madrid"})
	requireCannotSay("/origins?site_id="+south, "no_looks")
	for _, parameter := range []string{"lot", "season", "organism"} {
		path := "/origins?" + parameter + "_id=" + storetest.NewID(t).String()
		requireRefused(t, c.do(http.MethodGet, path, nil), http.StatusUnprocessableEntity, "invalid", "#query/"+parameter+"_id")
	}
}
