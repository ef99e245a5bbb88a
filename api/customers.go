package api

import (
	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func customerFromWire(id domain.ID, b wire.CustomerBody) stock.Customer {
	return stock.Customer{ID: id, Name: b.Name, Country: b.Country, Note: b.Note}
}

func customerToWire(r store.Record[stock.Customer]) wire.Customer {
	return wire.Customer{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		Name: r.Value.Name, Country: r.Value.Country, Note: r.Value.Note,
	}
}

func (s *server) customers() writer {
	return writerOf(s, daily, customerFromWire, s.Store.PutCustomer, customerToWire)
}

// PutCustomer implements PUT /customers/{id}.
func (s *server) PutCustomer(c echo.Context, id domain.ID, p wire.PutCustomerParams) error {
	return s.put(c, s.customers(), id, p.IfMatch)
}

// GetCustomer implements GET /customers/{id}.
func (s *server) GetCustomer(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Customer, customerToWire)
}

// ListCustomers implements GET /customers.
func (s *server) ListCustomers(c echo.Context, p wire.ListCustomersParams) error {
	return list(c, p.Limit, p.After, s.Store.Customers, customerToWire)
}
