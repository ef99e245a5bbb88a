package store_test

import (
	"math/big"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// Whatever phones bring, in whatever order: every record that was acknowledged is
// there, and what was written of the book is what its movements add up to.
func TestTheBookAsWrittenIsWhatItsMovementsAddUpTo(t *testing.T) {
	t.Parallel()
	ownerURL, programURL := cluster.Database(t)
	st := store.New(storetest.Pool(t, programURL), storetest.Now)
	owner := connect(t, ownerURL)
	names := 0
	rapid.Check(t, func(rt *rapid.T) {
		names++
		f := storetest.Fill(t, st, "Fernhollow "+string(rune('a'+names%26)))
		lots := []domain.ID{f.Lot, f.OtherLot, f.Child}
		blocks := []domain.ID{{}, f.Block, f.OtherBlock}
		kept := []domain.ID{f.Movement, f.Split, f.TooMany}
		for range rapid.IntRange(1, 12).Draw(rt, "movements") {
			m := drawMovement(rt, t, f, lots, blocks)
			_, err := st.KeepMovement(t.Context(), f.Owner, store.Put{ID: m.ID, Content: []byte(`{}`)}, m)
			require.NoError(rt, err)
			kept = append(kept, m.ID)
			lots = append(lots, m.Births()...)
		}
		requireBook(rt, t, st, owner, f, kept)
	})
}

func drawMovement(rt *rapid.T, t *testing.T, f storetest.Filled, lots, blocks []domain.ID) stock.Movement {
	block := rapid.SampledFrom(blocks)
	m := stock.Movement{
		ID: storetest.NewID(t), LotID: rapid.SampledFrom(lots).Draw(rt, "lot"), Plants: rapid.IntRange(1, 700).Draw(rt, "plants"),
		MovedAt: f.StuckAt.Add(time.Duration(rapid.IntRange(-48, 480).Draw(rt, "hours")) * time.Hour), Reason: "drawn",
		Kind: rapid.SampledFrom([]stock.Kind{stock.Move, stock.Discard, stock.Dispatch, stock.Count, stock.Split, stock.Merge}).Draw(rt, "kind"),
	}
	switch m.Kind {
	case stock.Move:
		m.FromBlockID, m.ToBlockID = f.Block, f.OtherBlock
	case stock.Dispatch:
		m.CustomerID, m.FromBlockID = f.Customer, block.Draw(rt, "from")
	case stock.Split:
		m.Parts = []stock.Part{{LotID: storetest.NewID(t), Plants: m.Plants, FromBlockID: block.Draw(rt, "from"), ToBlockID: block.Draw(rt, "to")}}
	case stock.Merge:
		pair := rapid.Permutation(lots).Draw(rt, "parents")
		m.LotID = storetest.NewID(t)
		m.Parts = []stock.Part{{LotID: pair[0], Plants: m.Plants, FromBlockID: block.Draw(rt, "one")}, {LotID: pair[1], Plants: 7, FromBlockID: block.Draw(rt, "other")}}
		m.Plants += 7
	default:
		m.FromBlockID = block.Draw(rt, "from")
	}
	return m
}

func requireBook(rt *rapid.T, t *testing.T, st *store.Store, owner *pgx.Conn, f storetest.Filled, kept []domain.ID) {
	org := f.Owner.OrganisationID
	var movements []stock.Movement
	for _, id := range kept {
		m, err := st.Movement(t.Context(), f.Owner, id)
		require.NoError(rt, err, "an acknowledged record is gone")
		movements = append(movements, m.Value)
	}
	all, err := st.Lots(t.Context(), f.Owner, store.Page{Limit: 200}, store.LotFilter{})
	require.NoError(rt, err)
	var lots []stock.Lot
	for _, r := range all.Items {
		lots = append(lots, r.Value)
	}
	book := stock.FoldBook(lots, movements)
	aside := map[domain.ID]stock.Code{}
	for _, c := range book.Conflicts {
		aside[c.Movement.ID] = c.Code
	}
	for _, m := range movements {
		if m.Aside == nil {
			require.Empty(rt, aside[m.ID])
			continue
		}
		require.Equal(rt, aside[m.ID], m.Aside.Code)
	}
	for _, a := range book.Accounts {
		var w stock.Tally
		const q = `select received, unplaced, placed, discarded, dispatched, split_off, merged_away, gained, lost from lot_account
			where organisation_id = $1 and lot_id = $2`
		require.NoError(rt, owner.QueryRow(t.Context(), q, org.String(), a.Lot.ID.String()).Scan(
			&w.In, &w.Unplaced, &w.Placed, &w.Discarded, &w.Dispatched, &w.SplitOff, &w.MergedAway, &w.Gained, &w.Lost))
		require.Equal(rt, a.Tally, w)
		rows, err := owner.Query(t.Context(), `select numerator::text || '/' || denominator::text from lot_share where organisation_id = $1 and lot_id = $2`,
			org.String(), a.Lot.ID.String())
		require.NoError(rt, err)
		shares, err := pgx.CollectRows(rows, pgx.RowTo[string])
		require.NoError(rt, err)
		sum := new(big.Rat)
		for _, s := range shares {
			part, ok := new(big.Rat).SetString(s)
			require.True(rt, ok, s)
			sum.Add(sum, part)
		}
		require.Equal(rt, a.Composition.Sum().String(), sum.String())
		if a.State != stock.NotBorn {
			require.Equal(rt, "1/1", sum.String())
		}
		var standing int
		require.NoError(rt, owner.QueryRow(t.Context(), `select coalesce(sum(plants), 0)::int from placement where organisation_id = $1 and lot_id = $2 and to_at is null`,
			org.String(), a.Lot.ID.String()).Scan(&standing))
		require.Equal(rt, a.Tally.Placed, standing)
	}
}
