package trend

import (
	"fmt"

	"benchtrail/domain"
	"benchtrail/domain/stats"
	"benchtrail/domain/stock"
)

// FoliageCode is what dark against light foliage says. Whitefly settles on light
// leaves first; infested plants of dark-leaved cultivars mean that it is widespread
// (common practice of biological control advisers for poinsettia).
type FoliageCode string

// The foliage codes.
const (
	LightOnly        FoliageCode = "light_only" // found on light; none on dark, where it would have been noticed
	DarkToo          FoliageCode = "dark_too"   // found on dark, and not clearly more than on light
	DarkMore         FoliageCode = "dark_more"  // clearly more on dark than on light
	NoneFound        FoliageCode = "none_found" // on either, where it would have been noticed
	FoliageCannotSay FoliageCode = "cannot_say" // too few plants of one
)

// NoticedShare is the share of infested plants that must have been noticed before
// "none found" says anything: the lower end of the 5 to 7 % below which a young crop
// is likely to end well (case studies in New England Greenhouse Update, "Poinsettia
// Biocontrol Update", 16 July 2013).
const NoticedShare = 0.05

// FoliageContrast holds dark foliage against light. All is zero while nothing was
// compared.
type FoliageContrast struct {
	Code                             FoliageCode
	DarkPlants, DarkInfested         int
	LightPlants, LightInfested       int
	DifferenceKnown                  bool    // plants of both were looked at
	Difference                       float64 // dark less light, in percentage points, with its interval at Confidence
	LowerDifference, UpperDifference float64
}

// ContrastFoliage holds dark foliage against light over the latest week in which
// plants of any foliage were looked at and the one before; see [Compare] for why
// two. The points of a foliage may be those of several groups in the same week.
//
// The difference has Newcombe's interval with effective sizes in place of plants
// ([stats.DifferenceOfShares]), since plants of a block are alike; it is not rounded,
// so that it is the difference of the shares shown. Dark has clearly more when the
// whole interval is above 0.
//
// None found counts as noticed when, with 95 % confidence, less than NoticedShare is
// infested ([stats.UpperLimitForZero] of the effective size, 59 plants drawn one by
// one); for dark beside infested light foliage also less than the share on the light
// one, for a pest that is as frequent on both must not be called one of light foliage.
//
// Errors are those of [Compare].
func ContrastFoliage(by map[stock.Foliage][]Point) (FoliageContrast, error) {
	var to domain.Date
	for _, points := range by {
		to = latest(to, points)
	}
	from := to.AddDays(-7)
	darkPoints, lightPoints := between(by[stock.DarkFoliage], from, to), between(by[stock.LightFoliage], from, to)
	var dark, light pooled
	if len(darkPoints) > 0 {
		dark = pool(darkPoints)
	}
	if len(lightPoints) > 0 {
		light = pool(lightPoints)
	}
	c := FoliageContrast{
		Code:       FoliageCannotSay,
		DarkPlants: dark.plants, DarkInfested: dark.infested,
		LightPlants: light.plants, LightInfested: light.infested,
	}
	if dark.plants == 0 || light.plants == 0 {
		return c, nil
	}
	difference, err := stats.DifferenceOfShares(dark.Effective, light.Effective, Confidence)
	if err != nil {
		return FoliageContrast{}, fmt.Errorf("dark against light foliage: %w", err)
	}
	c.DifferenceKnown = true
	c.Difference, c.LowerDifference, c.UpperDifference = 100*difference.Observed, 100*difference.Lower, 100*difference.Upper
	switch {
	case difference.Lower > 0:
		c.Code = DarkMore
	case dark.infested > 0:
		c.Code = DarkToo
	case light.infested > 0 && dark.noticed(min(NoticedShare, light.Share)):
		c.Code = LightOnly
	case light.infested == 0 && dark.noticed(NoticedShare) && light.noticed(NoticedShare):
		c.Code = NoneFound
	}
	return c, nil
}

// noticed tells whether so large a share would have shown itself in at least one
// plant.
func (p pooled) noticed(share float64) bool {
	open, err := stats.UpperLimitForZero(max(1, int(p.Size)), Confidence)
	return err == nil && open <= share
}
