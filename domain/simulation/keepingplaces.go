package simulation

import (
	"strings"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/place"
	"benchtrail/domain/stock"
)

// planNames plans for the spring, when the places are made: a quarantine block at
// each site, and the customers.
func (k *keeping) planNames() {
	spring := k.at(0, domain.NewDate(Year, time.May, 4), 12*hour)
	k.plan(spring, func(at time.Time) {
		for site := range k.sites {
			k.layQuarantine(site, at.Add(time.Duration(site)*time.Second))
		}
		for i, c := range []stock.Customer{
			{Name: "Orvendale Garden Centers", Country: "US"},
			{Name: "Quorrin Flower Hall", Country: "CA"},
			{Name: "Hesperwick Markets", Country: "US", Note: "Takes pots from the size of 15 cm on."},
			{Name: "Tolvane Landscapes", Country: "US"},
		} {
			moment := at.Add(time.Minute + time.Duration(i)*time.Second)
			c.ID = k.id(moment)
			k.customers = append(k.customers, c.ID)
			k.record(moment, Owner, 0, c)
		}
	})
}

// quarantineHouse is the house of a site that has its quarantine block.
func (k *keeping) quarantineHouse(site int) *house {
	houses := k.sites[site].houses
	return &k.houses[houses[len(houses)-1]]
}

// layQuarantine adds a block beyond the end of a house, with an empty bench
// between, so that it is nobody's neighbour.
func (k *keeping) layQuarantine(site int, at time.Time) {
	h := k.quarantineHouse(site)
	last := k.blocks[h.blocks[len(h.blocks)-1]]
	number, _, _ := strings.Cut(last.Name, "-")
	b := place.Block{
		ID: k.id(at), SiteID: last.SiteID, HouseID: last.HouseID, SectionID: last.SectionID,
		Name: number + "-Q", Position: last.Position + 2, Quarantine: true,
	}
	k.quarantines = append(k.quarantines, b.ID)
	k.record(at, Owner, 0, b)
}
