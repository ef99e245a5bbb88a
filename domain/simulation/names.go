package simulation

import (
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// catalogue is what can be ordered, from whom, and when the season is.
type catalogue struct {
	suppliers []supplier
	farms     []farm
	crop      stock.Crop
	cultivars []cultivar
	season    stock.Season
}

type supplier struct {
	stock.Supplier
	farms     []int
	cultivars []int
	station   string // where its rooted plants were rooted
}

type farm struct {
	stock.Farm
	share float64 // of its plants that are infested, about
}

type cultivar struct {
	stock.Cultivar
	wanted float64 // how often it is ordered, to the others
}

type supplierplan struct {
	name, country string
	claimHours    int
	station       string
	farms         []farmplan
}

type farmplan struct{ name, country string }

func supplierplans() []supplierplan {
	return []supplierplan{
		{"Varnholt Cuttings", "DE", 48, "Varnholt Rooting", []farmplan{{"Finca Tolmera", "GT"}, {"Alto Venzal", "GT"}}},
		{"Pembrax Young Plants", "US", 24, "Pembrax Lakeside", []farmplan{{"Loma Verzin", "CR"}, {"Vega Suntal", "MX"}}},
		{"Solmarrow Stock", "NL", 24, "Solmarrow Two", []farmplan{{"Kijaro Heights", "KE"}, {"Bessamo Farm", "ET"}}},
		{"Tiderell Propagation", "US", 36, "Tiderell Mill", []farmplan{{"Rushendo Slope", "UG"}, {"Cerro Pallin", "SV"}}},
		{"Ekkerby Liners", "CA", 72, "Ekkerby Home Station", []farmplan{{"Ekkerby Home Farm", "CA"}}},
	}
}

type cultivarplan struct {
	name    string
	foliage stock.Foliage
	bract   string
	wanted  float64
}

func cultivarplans() []cultivarplan {
	const light, medium, dark = stock.LightFoliage, stock.MediumFoliage, stock.DarkFoliage
	return []cultivarplan{
		{"Frostveil", light, "white", 2},
		{"Cindermoth", dark, "red", 2},
		{"Quillember", medium, "red", 1.5},
		{"Larkwisp", light, "pink", 1.2},
		{"Velmorra", dark, "red", 1.5},
		{"Duskhollow", medium, "pink", 1},
		{"Pellamist", light, "white", 1.4},
		{"Harrowglow", dark, "red", 1.5},
		{"Brindlewick", medium, "marbled", 1},
		{"Oatsilk", light, "yellow", 0.8},
		{"Ombrelith", dark, "red", 1},
		{"Tarnflare", medium, "red", 1.5},
		{"Nivarrow", light, "white", 1},
		{"Sableward", dark, "red", 1.2},
		{"Thistlebrand", medium, "red", 1.2},
		{"Saffrelune", light, "yellow", 0.8},
		{"Rookscarlet", dark, "red", 1.2},
		{"Mallowfen", medium, "pink", 1},
		{"Wickenhale", light, "pink", 1},
		{"Corrowen", dark, "red", 1},
		{"Kestreline", medium, "red", 1},
		{"Glasswren", light, "marbled", 1},
		{"Umberlisse", dark, "red", 1},
		{"Fennigold", medium, "other", 0.8},
	}
}

// nameThings makes the suppliers, the crop, its cultivars and season, and the limits.
func (s *story) nameThings() {
	s.catalogue = &catalogue{}
	at := s.at(0, domain.NewDate(Year, time.May, 4), 11*hour)
	made := func() (domain.ID, time.Time) {
		at = at.Add(time.Second)
		return s.id(at), at
	}
	for i, p := range supplierplans() {
		id, moment := made()
		sup := supplier{Supplier: stock.Supplier{ID: id, Name: p.name, Country: p.country, ClaimHours: p.claimHours}, station: p.station}
		s.record(moment, Owner, 0, sup.Supplier)
		for _, fp := range p.farms {
			id, moment = made()
			f := farm{Farm: stock.Farm{ID: id, SupplierID: sup.ID, Name: fp.name, Country: fp.country}}
			s.record(moment, Owner, 0, f.Farm)
			sup.farms = append(sup.farms, len(s.farms))
			s.farms = append(s.farms, f)
		}
		// Each cultivar is to be had from two suppliers.
		for c := range cultivarplans() {
			first := c % 5
			if i == first || i == (first+1+c/5%4)%5 {
				sup.cultivars = append(sup.cultivars, c)
			}
		}
		s.suppliers = append(s.suppliers, sup)
	}
	s.infestFarms()

	id, moment := made()
	s.crop = stock.Crop{
		ID: id, Name: "Poinsettia", EPPOCode: stock.PoinsettiaEPPO, MainOrganismID: s.whitefly(),
		SecondLookFromDays: stock.DefaultSecondLookFromDays, SecondLookToDays: stock.DefaultSecondLookToDays,
	}
	s.record(moment, Owner, 0, s.crop)
	for _, p := range cultivarplans() {
		id, moment = made()
		c := cultivar{stock.Cultivar{ID: id, CropID: s.crop.ID, Name: p.name, Foliage: p.foliage, BractColour: p.bract}, p.wanted}
		s.record(moment, Owner, 0, c.Cultivar)
		s.cultivars = append(s.cultivars, c)
	}
	id, moment = made()
	s.season = stock.Season{
		ID: id, CropID: s.crop.ID, Year: Year,
		StartsOn: domain.NewDate(Year, time.June, 22), EndsOn: domain.NewDate(Year, time.December, 12),
		Milestones: []stock.Milestone{
			{Kind: "sticking", On: domain.NewDate(Year, time.June, 30)},
			{Kind: "pinch", On: domain.NewDate(Year, time.August, 17)},
			{Kind: "decision", On: domain.NewDate(Year, time.September, 15)},
			{Kind: "short_days", On: domain.NewDate(Year, time.September, 21)},
			{Kind: "first_colour", On: domain.NewDate(Year, time.October, 19)},
			{Kind: "shipping", On: domain.NewDate(Year, time.November, 16)},
		},
	}
	s.record(moment, Owner, 0, s.season)
}

// infestFarms deals out how infested the farms are. Reports of 2020 and 2021
// (ONfloriculture, 24 September 2020; Greenhouse Canada, 24 January 2022) have a
// few farms with heavily infested cuttings among many with next to none.
func (s *story) infestFarms() {
	shares := []float64{0.12, 0.09, 0.04, 0.02, 0.005, 0.004, 0.002, 0.002, 0.001}
	s.rng.Shuffle(len(shares), func(i, j int) { shares[i], shares[j] = shares[j], shares[i] })
	for i := range s.farms {
		s.farms[i].share = shares[i]
		s.truth.FarmShares[s.farms[i].ID] = shares[i]
	}
}

// arrivalLimit is the share of infested plants, in percent, below which a crop
// starts well (New England Greenhouse Update, 16 July 2013: 5 to 7 %).
const arrivalLimit = 7
