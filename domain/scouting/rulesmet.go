package scouting

// LookedAt is what was looked at in a house in a week, and what stood there.
type LookedAt struct {
	Looks, Plants, Blocks int
	Fewest                int // looked at in a block that was not looked at whole; 0 when there is none
	Standing              int // plants at the end of the week
	StandingBlocks        int
}

// RulesMet says which rules of a round the looks of a week meet. They are those that
// can be read from the looks alone; panel, cultivars and arrivals are for the plan.
type RulesMet struct {
	CropShare, BlockShare, PlantsPerBlock bool
	PlantsAsked, BlocksAsked              int
}

// All tells whether every rule was met.
func (w RulesMet) All() bool { return w.CropShare && w.BlockShare && w.PlantsPerBlock }

// Met holds the looks of a week against the rules. A house in which nothing stood asks
// for nothing.
func (r Rules) Met(w LookedAt) RulesMet {
	m := RulesMet{PlantsAsked: partOf(r.CropPercent, w.Standing), BlocksAsked: partOf(r.BlocksPercent, w.StandingBlocks)}
	m.CropShare, m.BlockShare = w.Plants >= m.PlantsAsked, w.Blocks >= m.BlocksAsked
	m.PlantsPerBlock = w.Blocks > 0 && (w.Fewest == 0 || w.Fewest >= r.PlantsLeast) || m.BlocksAsked == 0
	return m
}
