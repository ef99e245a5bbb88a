package simulation

import (
	"time"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/stock"
)

const laboratory = "Ostrel Plant Clinic"

// planHolds plans two holds, each with a sample for a laboratory: one of the grower
// on a lot with spots, lifted when nothing was found, and one of a supplier on a
// shipment, still in force when the demo opens.
func (k *keeping) planHolds() {
	k.plan(k.at(0, domain.NewDate(Year, time.August, 13), 10.3*hour), k.holdSpotted)
	k.plan(k.at(1, domain.NewDate(Year, time.September, 9), 9.7*hour), k.holdShipment)
}

// sign notes what the latest verdict says of a lot.
func (k *keeping) sign(v arrival.Verdict, at time.Time) {
	lot := k.inspected[v.InspectionID]
	for i := range k.holds {
		if h := &k.holds[i]; h.ByVerdict && h.ScopeID == lot && h.To.IsZero() {
			h.To = at
		}
	}
	l := k.lives[lot]
	l.heldSince = time.Time{}
	if v.Decision == arrival.Hold || v.Decision == arrival.Reject {
		l.heldSince = at
		k.holds = append(k.holds, stock.Hold{
			ID: v.ID, Scope: stock.ScopeLot, ScopeID: lot, Kind: stock.InternalHold, From: at,
			ByVerdict: true, Rejects: v.Decision == arrival.Reject,
		})
	}
}

// heldNow says whether a hold is in force on a lot. Nothing is split off a lot
// that is held, so that it is enough to look at the lot itself.
func (k *keeping) heldNow(lot domain.ID) bool {
	for _, h := range k.holds {
		if !h.To.IsZero() {
			continue
		}
		if h.ScopeID == lot {
			return true
		}
		for _, shipment := range k.lives[lot].shipments {
			if h.ScopeID == shipment {
				return true
			}
		}
	}
	return false
}

// hold lays a hold, and lifts it at the moment.
func (k *keeping) hold(h stock.Hold, by string, lifted time.Time) {
	h.ID = k.id(h.From)
	i := len(k.holds)
	k.holds = append(k.holds, h)
	k.record(h.From, by, 0, h)
	k.plan(lifted, func(at time.Time) {
		h.To = at
		k.holds[i] = h
		k.record(at, by, 1, h)
	})
}

// send sends a sample to the laboratory, which finds nothing.
func (k *keeping) send(x stock.LabSample, by string, answered time.Time) {
	x.ID, x.Laboratory, x.Result = k.id(x.TakenAt), laboratory, stock.Waiting
	k.record(x.TakenAt, by, 0, x)
	k.plan(answered, func(at time.Time) {
		x.Result, x.ResultOn, x.ReportNumber = stock.NotFound, domain.DateOf(at), "R-"+x.SampleNumber
		k.record(at, by, 1, x)
	})
}

// holdSpotted holds a lot with spots for some days. On the second of them a grower
// throws out the worst plants all the same.
func (k *keeping) holdSpotted(at time.Time) {
	p := k.draw(0, 150, func(p *portion) bool { return len(k.in(p.kept.lot)) <= 2 })
	if p == nil {
		return
	}
	by, day, kept := k.growerAt(p.kept.block), domain.DateOf(at), p.kept
	k.hold(stock.Hold{
		Scope: stock.ScopeLot, ScopeID: kept.lot, Kind: stock.InternalHold, From: at, Reason: "spots on the leaves; a sample is at the laboratory",
	}, by, k.at(0, day.AddDays(6), 10.8*hour))
	k.plan(at.Add(25*time.Minute), func(at time.Time) {
		k.send(stock.LabSample{
			LotID: kept.lot, BlockID: kept.block, TakenAt: at, Plants: 3, SampleNumber: "26-0412", LookedFor: "bacterial leaf spot",
		}, by, k.at(0, day.AddDays(6), 10.4*hour))
	})
	k.plan(k.at(0, day.AddDays(1), 15.6*hour), func(at time.Time) {
		if p.kept == kept && p.plants > 20 {
			k.discard(p, 4, at, "the worst leaf spots, bagged")
		}
	})
}

