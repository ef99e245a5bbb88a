package simulation

import (
	"cmp"
	"encoding/binary"
	"math/rand/v2"
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stock"
)

// keeping goes once more over the records of a story, in time, and adds what its
// people did beside sticking and scouting: strikes, splits, merges, dispatches,
// holds, claims. It draws from a source of its own and lets no record of the story depend
// on it, so that every look finds what it would have found without. What the story
// tells of a lot in a block is written down for whatever lot the book has there.
type keeping struct {
	*story // the same season, but with a source and records of its own

	blockOf     map[domain.ID]int
	standing    map[spot]int // plants by the story
	portions    []*portion
	lives       map[domain.ID]*life
	looks       map[domain.ID]spot // where each was written down, for its corrections
	counts      []TrueCount        // those of the story that are still to come
	plans       []plan
	holds       []stock.Hold            // in force or lifted, those by verdicts among them
	inspected   map[domain.ID]domain.ID // by inspection its lot
	unrooted    map[domain.ID]int       // by lot, the cuttings that the story throws out as such
	papers      map[string]int          // numbers given, by kind
	quarantines []domain.ID             // by site
	customers   []domain.ID
	damaged     map[domain.ID][]arrival.ClaimItem // by shipment, what is still to be claimed
}

// spot is a lot in a block; the zero block is for what is not yet placed.
type spot struct{ lot, block domain.ID }

// portion is plants that the story has in one place and the book, perhaps under
// another name, in another.
type portion struct {
	told, kept spot
	plants     int
}

// life is what is known of a lot of the book.
type life struct {
	*lot
	shipments []domain.ID
	stuck     int
	ready     bool      // its strike is counted, or it came with roots
	lookedAt  bool      // the second look is done
	infested  bool      // by the latest look
	heldSince time.Time // by the latest verdict; zero when it does not hold
}

// plan is something to be done at a moment.
type plan struct {
	at time.Time
	do func(at time.Time)
}

// keepBook puts the records of the whole book in the place of those of the story.
func (s *story) keepBook(seed uint64) {
	var key [32]byte
	binary.LittleEndian.PutUint64(key[:], seed)
	binary.LittleEndian.PutUint64(key[8:], Year)
	own := *s
	own.rng = rand.New(rand.NewPCG(seed, Year+2)) //nolint:gosec // an invented season needs no secrets
	own.entropy = rand.NewChaCha8(key)
	own.events = make([]Event, 0, 2*len(s.events))
	own.truth.WeeklyCount = nil
	k := &keeping{
		story: &own, counts: s.truth.WeeklyCount, blockOf: map[domain.ID]int{}, standing: map[spot]int{}, lives: map[domain.ID]*life{}, looks: map[domain.ID]spot{},
		inspected: map[domain.ID]domain.ID{}, unrooted: map[domain.ID]int{}, papers: map[string]int{},
		damaged: map[domain.ID][]arrival.ClaimItem{},
	}
	for i, b := range k.blocks {
		k.blockOf[b.ID] = i
	}
	k.planAhead(s.events)
	for _, e := range s.events {
		k.until(e.At)
		k.tell(e)
	}
	if n := len(s.events); n > 0 {
		k.until(s.events[n-1].At.AddDate(0, 0, 1))
	}
	k.markHeld()
	*s = own
}

// planAhead notes what a person would know on the day from the records of that
// day, and plans what is done on set days.
func (k *keeping) planAhead(events []Event) {
	for _, e := range events {
		if m, ok := e.Record.(stock.Movement); ok && m.Reason == didNotRoot {
			k.unrooted[m.LotID] += m.Plants
		}
	}
	k.planNames()
	k.planWork()
	k.planBirths()
	k.planSales()
	k.planHolds()
}

// plan plans something for a moment at a site.
func (k *keeping) plan(at time.Time, do func(at time.Time)) {
	i, _ := slices.BinarySearchFunc(k.plans, at, func(p plan, at time.Time) int {
		return cmp.Or(p.at.Compare(at), -1) // after those of the same moment
	})
	k.plans = slices.Insert(k.plans, i, plan{at, do})
}

// until does what is planned up to the moment, and notes the true counts of the
// weeks that are over by then.
func (k *keeping) until(at time.Time) {
	for len(k.plans) > 0 && !k.plans[0].at.After(at) {
		p := k.plans[0]
		k.plans = k.plans[1:]
		k.countUntil(p.at)
		p.do(p.at)
	}
	k.countUntil(at)
}

// of gives the portions of what the story has in a place, in the order in which
// they came there.
func (k *keeping) of(told spot) []*portion {
	var of []*portion
	for _, p := range k.portions {
		if p.told == told && p.plants > 0 {
			of = append(of, p)
		}
	}
	return of
}

// put adds plants to what stands in a place.
func (k *keeping) put(told, kept spot, plants int) {
	for _, p := range k.portions {
		if p.told == told && p.kept == kept {
			p.plants += plants
			return
		}
	}
	k.portions = append(k.portions, &portion{told, kept, plants})
}

// tell writes a record of the story down as the book has it.
func (k *keeping) tell(e Event) {
	switch x := e.Record.(type) {
	case stock.Lot:
		if e.Corrects == 0 {
			i := slices.IndexFunc(k.lots, func(l *lot) bool { return l.ID == x.ID })
			k.lives[x.ID] = &life{lot: k.lots[i], shipments: []domain.ID{x.ShipmentID}}
		}
	case arrival.Inspection:
		if e.Corrects == 0 {
			k.inspected[x.ID] = x.LotID
			k.lives[x.LotID].lookedAt = k.lives[x.LotID].lookedAt || x.Occasion == arrival.SecondLook
			k.claimDamage(x, e.By)
		}
	case arrival.Verdict:
		k.sign(x, e.At)
	case scouting.Look:
		k.lookWhereItStands(&x, e.Corrects)
		e.Record = x
	case stock.Movement:
		k.move(e, x)
		return
	}
	k.events = append(k.events, e)
}
