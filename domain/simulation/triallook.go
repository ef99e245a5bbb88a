package simulation

import (
	"math/rand/v2"
	"slices"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/scouting"
	"benchtrail/domain/trend"
)

// trialLook is what somebody found on plants of one lot in one block.
type trialLook struct {
	stand            *stand
	plants, infested int
}

// trialArm is one way to scout: what it drew and what it has found so far.
type trialArm struct {
	rng     *rand.Rand
	samples map[trialGroup][]trend.Sample     // week by week
	blocks  map[trialGroup][]advice.BlockLook // of the latest week with looks
	found   map[stood]scouting.Found
	visited map[int]int // by block: the latest week
}

// stood is a stand in a week.
type stood struct {
	stand *stand
	week  int
}

func newTrialArm(rng *rand.Rand) *trialArm {
	return &trialArm{
		rng: rng, samples: map[trialGroup][]trend.Sample{}, blocks: map[trialGroup][]advice.BlockLook{},
		found: map[stood]scouting.Found{}, visited: map[int]int{},
	}
}

// sees reports whether somebody with this eye sees the pest on a plant.
func sees(rng *rand.Rand, a age, eye float64) bool {
	return a > 0 && rng.Float64() < eye*visible(a)
}

// halfOfBlocks draws half of the blocks of a house that have plants, and one more
// for each cultivar that is in none of them.
func (s *trialSeason) halfOfBlocks(rng *rand.Rand, house int) []int {
	var blocks []int
	for _, b := range s.houses[house].blocks {
		if s.spread.plantsIn(b) > 0 {
			blocks = append(blocks, b)
		}
	}
	rng.Shuffle(len(blocks), func(i, j int) { blocks[i], blocks[j] = blocks[j], blocks[i] })
	half := (len(blocks) + 1) / 2
	seen := map[int]bool{}
	chosen := blocks[:0:0]
	for i, b := range blocks {
		wanted := i < half
		for _, st := range s.spread.inBlock[b] {
			wanted = wanted || !seen[s.lots[st.lot].cultivar]
		}
		if !wanted {
			continue
		}
		chosen = append(chosen, b)
		for _, st := range s.spread.inBlock[b] {
			seen[s.lots[st.lot].cultivar] = true
		}
	}
	return chosen
}

// perBlock is how many plants the fixed way looks at in a block: the upper end of
// the published 15 to 20.
const perBlock = 20

// lookFixed looks at perBlock plants of each block, spread evenly over it from a
// random start.
func (s *trialSeason) lookFixed(rng *rand.Rand, blocks []int) []trialLook {
	var looks []trialLook
	for _, b := range blocks {
		there := s.spread.plantsIn(b)
		n := min(perBlock, there)
		step := float64(there) / float64(n)
		next, taken := rng.Float64()*step, 0
		eye := s.houses[s.blocks[b].house].observer
		before := 0
		for _, st := range s.spread.inBlock[b] {
			look := trialLook{stand: st}
			for ; taken < n && int(next) < before+len(st.plants); taken++ {
				look.plants++
				if sees(rng, st.plants[int(next)-before], eye) {
					look.infested++
				}
				next += step
			}
			before += len(st.plants)
			if look.plants > 0 {
				looks = append(looks, look)
			}
		}
	}
	return looks
}

// note adds the looks of a week to what the arm knows.
func (s *trialSeason) note(arm *trialArm, looks []trialLook) {
	clusters := map[trialGroup][]trend.Cluster{}
	inBlock := map[int]int{}
	for _, l := range looks {
		inBlock[l.stand.block] += l.plants
	}
	fresh := map[trialGroup]bool{}
	for _, l := range looks {
		g := s.groupOf(l.stand)
		if !fresh[g] {
			fresh[g], arm.blocks[g] = true, nil
		}
		arm.blocks[g] = s.alsoIn(arm.blocks[g], l, inBlock[l.stand.block])
		arm.found[stood{l.stand, s.week}] = scouting.Found{Plants: l.plants, Infested: l.infested}
		arm.visited[l.stand.block] = s.week
		clusters[g] = append(clusters[g], trend.Cluster{
			LotID: s.lots[l.stand.lot].id, BlockID: s.blocks[l.stand.block].id,
			Looks: 1, Plants: l.plants, Infested: l.infested, Standing: len(l.stand.plants),
		})
	}
	groups, stands := s.groups()
	for _, g := range groups {
		if len(clusters[g]) == 0 {
			continue
		}
		plants := 0
		blocks := map[int]bool{}
		for _, st := range stands[g] {
			plants += len(st.plants)
			blocks[st.block] = true
		}
		sample := trend.SampleOf(trialMonday(s.week), clusters[g], plants, len(blocks))
		arm.samples[g] = append(arm.samples[g], sample)
	}
}

// alsoIn adds a look to those of its block, of which there is one for all lots of a group.
func (s *trialSeason) alsoIn(blocks []advice.BlockLook, l trialLook, inBlock int) []advice.BlockLook {
	id := s.blocks[l.stand.block].id
	i := slices.IndexFunc(blocks, func(b advice.BlockLook) bool { return b.BlockID == id })
	if i < 0 {
		i, blocks = len(blocks), append(blocks, advice.BlockLook{BlockID: id, AllPlants: inBlock, AllStanding: s.spread.plantsIn(l.stand.block)})
	}
	blocks[i].Plants += l.plants
	blocks[i].Infested += l.infested
	return blocks
}

// trialReading is what an arm knows of a group.
type trialReading struct {
	group   trialGroup
	samples []trend.Sample
	trend.Reading
}

// lookedAt reports whether the group was looked at in the week.
func (r trialReading) lookedAt(monday domain.Date) bool {
	return len(r.samples) > 0 && r.samples[len(r.samples)-1].WeekStart == monday
}

// latest is the estimate of the latest week with looks.
func (r trialReading) latest() trend.Point { return r.Points[len(r.Points)-1] }

// read reads all that the arm has found so far.
func (s *trialSeason) read(arm *trialArm) ([]trialReading, error) {
	groups, _ := s.groups()
	groups = slices.DeleteFunc(groups, func(g trialGroup) bool { return len(arm.samples[g]) == 0 })
	samples := make([][]trend.Sample, len(groups))
	for i, g := range groups {
		samples[i] = arm.samples[g]
	}
	all, err := trend.ReadAll(samples)
	if err != nil {
		return nil, err
	}
	readings := make([]trialReading, len(groups))
	for i, g := range groups {
		readings[i] = trialReading{g, samples[i], all.Groups[i]}
	}
	return readings, nil
}
