// How the book works. Plants stand in pools: one for each lot and block, and one
// for each lot's plants that stand in no block. FoldBook sorts all movements once
// (bookorder.go) and enters them one after the other (booksteps.go). A movement
// takes plants from pools and puts them into pools; it is entered whole or not at
// all. One that asks for more than stands there, or for a lot not yet born, is set
// aside as a Conflict with its numbers and changes nothing; the rest goes on. A
// lot gets plants only at its birth, so its composition is fixed then and every
// sum telescopes: what a lot got is what it has, lost, sent away and passed on.
// Each pool remembers what took from it and what should have come but was set
// aside: these are the movements a conflict names beside its own. Holds are no
// part of the fold; they are laid over the book (hold.go).

package stock

import (
	"bytes"
	"cmp"
	"math/big"
	"slices"
	"time"

	"benchtrail/domain"
)

// State is how far a lot has come.
type State string

// The states of a lot.
const (
	NotBorn  State = "not_born" // no split or merge that could be entered made it
	Expected State = "expected" // named by papers only
	Received State = "received" // not yet stuck
	Stuck    State = "stuck"
	HasRoots State = "rooted"
	Potted   State = "potted"
	Gone     State = "gone" // none of its plants is left under its name
)

// Birth is how a lot began.
type Birth struct {
	At         time.Time // of an arrival its first receipt, zero while there is none
	MovementID domain.ID // the receipt, split or merge; zero as At
	Parents    []Portion // by id; empty for an arrival
}

// Tally counts the plants of a lot. In = Unplaced + Placed + Discarded +
// Dispatched + SplitOff + MergedAway + Lost - Gained.
type Tally struct {
	In         int // received (or by the papers, until then), or got at its birth
	Unplaced   int
	Placed     int
	Discarded  int
	Dispatched int
	SplitOff   int // became children
	MergedAway int // went into merged lots
	Gained     int // found by counts above the book
	Lost       int // found missing by counts
}

// OnHand counts the plants that are still there.
func (t Tally) OnHand() int { return t.Unplaced + t.Placed }

// Steps are the first moments of the work done on a lot; zero when not done. A
// child has its parent's; a merged lot has a step when all its parents had it,
// from the latest of them.
type Steps struct {
	StuckAt, RootedAt, PottedAt, PinchedAt, SpacedAt time.Time
}

// Strike is how many of the cuttings stuck have roots. It takes no plants off:
// those without roots leave by a discard or a count.
type Strike struct {
	Stuck, Rooted int
}

// Recount is a count and the difference it made.
type Recount struct {
	MovementID domain.ID
	BlockID    domain.ID // zero: the plants not placed
	At         time.Time
	Booked     int // stood there by the book
	Found      int
}

// Account is the life of one lot.
type Account struct {
	Lot         Lot
	State       State
	Birth       Birth
	Tally       Tally
	Placements  []Placement // by block and time; those of one block never overlap
	Steps       Steps
	Strike      Strike // by its own counts; 0 of 0 when never counted
	Composition Composition
	Recounts    []Recount   // in time
	Children    []domain.ID // lots that were split or merged from it, in the order of their birth
	Movements   []domain.ID // entered, in time
	born        int         // its place in the order of births; parents come before children
}

func (a *Account) arrival() bool { return !a.Lot.ShipmentID.IsZero() }

// Book is what all movements of a set of lots add up to.
type Book struct {
	Accounts  []Account // by id of the lot
	Conflicts []Conflict
}

// Account gives the account of a lot; false when the book does not know it.
func (b Book) Account(lot domain.ID) (Account, bool) {
	a := b.find(lot)
	if a == nil {
		return Account{}, false
	}
	return *a, true
}

// InOrder gives the accounts with parents before their children.
func (b Book) InOrder() []Account {
	accounts := slices.Clone(b.Accounts)
	slices.SortStableFunc(accounts, func(x, y Account) int { return cmp.Compare(x.born, y.born) })
	return accounts
}

func (b Book) find(lot domain.ID) *Account {
	i, found := slices.BinarySearchFunc(b.Accounts, lot, func(a Account, id domain.ID) int { return bytes.Compare(a.Lot.ID[:], id[:]) })
	if !found {
		return nil
	}
	return &b.Accounts[i]
}

