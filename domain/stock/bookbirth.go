package stock

import (
	"slices"
	"time"

	"benchtrail/domain"
)

// canBegin asks whether a lot can begin now with plants of the parent.
func (k *keeper) canBegin(at int, path string, parent, child *entry, plants int) (*Conflict, []int) {
	p, c := &parent.account, &child.account
	if child.alive() {
		with := child.receives
		if !child.arrival() {
			with = []int{slices.IndexFunc(k.movements, func(m *Movement) bool { return m.ID == c.Birth.MovementID })}
		}
		if ways := k.ways(p.Lot.ID, c.Lot.ID); len(ways) > 0 {
			return refuse(Circle, path+"/lot_id", c.Lot.ID, domain.ID{}, 0, plants, ways,
				"%d plants are of a lot that would descend from itself", plants)
		}
		return refuse(BornTwice, path+"/lot_id", c.Lot.ID, domain.ID{}, child.there(), plants, with,
			"the lot had begun before %s", k.movements[at].MovedAt.Format(time.DateOnly))
	}
	one, other := p.Lot.CultivarID, c.Lot.CultivarID
	if one != other && !one.IsZero() && !other.IsZero() {
		return refuse(OtherCultivar, path+"/lot_id", c.Lot.ID, domain.ID{}, 0, plants, nil,
			"%d plants are of another cultivar than the lot they would begin or join", plants)
	}
	return nil, nil
}

// ways gives the births through which the lot descends from the ancestor.
func (k *keeper) ways(lot, ancestor domain.ID) []int {
	seen, births := map[domain.ID]bool{}, map[domain.ID]bool{}
	var back func(id domain.ID) bool
	back = func(id domain.ID) bool {
		if seen[id] {
			return false
		}
		seen[id] = true
		found := false
		b := k.entries[id].account.Birth
		for _, parent := range b.Parents {
			if parent.LotID == ancestor || back(parent.LotID) {
				births[b.MovementID], found = true, true
			}
		}
		return found
	}
	back(lot)
	if len(births) == 0 {
		return nil
	}
	var all []int
	for i, m := range k.movements {
		if births[m.ID] {
			all = append(all, i)
		}
	}
	return all
}

// begin starts the lots born of a split or merge whose plants have moved.
func (k *keeper) begin(m *Movement) {
	composition := func(id domain.ID) Composition { return k.entries[id].account.Composition }
	all := portions(m.Parts)
	if m.Kind == Merge {
		k.start(m, m.LotID, all, mix(all, composition))
		for _, p := range all {
			k.entries[p.LotID].account.Tally.MergedAway += p.Plants
		}
		return
	}
	for _, child := range m.Births() {
		i := slices.IndexFunc(all, func(p Portion) bool { return p.LotID == child })
		k.start(m, child, []Portion{{m.LotID, all[i].Plants}}, composition(m.LotID))
		k.entries[m.LotID].account.Tally.SplitOff += all[i].Plants
	}
}

func (k *keeper) start(m *Movement, child domain.ID, parents []Portion, composition Composition) {
	a := &k.entries[child].account
	k.births++
	a.born = k.births
	a.Birth = Birth{m.MovedAt, m.ID, parents}
	a.Composition = composition
	for i, p := range parents {
		parent := &k.entries[p.LotID].account
		a.Tally.In += p.Plants
		parent.Children = append(parent.Children, child)
		if i == 0 {
			a.Steps = parent.Steps
		} else {
			a.Steps = a.Steps.both(parent.Steps)
		}
	}
}

// both gives the steps that two parents share, from the later moment.
func (s Steps) both(o Steps) Steps {
	later := func(x, y time.Time) time.Time {
		switch {
		case x.IsZero() || y.IsZero():
			return time.Time{}
		case x.Before(y):
			return y
		}
		return x
	}
	return Steps{
		later(s.StuckAt, o.StuckAt), later(s.RootedAt, o.RootedAt), later(s.PottedAt, o.PottedAt),
		later(s.PinchedAt, o.PinchedAt), later(s.SpacedAt, o.SpacedAt),
	}
}
