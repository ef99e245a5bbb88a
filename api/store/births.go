package store

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// bear makes the lots that begin with a split or merge. Those that are there
// already are left as they are: whether they can begin is for the book to say.
func bear(ctx context.Context, tx pgx.Tx, st stamp, m stock.Movement) error {
	births := m.Births()
	if len(births) == 0 {
		return nil
	}
	var there []domain.ID
	const known = `select array(select id from lot where organisation_id = $1 and id = any($2))`
	if err := tx.QueryRow(ctx, known, st.org, births).Scan(&there); err != nil {
		return fmt.Errorf("look for the lots: %w", err)
	}
	zone, err := siteZone(ctx, tx, st.org, m.SiteID)
	if err != nil {
		return err
	}
	for _, lot := range births {
		if slices.Contains(there, lot) {
			continue
		}
		if err := bearOne(ctx, tx, st, m, lot, domain.DateOf(m.MovedAt.In(zone))); err != nil {
			return err
		}
	}
	return nil
}

func bearOne(ctx context.Context, tx pgx.Tx, st stamp, m stock.Movement, lot domain.ID, on domain.Date) error {
	x := stock.Lot{ID: lot, SiteID: m.SiteID, BornBy: st.id}
	parent, code := m.LotID, m.Code
	for _, p := range m.Parts {
		if m.Kind == stock.Merge {
			parent = m.Parts[0].LotID
			x.Plants += p.Plants
		} else if p.LotID == lot {
			x.Plants += p.Plants
			if p.Code != "" {
				code = p.Code
			}
		}
	}
	var parentCode string
	const of = `select code, cultivar_id, season_id, form, supplier_id, arrived_on from lot where organisation_id = $1 and id = $2`
	err := tx.QueryRow(ctx, of, st.org, parent).Scan(&parentCode, &x.CultivarID, &x.SeasonID, &x.Form, &x.SupplierID, &x.ArrivedOn)
	if err != nil {
		return missing(err, "lot")
	}
	given := code != ""
	if !given {
		if m.Kind == stock.Merge {
			parentCode = ""
		}
		if code, err = bornCode(ctx, tx, st, x, parentCode, on); err != nil {
			return err
		}
	}
	own := stamp{st.org, lot, 1, st.at, st.by}
	// The site is the own of the lot; its first revision is the movement that made it.
	err = upsert(ctx, tx, own, "lot", `site_id, cultivar_id, season_id, code, code_given, form, plants, plants_on_hand, born_by, supplier_id, arrived_on, state`,
		x.SiteID, x.CultivarID, x.SeasonID, code, given, x.Form, x.Plants, 0, st.id, x.SupplierID, x.ArrivedOn, stock.NotBorn)
	if err != nil {
		return err
	}
	content := fmt.Sprintf(`{"cultivar_id": %q, "plants": %d, "code": %q}`, x.CultivarID, x.Plants, code)
	return keepRevision(ctx, tx, own, Put{ID: lot, Content: []byte(content)}, "lot", x.SiteID)
}

// bornCode gives the next free code after those that were given to children of
// the parent, or to merged lots of the week.
func bornCode(ctx context.Context, tx pgx.Tx, st stamp, x stock.Lot, parent string, on domain.Date) (string, error) {
	if _, err := tx.Exec(ctx, `select pg_advisory_xact_lock(hashtextextended($1::text, 2))`, x.SeasonID.String()); err != nil {
		return "", fmt.Errorf("wait for the codes of the season: %w", err)
	}
	prefix := strings.TrimSuffix(stock.BornCode(parent, on, 0), "0")
	rows, err := tx.Query(ctx, `select substring(code from char_length($3) + 1) from lot where organisation_id = $1 and season_id = $2 and starts_with(code, $3)`,
		st.org, x.SeasonID, prefix)
	if err != nil {
		return "", fmt.Errorf("find a code for the lot: %w", err)
	}
	taken, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		return "", fmt.Errorf("find a code for the lot: %w", err)
	}
	last := 0
	for _, text := range taken {
		if n, err := strconv.Atoi(text); err == nil {
			last = max(last, n)
		}
	}
	return stock.BornCode(parent, on, last+1), nil
}
