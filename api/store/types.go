package store

import (
	"time"

	"github.com/jackc/pgx/v5/pgtype"

	"benchtrail/domain"
)

// The domain says "not known" with a zero value, the database with null. These
// wrappers let pgx translate between the two wherever such a value is a
// parameter or is scanned, so that no query has to.

type idWrapper domain.ID

func (w idWrapper) UUIDValue() (pgtype.UUID, error) {
	return pgtype.UUID{Bytes: w, Valid: w != idWrapper{}}, nil
}

func (w *idWrapper) ScanUUID(v pgtype.UUID) error {
	*w = idWrapper{}
	if v.Valid {
		*w = v.Bytes
	}
	return nil
}

type dateWrapper domain.Date

func (w dateWrapper) DateValue() (pgtype.Date, error) {
	d := domain.Date(w)
	if d.IsZero() {
		return pgtype.Date{}, nil
	}
	return pgtype.Date{Time: d.Time(), Valid: true}, nil
}

func (w *dateWrapper) ScanDate(v pgtype.Date) error {
	*w = dateWrapper{}
	if v.Valid {
		*w = dateWrapper(domain.DateOf(v.Time))
	}
	return nil
}

type momentWrapper time.Time

func (w momentWrapper) TimestamptzValue() (pgtype.Timestamptz, error) {
	t := time.Time(w)
	return pgtype.Timestamptz{Time: t, Valid: !t.IsZero()}, nil
}

func (w *momentWrapper) ScanTimestamptz(v pgtype.Timestamptz) error {
	*w = momentWrapper{}
	if v.Valid {
		*w = momentWrapper(v.Time.UTC())
	}
	return nil
}

type encodePlan struct {
	next pgtype.EncodePlan
	wrap func(any) any
}

func (p *encodePlan) SetNext(next pgtype.EncodePlan) { p.next = next }

func (p *encodePlan) Encode(value any, buf []byte) ([]byte, error) {
	return p.next.Encode(p.wrap(value), buf)
}

type scanPlan struct {
	next pgtype.ScanPlan
	wrap func(any) any
}

func (p *scanPlan) SetNext(next pgtype.ScanPlan) { p.next = next }

func (p *scanPlan) Scan(src []byte, dst any) error { return p.next.Scan(src, p.wrap(dst)) }

func wrapValue(value any) any {
	switch v := value.(type) {
	case domain.ID:
		return idWrapper(v)
	case domain.Date:
		return dateWrapper(v)
	case time.Time:
		return momentWrapper(v)
	}
	return nil
}

func wrapTarget(target any) any {
	switch t := target.(type) {
	case *domain.ID:
		return (*idWrapper)(t)
	case *domain.Date:
		return (*dateWrapper)(t)
	case *time.Time:
		return (*momentWrapper)(t)
	}
	return nil
}

func registerTypes(m *pgtype.Map) {
	m.TryWrapEncodePlanFuncs = append([]pgtype.TryWrapEncodePlanFunc{
		func(value any) (pgtype.WrappedEncodePlanNextSetter, any, bool) {
			wrapped := wrapValue(value)
			return &encodePlan{wrap: wrapValue}, wrapped, wrapped != nil
		},
	}, m.TryWrapEncodePlanFuncs...)
	m.TryWrapScanPlanFuncs = append([]pgtype.TryWrapScanPlanFunc{
		func(target any) (pgtype.WrappedScanPlanNextSetter, any, bool) {
			wrapped := wrapTarget(target)
			return &scanPlan{wrap: wrapTarget}, wrapped, wrapped != nil
		},
	}, m.TryWrapScanPlanFuncs...)
}
