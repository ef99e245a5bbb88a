package api

import (
	"encoding/json"
	"fmt"
	"net/http"
	"reflect"
	"slices"
	"strconv"
	"time"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
)

// ListRevisions implements GET /revisions.
func (s *server) ListRevisions(c echo.Context, p wire.ListRevisionsParams) error {
	after := 0
	if p.After != "" {
		var err error
		if after, err = strconv.Atoi(p.After); err != nil || after < 0 {
			return store.ErrToken
		}
	}
	limit := orDefault(p.Limit, 50)
	// One more in front, to say what the first of the page changed.
	from := max(after-1, 0)
	found, err := s.Store.Revisions(c.Request().Context(), actorOf(c), p.RecordID, from, limit+1+(after-from))
	if err != nil {
		return err
	}
	if len(found) == 0 && after == 0 || len(found) > 0 && !mayRead(actorOf(c), found[0], p.RecordID) {
		return store.ErrNotFound
	}
	out := listOf[wire.Revision]{Items: []wire.Revision{}}
	var before map[string]any
	for _, r := range found {
		var body map[string]any
		if err := json.Unmarshal(r.Content, &body); err != nil {
			return fmt.Errorf("read revision %d: %w", r.Version, err)
		}
		var phone phoneSaid
		if r.Phone != nil {
			if err := json.Unmarshal(r.Phone, &phone); err != nil {
				return fmt.Errorf("read what a phone said of revision %d: %w", r.Version, err)
			}
		}
		if r.Version > after {
			if len(out.Items) == limit {
				next := strconv.Itoa(out.Items[limit-1].Version)
				out.Next = &next
				break
			}
			out.Items = append(out.Items, wire.Revision{
				Version: r.Version, Noun: r.Noun, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
				Made: phone.Made, SentAt: phone.SentAt, Body: body, Changed: changed(before, body),
			})
		}
		before = body
	}
	return c.JSON(http.StatusOK, out)
}

// changed gives the pointers of the top members that differ between two
// versions; for the first version, all of them.
func changed(before, after map[string]any) []string {
	pointers := []string{}
	for name, value := range after {
		if was, had := before[name]; !had || !same(was, value) {
			pointers = append(pointers, pointer([]string{name}))
		}
	}
	for name := range before {
		if _, has := after[name]; !has {
			pointers = append(pointers, pointer([]string{name}))
		}
	}
	slices.Sort(pointers)
	return pointers
}

// mayRead keeps the history of an account for owners and the person, and that
// of a token for owners and its maker.
func mayRead(a store.Actor, r store.Revision, record domain.ID) bool {
	switch r.Noun {
	case "account":
		return setup(a) || record == a.PersonID
	case "token":
		return setup(a) || r.RecordedBy.ID == a.PersonID
	}
	return true
}

// same reports whether two members say the same; a moment may be written with
// another offset and still be the moment it was.
func same(a, b any) bool {
	x, xIsText := a.(string)
	y, yIsText := b.(string)
	if xIsText && yIsText {
		s, errS := time.Parse(time.RFC3339, x)
		t, errT := time.Parse(time.RFC3339, y)
		if errS == nil && errT == nil {
			return s.Equal(t)
		}
	}
	return reflect.DeepEqual(a, b)
}