// holdShipment holds the latest shipment of cuttings whose second look is done.
// What is in the house of the quarantine block is brought there.
func (k *keeping) holdShipment(at time.Time) {
	var latest *life
	for _, l := range k.lots {
		if x := k.lives[l.ID]; x != nil && x.site == 1 && x.Form != stock.Rooted && x.lookedAt && x.stuck > 0 && !k.heldNow(l.ID) {
			latest = x
		}
	}
	if latest == nil {
		return
	}
	shipment, day := latest.ShipmentID, domain.DateOf(at)
	k.hold(stock.Hold{
		Scope: stock.ScopeShipment, ScopeID: shipment, Kind: stock.SupplierHold, From: at, PaperNumber: "QN-2026-031",
		Reason: "the supplier asks to keep the plants until the test of the mother plants is back",
	}, Owner, k.at(1, day.AddDays(9), 14*hour))
	k.plan(at.Add(4*time.Hour+time.Hour/2), func(at time.Time) { k.bringToQuarantine(shipment, at) })
	k.plan(k.at(1, day.AddDays(1), 9.4*hour), func(at time.Time) {
		for _, p := range k.portions {
			if l := k.lives[p.kept.lot]; p.plants > 20 && l.ShipmentID == shipment && len(l.shipments) == 1 && !p.kept.block.IsZero() {
				k.send(stock.LabSample{
					LotID: p.kept.lot, BlockID: p.kept.block, TakenAt: at, Plants: 5, SampleNumber: "26-0467", LookedFor: "bacterial wilt",
				}, k.growerAt(p.kept.block), k.at(1, day.AddDays(8), 11*hour))
				return
			}
		}
	})
}

func (k *keeping) bringToQuarantine(shipment domain.ID, at time.Time) {
	home := k.quarantineHouse(1)
	var least *portion
	for _, p := range k.portions {
		l := k.lives[p.kept.lot]
		if p.plants > 0 && l.ShipmentID == shipment && len(l.shipments) == 1 && k.houseOf(p.kept.block) == home && (least == nil || p.plants < least.plants) {
			least = p
		}
	}
	if least == nil {
		return
	}
	from, to := least.kept.block, k.quarantines[1]
	least.kept.block = to
	k.record(at, k.growerAt(from), 0, stock.Movement{
		ID: k.id(at), LotID: least.kept.lot, Kind: stock.Move, MovedAt: at, Plants: least.plants, FromBlockID: from, ToBlockID: to,
		Note: "into quarantine while the supplier's hold is on",
	})
}

// markHeld says of what was done although the plants were held that it was known.
func (k *keeping) markHeld() {
	var lots []stock.Lot
	var movements []stock.Movement
	spots := map[domain.ID]stock.Spot{}
	for _, b := range k.blocks {
		spots[b.ID] = stock.Spot{HouseID: b.HouseID, SiteID: b.SiteID}
	}
	for site, id := range k.quarantines {
		spots[id] = stock.Spot{HouseID: k.quarantineHouse(site).ID, SiteID: k.sites[site].ID, Quarantine: true}
	}
	for _, e := range k.events {
		switch x := e.Record.(type) {
		case stock.Lot:
			if e.Corrects == 0 {
				lots = append(lots, x)
			}
		case stock.Movement:
			movements = append(movements, x)
			for _, id := range x.Births() {
				lots = append(lots, stock.Lot{ID: id})
			}
		}
	}
	held := map[domain.ID]bool{}
	for _, b := range stock.FoldBook(lots, movements).Under(k.holds, spots).Breaches(movements) {
		held[b.Movement.ID] = true
	}
	for i, e := range k.events {
		if m, ok := e.Record.(stock.Movement); ok && held[m.ID] {
			m.AlthoughHeld = true
			k.events[i].Record = m
		}
	}
}
