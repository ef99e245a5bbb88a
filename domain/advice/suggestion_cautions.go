package advice

import (
	"slices"

	"benchtrail/domain/trend"
)

// Caution names a sentence that is printed with a suggestion.
type Caution string

// The cautions.
const (
	LabelIsLaw      Caution = "label"            // the label is the law; no figure here is label advice
	ReentryInterval Caution = "reentry"          // nobody enters before the interval ends
	LicensedOnly    Caution = "licensed"         // some products are for certified people only
	MayBeRegulated  Caution = "regulated"        // a suspected regulated pest: stop, hold, call the authority
	PlantsHeld      Caution = "held"             // held plants are not moved, split or sold, and entered last
	ZeroIsNotFree   Caution = "zero_is_not_free" // no find is not freedom from the pest
	RuleOfThumb     Caution = "rule_of_thumb"    // limits are rules of thumb that owner and adviser set
	Compatibility   Caution = "compatibility"    // ask label and supplier what natural enemies bear
)

// cautions gives those that belong to a suggestion. Whatever is suggested, limits are
// rules of thumb, held plants stay held and, where the pest was found, an authority may
// have a say.
func cautions(code SuggestionCode, x Reading) []Caution {
	var c []Caution
	switch code {
	case ConsiderSelective, DealWithHotSpots: // spots too may be sprayed; with what, a person decides
		c = append(c, LabelIsLaw, ReentryInterval, LicensedOnly, Compatibility)
	case StayBiological:
		c = append(c, Compatibility)
	}
	if len(x.Points) > 0 && x.latest().Infested == 0 {
		c = append(c, ZeroIsNotFree)
	}
	if x.Regulated && slices.ContainsFunc(x.Points, func(p trend.Point) bool { return p.Infested > 0 }) {
		c = append(c, MayBeRegulated)
	}
	if x.Held {
		c = append(c, PlantsHeld)
	}
	return append(c, RuleOfThumb)
}
