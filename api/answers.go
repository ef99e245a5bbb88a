package api

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
)

// A writer is how one noun is stored: who may do it, and what becomes of the
// bytes that were sent. PUT and the outbox share it.
type writer struct {
	may func(store.Actor) bool
	put func(ctx context.Context, a store.Actor, p store.Put, raw []byte) (answer, error)
}

// answer is a record on its way out.
type answer struct {
	status  int
	version int
	body    any
}

// checked values know what is wrong with them.
type checked interface{ Check() error }

// writerOf joins the three steps of a PUT: from the body to the domain's value,
// into the store, and back to the contract's record.
func writerOf[B any, V checked, R any](s *server, may func(store.Actor) bool, from func(domain.ID, B) V,
	save func(context.Context, store.Actor, store.Put, V) (store.Saved[V], error), to func(store.Record[V]) R,
) writer {
	return writer{may, func(ctx context.Context, a store.Actor, p store.Put, raw []byte) (answer, error) {
		body, err := decode[B](s.contract, raw)
		if err != nil {
			return answer{}, err
		}
		value := from(p.ID, body)
		if err := value.Check(); err != nil {
			return answer{}, err
		}
		// Marshalled anew, so that white space and the order of members are no difference.
		if p.Content, err = json.Marshal(body); err != nil {
			return answer{}, fmt.Errorf("write the content down: %w", err)
		}
		saved, err := save(ctx, a, p, value)
		if err != nil {
			return answer{}, err
		}
		status := http.StatusOK
		if saved.Created {
			status = http.StatusCreated
		}
		return answer{status, saved.Version, to(saved.Record)}, nil
	}}
}

func (s *server) put(c echo.Context, w writer, id domain.ID, ifMatch string) error {
	a := actorOf(c)
	if !w.may(a) {
		return errForbidden
	}
	expected, err := versionOf(ifMatch)
	if err != nil {
		return err
	}
	raw, err := readBody(c, mostBody)
	if err != nil {
		return err
	}
	done, err := w.put(c.Request().Context(), a, store.Put{ID: id, Expected: expected}, raw)
	if err != nil {
		return err
	}
	return reply(c, done)
}

func reply(c echo.Context, a answer) error {
	c.Response().Header().Set("ETag", strconv.Quote(strconv.Itoa(a.version)))
	return c.JSON(a.status, a.body)
}

// versionOf reads If-Match: nothing (0) or one version of ours.
func versionOf(ifMatch string) (int, error) {
	if ifMatch == "" {
		return 0, nil
	}
	version, err := strconv.Atoi(strings.Trim(ifMatch, `"`))
	if err != nil || version < 1 {
		return 0, errIfMatch
	}
	return version, nil
}

func get[V, R any](c echo.Context, id domain.ID,
	read func(context.Context, store.Actor, domain.ID) (store.Record[V], error), to func(store.Record[V]) R,
) error {
	record, err := read(c.Request().Context(), actorOf(c), id)
	if err != nil {
		return err
	}
	return reply(c, answer{http.StatusOK, record.Version, to(record)})
}

// listOf is a page of any list.
type listOf[R any] struct {
	Items []R     `json:"items"`
	Next  *string `json:"next"`
}

func list[V, R any](c echo.Context, limit wire.Limit, after wire.After,
	read func(context.Context, store.Actor, store.Page) (store.List[V], error), to func(store.Record[V]) R,
) error {
	page := store.Page{Limit: limit}
	if page.Limit == 0 {
		page.Limit = 50
	}
	if after != "" {
		text, err := base64.RawURLEncoding.DecodeString(after)
		if err != nil {
			return store.ErrToken
		}
		if page.After, err = domain.ParseID(string(text)); err != nil {
			return store.ErrToken
		}
	}
	found, err := read(c.Request().Context(), actorOf(c), page)
	if err != nil {
		return err
	}
	out := listOf[R]{Items: each(found.Items, to)}
	if !found.Next.IsZero() {
		next := base64.RawURLEncoding.EncodeToString([]byte(found.Next.String()))
		out.Next = &next
	}
	return c.JSON(http.StatusOK, out)
}

// each turns every element; it never gives nil, so that JSON says [].
func each[A, B any](from []A, turn func(A) B) []B {
	to := make([]B, 0, len(from))
	for _, x := range from {
		to = append(to, turn(x))
	}
	return to
}

func author(a store.Author) wire.Author { return wire.Author{ID: a.ID, Name: a.Name} }

func orDefault[T comparable](value, fallback T) T {
	var zero T
	if value == zero {
		return fallback
	}
	return value
}
