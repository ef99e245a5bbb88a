package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/place"
	"benchtrail/domain/trend"
)

// GetAdvice implements GET /advice.
func (s *server) GetAdvice(c echo.Context, p wire.GetAdviceParams) error {
	found, err := s.Store.Advice(c.Request().Context(), actorOf(c), store.AdviceQuery{
		OrganismID: p.OrganismID, SeasonID: p.SeasonID, SiteID: p.SiteID, HouseID: p.HouseID, CultivarID: p.CultivarID, LotID: p.LotID,
	})
	if err != nil {
		return err
	}
	out := wire.AdviceList{AsOf: found.Today, Items: []wire.Advice{}}
	if !found.Season.ID.IsZero() {
		out.SeasonID, out.OrganismID = &found.Season.ID, &found.OrganismID
	}
	read, err := readItems(found.Items, p.SiteID)
	if err != nil {
		return err
	}
	for i, x := range found.Items {
		if x.Asked {
			out.Items = append(out.Items, adviceToWire(x, read.Groups[i], found.Limits))
		}
	}
	return c.JSON(http.StatusOK, out)
}

// readItems reads all items with what those of the site share, or with no site all of
// them, and tells each of the contrast of foliage in its house.
func readItems(items []*store.AdviceItem, site domain.ID) (trend.Readings, error) {
	samples := make([][]trend.Sample, len(items))
	var pooled [][]trend.Sample
	for i, x := range items {
		samples[i] = x.Samples
		if site.IsZero() || x.SiteID == site {
			pooled = append(pooled, x.Samples)
		}
	}
	shared, err := trend.WhatTheyShare(pooled)
	if err != nil {
		return trend.Readings{}, err
	}
	read, err := trend.ReadWith(samples, shared)
	if err != nil {
		return trend.Readings{}, err
	}
	contrasts, err := contrastInHouses(items, read.Correlation)
	for _, x := range items {
		x.Reading.Contrast = contrasts[x.HouseID]
	}
	return read, err
}

// contrastInHouses holds dark foliage against light in each house, as the trends do.
func contrastInHouses(items []*store.AdviceItem, alike trend.BlockCorrelation) (map[domain.ID]trend.FoliageContrast, error) {
	cultivars := map[domain.ID][]store.TrendGroup{}
	for _, x := range items {
		cultivars[x.HouseID] = append(cultivars[x.HouseID], store.TrendGroup{Foliage: string(x.Reading.Foliage), Weeks: x.Samples})
	}
	contrasts := map[domain.ID]trend.FoliageContrast{}
	for house, groups := range cultivars {
		var err error
		if contrasts[house], err = foliageContrast(groups, alike); err != nil {
			return nil, err
		}
	}
	return contrasts, nil
}

// adviceRulesOf are the usual rules with those of the site for a round, which are what
// the plan of a round goes by.
func adviceRulesOf(x place.RoundRules) advice.Rules {
	r, round := advice.UsualRules(), roundRulesOf(x)
	r.LeastShare, r.LeastBlockShare, r.LeastInBlock = round.CropPercent/100, round.BlocksPercent/100, round.PlantsLeast
	return r
}

// adviceReadingOf joins what is on record of an item with what was read of it.
func adviceReadingOf(x *store.AdviceItem, read trend.Reading, limits []advice.Threshold) (advice.Reading, advice.Rules) {
	reading := x.Reading
	reading.Points, reading.Course = read.Points, read.Course
	reading.Limits = limitsOf(store.TrendGroup{CultivarID: x.CultivarID, HouseID: x.HouseID}, limits)
	return reading, adviceRulesOf(x.Rules)
}

func adviceToWire(x *store.AdviceItem, read trend.Reading, limits []advice.Threshold) wire.Advice {
	reading, rules := adviceReadingOf(x, read, limits)
	lines := rules.Evidence(reading)
	suggestion := rules.Suggest(reading, lines)
	return wire.Advice{
		CultivarID: x.CultivarID, Cultivar: x.Cultivar, HouseID: x.HouseID, House: x.House, SiteID: x.SiteID,
		Foliage: string(reading.Foliage), StandingPlants: reading.StandingPlants, Lots: x.Lots,
		Answer:   answerToWire(advice.Judge(reading.Points, reading.Limits, reading.Today)),
		Growth:   growthToWire(reading.Course.Growth()),
		Forecast: forecastToWire(read, reading.Limits, reading.Today, domain.Date{}),
		Evidence: each(lines, evidenceToWire),
		Suggestion: wire.Suggestion{
			Code:         wire.SuggestionCode(suggestion.Code),
			Reasons:      each(suggestion.Reasons, func(line advice.EvidenceCode) string { return string(line) }),
			FewestPlants: suggestion.Fewest, LikelyPlants: suggestion.Likely, FewestSettles: wire.SuggestionFewestSettles(suggestion.Settles),
			Cautions: each(suggestion.Cautions, func(c advice.Caution) wire.SuggestionCautions { return wire.SuggestionCautions(c) }),
		},
		Decisions: each(x.Decisions, decisionToWire),
	}
}

func evidenceToWire(e advice.Evidence) wire.Evidence {
	return wire.Evidence{
		Code: wire.EvidenceCode(e.Code), Direction: wire.EvidenceDirection(e.Direction), Finding: wire.EvidenceFinding(e.Finding),
		PlantsLookedAt: e.Plants, InfestedPlants: e.Infested, Percent: e.Percent, LowerPercent: e.LowerPercent, UpperPercent: e.UpperPercent,
		LimitPercent: e.LimitPercent, On: e.On, Blocks: e.Blocks, OfBlocks: e.OfBlocks, Weeks: e.Weeks, Days: e.Days,
	}
}
