package advice

import (
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// StarterThresholds gives the limits on whitefly that published advice for
// poinsettia names, dated for the season, without ids. They are rules of thumb to
// begin with: owner and adviser set their own. A limit whose days lie outside the
// season is left out.
func StarterThresholds(season stock.Season, organismID domain.ID) []Threshold {
	day := func(month time.Month, d int) domain.Date { return domain.NewDate(season.Year, month, d) }
	published := []Threshold{
		{
			FromOn: season.StartsOn, ToOn: day(time.August, 31), Percent: 7, Effect: Act,
			Source: "New England Greenhouse Update, Poinsettia Biocontrol Update, 16 July 2013: case studies with 5 to 7 % " +
				"of plants infested or less at the start, all stages counted, were likely to finish below 20 %",
		},
		{
			FromOn: day(time.September, 10), ToOn: day(time.September, 25), Percent: 20, Effect: Act,
			Source: "ONfloriculture (Ontario), 25 September 2018, on the tipping point for whitefly in poinsettia: consultants go on " +
				"with biological control below 20 % of pots in mid-September; a rule of thumb, no strict cut-off",
		},
		{
			FromOn: day(time.October, 1), ToOn: day(time.October, 10), Percent: 20, SmallestPlants: 100, Effect: Act,
			Source: "ONfloriculture (Ontario), 2023, in Floral Daily, article 9569199, on late production and the whitefly tipping " +
				"point: the week to change the programme above 20 %, from at least 100 plants or 5 % of the crop",
		},
		{
			FromOn: day(time.October, 10), ToOn: day(time.October, 20), Percent: 15, Effect: WentWell,
			Source: "ONfloriculture (Ontario), 16 November 2018, review of the 2018 poinsettia season: below 15 % in mid-October " +
				"counted as a success in compartments of about 10,000 plants",
		},
		{
			FromOn: day(time.November, 1), ToOn: season.EndsOn, Percent: 20, Effect: Act,
			Source: "New England Greenhouse Update, Poinsettia Biocontrol Update, 16 July 2013: above 20 % before shipping the crop " +
				"may need cleaning up",
		},
	}
	var limits []Threshold
	for _, limit := range published {
		if limit.FromOn.After(season.EndsOn) || limit.ToOn.Before(season.StartsOn) {
			continue
		}
		limit.OrganismID, limit.CropID = organismID, season.CropID
		limits = append(limits, limit)
	}
	return limits
}
