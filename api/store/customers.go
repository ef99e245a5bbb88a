package store

import (
	"context"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func customerTable() table[stock.Customer] {
	return table[stock.Customer]{
		name: "customer", columns: `t.id, t.name, t.country, t.note`,
		fields: func(x *stock.Customer) []any { return []any{&x.ID, &x.Name, &x.Country, &x.Note} },
	}
}

// PutCustomer stores a customer.
func (s *Store) PutCustomer(ctx context.Context, a Actor, p Put, x stock.Customer) (Saved[stock.Customer], error) {
	return save(ctx, s, a, p, customerTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		return domain.ID{}, upsert(ctx, tx, st, "customer", "name, country, note", x.Name, x.Country, x.Note)
	})
}

// Customer reads a customer.
func (s *Store) Customer(ctx context.Context, a Actor, id domain.ID) (Record[stock.Customer], error) {
	return get(ctx, s, a, customerTable(), id)
}

// Customers lists the customers.
func (s *Store) Customers(ctx context.Context, a Actor, page Page) (List[stock.Customer], error) {
	return list(ctx, s, a, customerTable(), page, "")
}