// FoldBook turns all movements of lots related by splits and merges into their
// book, in whatever order both are given; ids are unique among each. A lot with a
// shipment arrived: it starts with the plants of its papers, and its first
// receipt puts the count of the dock in their place. A lot without a shipment was
// born here and has no plants before its split or merge. Withdrawn movements do
// not count. Every other one is entered in the accounts or is in Conflicts.
func FoldBook(lots []Lot, movements []Movement) Book {
	k := keeper{entries: make(map[domain.ID]*entry, len(lots)), circles: map[domain.ID][]int{}}
	for _, lot := range lots {
		k.entries[lot.ID] = newEntry(lot)
	}
	k.order(movements)
	k.enterAll()
	b := Book{Conflicts: k.conflicts}
	for _, e := range k.entries {
		e.close()
		b.Accounts = append(b.Accounts, e.account)
	}
	slices.SortFunc(b.Accounts, func(x, y Account) int { return bytes.Compare(x.Lot.ID[:], y.Lot.ID[:]) })
	return b
}

// keeper enters movements into the accounts.
type keeper struct {
	entries   map[domain.ID]*entry
	movements []*Movement // those that count, in order
	conflicts []Conflict
	births    int
	circles   map[domain.ID][]int // see circle; found once per lot
}

// entry is an account while the book is being written.
type entry struct {
	account  Account
	pools    map[domain.ID]*pool // by block; the zero id for what is not placed
	claims   []int               // the movements that say the lot began with them
	receives []int
	received bool
}

// pool is the plants of one lot in one place.
type pool struct {
	lot    domain.ID
	block  domain.ID
	plants int
	since  time.Time
	past   []Placement
	took   []int // movements that took plants since the last count
	missed []int // movements that were to bring plants and were set aside
	asked  int   // by the movement being entered
}

func newEntry(lot Lot) *entry {
	e := &entry{account: Account{Lot: lot}, pools: map[domain.ID]*pool{}}
	if e.arrival() {
		e.account.Tally.In = lot.Plants
		e.account.Composition = Composition{{lot.ID, big.NewRat(1, 1)}}
		e.pool(domain.ID{}).plants = lot.Plants
	}
	return e
}

func (e *entry) arrival() bool { return e.account.arrival() }

func (e *entry) alive() bool { return e.arrival() || e.account.born > 0 }

func (e *entry) pool(block domain.ID) *pool {
	p := e.pools[block]
	if p == nil {
		p = &pool{lot: e.account.Lot.ID, block: block}
		e.pools[block] = p
	}
	return p
}

// there counts the lot's plants wherever they stand.
func (e *entry) there() int {
	plants := 0
	for _, p := range e.pools {
		plants += p.plants
	}
	return plants
}

// set changes what stands in the pool from a moment on.
func (p *pool) set(at time.Time, plants int) {
	if p.plants > 0 && p.since.Before(at) && !p.block.IsZero() {
		p.keep(Placement{p.lot, p.block, p.since, at, p.plants})
	}
	p.plants, p.since = plants, at
}

// keep adds a placement to those past; one that goes on as before is not a new one.
func (p *pool) keep(next Placement) {
	if n := len(p.past); n > 0 && p.past[n-1].Plants == next.Plants && p.past[n-1].To.Equal(next.From) {
		p.past[n-1].To = next.To
		return
	}
	p.past = append(p.past, next)
}

// close draws the line under the account.
func (e *entry) close() {
	a := &e.account
	for block, p := range e.pools {
		if block.IsZero() {
			a.Tally.Unplaced = p.plants
			continue
		}
		if p.plants > 0 {
			p.keep(Placement{a.Lot.ID, block, p.since, time.Time{}, p.plants})
		}
		a.Tally.Placed += p.plants
		a.Placements = append(a.Placements, p.past...)
	}
	slices.SortFunc(a.Placements, func(x, y Placement) int {
		return cmp.Or(bytes.Compare(x.BlockID[:], y.BlockID[:]), x.From.Compare(y.From))
	})
	a.State = e.state()
}

func (e *entry) state() State {
	a := &e.account
	switch {
	case !e.alive():
		return NotBorn
	case e.arrival() && len(a.Movements) == 0:
		return Expected
	case a.Tally.OnHand() == 0:
		return Gone
	case !a.Steps.PottedAt.IsZero():
		return Potted
	case !a.Steps.RootedAt.IsZero():
		return HasRoots
	case !a.Steps.StuckAt.IsZero():
		return Stuck
	}
	return Received
}
