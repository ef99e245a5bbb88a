package simulation

import (
	"cmp"
	"slices"
)

// groups gives the cultivars in houses that have plants, in a fixed order, with
// what stands of them.
func (s *trialSeason) groups() ([]trialGroup, map[trialGroup][]*stand) {
	stands := map[trialGroup][]*stand{}
	for _, st := range s.spread.stands {
		g := s.groupOf(st)
		stands[g] = append(stands[g], st)
	}
	groups := make([]trialGroup, 0, len(stands))
	for g := range stands {
		groups = append(groups, g)
	}
	slices.SortFunc(groups, func(a, b trialGroup) int {
		return cmp.Or(cmp.Compare(a.house, b.house), cmp.Compare(a.cultivar, b.cultivar))
	})
	return groups, stands
}

func (s *trialSeason) groupOf(st *stand) trialGroup {
	return trialGroup{s.blocks[st.block].house, s.lots[st.lot].cultivar}
}

// visibleOn is the share of infested plants that somebody with this eye would see
// on all plants of the stands, on average over many looks: 0 to 1.
func visibleOn(stands []*stand, eye float64) float64 {
	seen, plants := 0.0, 0
	for _, st := range stands {
		for _, a := range st.plants {
			seen += eye * visible(a)
		}
		plants += len(st.plants)
	}
	return seen / float64(plants)
}

// alikeIn is the true correlation of two plants of one block in what somebody with
// this eye sees: the variance between the blocks (weighted by plants, over their
// number less one) as a part of it and the variance within them together. It is not
// known in one block or without an infested plant.
func alikeIn(stands []*stand, eye float64) (float64, bool) {
	blocks := map[int][]*stand{}
	plants := 0
	for _, st := range stands {
		blocks[st.block] = append(blocks[st.block], st)
		plants += len(st.plants)
	}
	p := visibleOn(stands, eye)
	if len(blocks) < 2 || p == 0 {
		return 0, false
	}
	between, within := 0.0, 0.0
	for _, st := range stands { // in a fixed order, so that sums come out the same
		in := blocks[st.block]
		if in[0] != st {
			continue
		}
		n := 0
		for _, x := range in {
			n += len(x.plants)
		}
		part, q := float64(n)/float64(plants), visibleOn(in, eye)
		between += part * (q - p) * (q - p)
		within += part * q * (1 - q)
	}
	between *= float64(len(blocks)) / float64(len(blocks)-1)
	return between / (between + within), true
}
