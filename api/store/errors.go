package store

import (
	"errors"
	"fmt"
	"strings"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"benchtrail/domain"
)

// ErrNotFound says that there is no such record, or none that the actor may see.
var ErrNotFound = errors.New("no such record")

// ErrStale says that the record was changed since the version the caller knows.
var ErrStale = errors.New("the record has changed since")

// ErrDenied says that row-level security refused the row.
var ErrDenied = errors.New("not allowed at this site")

// Ended says that the last day of an account has passed.
type Ended struct{ On domain.Date }

func (e Ended) Error() string { return "the last day of the account was " + e.On.String() }

// ErrConflict says that the id already names something else.
var ErrConflict = errors.New("the id is already taken by another record")

// ErrToken says that a list cannot go on from the token given.
var ErrToken = errors.New("not a token of this list")

// Taken says that a value which must be unique is in use.
type Taken struct{ Fault domain.Fault }

func (t Taken) Error() string { return t.Fault.Path + ": " + t.Fault.Detail }

// The SQLSTATE codes that mean something to the callers (PostgreSQL manual, appendix A).
const (
	uniqueViolation      = "23505"
	foreignKeyViolation  = "23503"
	checkViolation       = "23514"
	insufficientRights   = "42501"
	readOnlyTransaction  = "25006"
	invalidParameter     = "22023"
	serializationFailure = "40001"
	deadlockDetected     = "40P01"
	demoOnly             = "BT001" // raised by our own trigger
)

func shouldRetry(err error) bool {
	var pg *pgconn.PgError
	return errors.As(err, &pg) && (pg.Code == serializationFailure || pg.Code == deadlockDetected)
}

// translate turns what the database refuses into what a caller can understand.
// Constraints are named table_field_fkey and table_field_key, so that the name
// leads to the member of the record that is wrong.
func translate(err error) error {
	if errors.Is(err, pgx.ErrNoRows) {
		return fmt.Errorf("%w: %w", ErrNotFound, err)
	}
	var pg *pgconn.PgError
	if !errors.As(err, &pg) {
		return err
	}
	field := strings.TrimPrefix(pg.ConstraintName, pg.TableName+"_")
	switch pg.Code {
	case foreignKeyViolation:
		name := strings.TrimSuffix(field, "_fkey")
		return domain.Faults{{Path: memberOf(pg.ConstraintName, name), Code: "not_found", Detail: "there is no such " + name + " here"}}
	case uniqueViolation:
		if strings.HasSuffix(field, "pkey") {
			return fmt.Errorf("%w: %w", ErrConflict, err)
		}
		name := strings.TrimSuffix(field, "_key")
		return Taken{domain.Fault{Path: "/" + name, Code: name + "_taken", Detail: "this " + name + " is already in use"}}
	case checkViolation:
		return domain.Faults{{Path: "", Code: "not_allowed", Detail: "the values do not go together"}}
	case insufficientRights, readOnlyTransaction:
		return fmt.Errorf("%w: %w", ErrDenied, err)
	case demoOnly:
		return domain.Faults{{Path: "/email", Code: "demo_only", Detail: "accounts of demo.example exist only in the demo"}}
	}
	return err
}

// memberOf gives the member of a record that names what a foreign key did not
// find: in most cases the one of the name.
func memberOf(constraint, name string) string {
	switch constraint {
	case "crop_organism_fkey":
		return "/main_organism_id"
	case "shipment_order_line_cultivar_fkey", "shipment_order_line_substitute_fkey":
		return "/order_lines"
	case "lot_farm_farm_fkey":
		return "/farm_ids"
	case "inspection_finding_organism_fkey":
		return "/findings"
	case "site_role_site_fkey":
		return "/roles"
	}
	return "/" + name + "_id"
}

func isNotFound(err error) bool { return errors.Is(err, ErrNotFound) }
