package simulation

import (
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// planSales plans the first dispatches, in early September: small ones, as samples
// or to be grown on.
func (k *keeping) planSales() {
	for i, day := range []int{1, 2, 3, 4, 8, 9, 10, 11} {
		site := i % len(k.sites)
		at := k.at(site, domain.NewDate(Year, time.September, day), 15*hour+float64(i))
		k.plan(at, func(at time.Time) { k.dispatch(site, i, at) })
	}
}

// dispatch sends plants on which the latest look found nothing. Each site numbers
// its delivery notes in its own way.
func (k *keeping) dispatch(site, number int, at time.Time) {
	clean := func(p *portion) bool { return !k.lives[p.kept.lot].infested }
	p := k.draw(site, 180, clean)
	if p == nil {
		return
	}
	plants, note := 10*k.between(2, 6), "to be grown on"
	if k.chance(0.3) {
		plants, note = k.between(4, 12), "samples"
	}
	p.plants -= plants
	k.record(at, k.growerAt(p.kept.block), 0, stock.Movement{
		ID: k.id(at), LotID: p.kept.lot, Kind: stock.Dispatch, MovedAt: at, Plants: plants, FromBlockID: p.kept.block,
		CustomerID: k.customers[number%len(k.customers)], Note: note,
		PaperNumber: k.number([]string{"%06d", "A-26-%04d", "TF%05d"}[site], []int{417, 88, 96}[site]),
	})
}
