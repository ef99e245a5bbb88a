package api

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"time"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/imports"
	"benchtrail/domain/scouting"
)

// mostImport is the largest body with a file: in base64 one of about 9 MB.
const mostImport = 12 << 20

// longestImport is when the storing of a file is given up: later than other requests,
// and just before the server would cut the answer off.
const longestImport = 55 * time.Second

// isImport tells the requests with a file.
func isImport(c echo.Context) bool {
	return c.Path() == base+"/import-readings" || c.Path() == base+"/imports/:id"
}

func importToWire(r store.Record[imports.Import]) wire.Import {
	x := r.Value
	return wire.Import{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy), SiteID: x.SiteID, FileName: x.FileName,
		Lines: x.Lines, Looks: x.Looks, Made: x.Made, FirstOn: x.FirstOn, LastOn: x.LastOn, WithdrawnBecause: x.Withdrawn,
	}
}

// GetImport implements GET /imports/{id}.
func (s *server) GetImport(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Import, importToWire)
}

// ListImports implements GET /imports.
func (s *server) ListImports(c echo.Context, p wire.ListImportsParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[imports.Import], error) {
		return s.Store.Imports(ctx, a, page, p.SiteID)
	}
	return list(c, p.Limit, p.After, read, importToWire)
}

// mostRefused is how many faults a refusal names; a reading names more.
const mostRefused = 1000

// importFile is a file as it was sent.
type importFile struct {
	body    wire.ImportBody
	content []byte
	hash    [sha256.Size]byte
}

func (s *server) importBody(raw []byte) (f importFile, err error) {
	if f.body, err = decode[wire.ImportBody](s.contract, raw); err != nil {
		return f, err
	}
	if f.content, err = base64.StdEncoding.DecodeString(f.body.Content); err != nil {
		return f, domain.Faults{{Path: "/content", Code: "wrong_form", Detail: "is not base64"}}
	}
	f.body.Content, f.hash = "", sha256.Sum256(f.content)
	return f, nil
}

// importPlace waits for a place to work on a file: each takes some ten times its size
// meanwhile.
func (s *server) importPlace(ctx context.Context) (done func(), err error) {
	select {
	case s.imports <- struct{}{}:
		return func() { <-s.imports }, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// readImport reads a file with the names of its site.
func (s *server) readImport(ctx context.Context, a store.Actor, f importFile) (imports.Reading, store.ForImport, error) {
	known, err := s.Store.ForImport(ctx, a, f.body.SiteID, f.hash[:])
	if err != nil {
		return imports.Reading{}, known, err
	}
	options, err := s.importOptions(f.body, known)
	if err != nil {
		return imports.Reading{}, known, err
	}
	return imports.Read(f.content, known.Known, options), known, nil
}

// mayImport reports whether the person brings looks in at the site.
func mayImport(a store.Actor, site domain.ID) bool {
	return slices.ContainsFunc(a.Roles, func(r store.SiteRole) bool {
		return (r.Role == store.Grower || r.Role == store.Owner) && (r.SiteID.IsZero() || r.SiteID == site)
	})
}

// ReadImport implements POST /import-readings.
func (s *server) ReadImport(c echo.Context) error {
	a := actorOf(c)
	ctx, cancel := context.WithTimeout(c.Request().Context(), longestImport)
	defer cancel()
	if !limits(a) {
		return errForbidden
	}
	raw, err := readBody(c, mostImport)
	if err != nil {
		return err
	}
	done, err := s.importPlace(ctx)
	if err != nil {
		return err
	}
	defer done()
	f, err := s.importBody(raw)
	if err != nil {
		return err
	}
	if !mayImport(a, f.body.SiteID) {
		return errForbidden
	}
	g, known, err := s.readImport(ctx, a, f)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, wire.ImportReading{
		Encoding: string(g.Encoding), Separator: named(separators, g.Separator), Decimal: named(decimals, g.Decimal), Dates: string(g.Dates),
		Headings: orEmpty(g.Headings), Columns: each(g.Columns, func(k imports.Kind) string { return string(k) }), Preview: each(g.Preview, orEmpty),
		Lines: g.Lines, Looks: len(g.Looks), BadLines: g.BadLines, MoreFaults: g.MoreFaults,
		Faults: each(g.Faults, importFaultToWire), Names: each(g.Names[:min(len(g.Names), imports.MostFaults)], importNameToWire),
		Same: each(known.Same, importToWire),
	})
}

func orEmpty(cells []string) []string {
	if cells == nil {
		return []string{}
	}
	return cells
}

func importFaultToWire(f imports.Fault) wire.ImportFault {
	return wire.ImportFault{
		Line: f.Line, Column: f.Column, Heading: f.Heading, Kind: wire.ImportKind(f.Kind), Code: f.Code, Value: f.Value, Detail: f.Detail,
	}
}

func importNameToWire(n imports.Name) wire.ImportName {
	return wire.ImportName{
		Kind: wire.ImportKind(n.Kind), Text: n.Text, ID: n.ID, Made: n.Made, Fault: wire.ImportNameFault(n.Fault), Line: n.OnLine, Lines: n.Lines,
	}
}

// PutImport implements PUT /imports/{id}. The file itself is no part of what is
// kept; its hash tells a repeat from another file.
func (s *server) PutImport(c echo.Context, id domain.ID, p wire.PutImportParams) error {
	a := actorOf(c)
	ctx, cancel := context.WithTimeout(c.Request().Context(), longestImport)
	defer cancel()
	if !limits(a) {
		return errForbidden
	}
	expected, err := versionOf(p.IfMatch)
	if err != nil {
		return err
	}
	raw, err := readBody(c, mostImport)
	if err != nil {
		return err
	}
	done, err := s.importPlace(ctx)
	if err != nil {
		return err
	}
	defer done()
	f, err := s.importBody(raw)
	if err != nil {
		return err
	}
	x := imports.Import{ID: id, SiteID: f.body.SiteID, FileName: f.body.FileName, FileHash: f.hash[:], Withdrawn: f.body.WithdrawnBecause}
	if err := x.Check(); err != nil {
		return err
	}
	put := store.Put{ID: id, Expected: expected, Apart: f.hash[:]}
	if put.Content, err = json.Marshal(f.body); err != nil {
		return fmt.Errorf("write the content down: %w", err)
	}
	var read imports.Reading
	if !mayImport(a, x.SiteID) {
		return errForbidden
	}
	here, err := s.Store.Import(ctx, a, id)
	switch {
	case errors.Is(err, store.ErrNotFound) && expected == 0: // else it is a repeat, or to be withdrawn
		if read, err = s.importToStore(ctx, a, f); err != nil {
			return err
		}
	case err != nil && !errors.Is(err, store.ErrNotFound):
		return err
	case err == nil && !mayImport(a, here.Value.SiteID): // whatever site the body names
		return errForbidden
	}
	saved, err := s.Store.PutImport(ctx, a, put, x, read, lookBody)
	if err != nil {
		return err
	}
	status := http.StatusOK
	if saved.Created {
		status = http.StatusCreated
	}
	return reply(c, answer{status, saved.Version, importToWire(saved.Record)})
}

// importToStore reads a file that is to be stored; its faults, if it has any, are
// those of the record.
func (s *server) importToStore(ctx context.Context, a store.Actor, f importFile) (imports.Reading, error) {
	if len(f.content) == 0 {
		return imports.Reading{}, domain.Faults{{Path: "/content", Code: "missing", Detail: "is needed"}}
	}
	if x := f.body.WithdrawnBecause; x != "" {
		return imports.Reading{}, domain.Faults{{Path: "/withdrawn_because", Code: "not_wanted", Detail: "only an import that is here can be withdrawn"}}
	}
	owners := []wire.ImportBodyMake{"house", "block"}
	if slices.ContainsFunc(f.body.Make, func(k wire.ImportBodyMake) bool { return slices.Contains(owners, k) }) && !a.OwnerAt(f.body.SiteID) {
		return imports.Reading{}, domain.Faults{{Path: "/make", Code: "needs_owner", Detail: "houses and blocks are for an owner to make"}}
	}
	read, known, err := s.readImport(ctx, a, f)
	if err != nil {
		return read, err
	}
	if len(known.Same) > 0 && !f.body.Again {
		same := known.Same[0]
		return read, domain.Faults{{
			Path: "/content", Code: "file_already_imported",
			Detail: fmt.Sprintf("the same file was imported on %s as %s", same.RecordedAt.Format(time.DateOnly), same.Value.FileName),
		}}
	}
	var faults domain.Faults
	for _, x := range read.Faults[:min(len(read.Faults), mostRefused)] {
		faults.Add(fmt.Sprintf("/content/lines/%d/%s", x.Line, x.Kind), x.Code, "%s", x.Detail)
	}
	if len(faults) == 0 && len(read.Looks) == 0 {
		faults.Add("/content", "empty", "there is no look in the file")
	}
	return read, faults.Err()
}

// lookBody gives the body of a PUT that would have stored the look.
func lookBody(x scouting.Look) ([]byte, error) {
	r := lookToWire(store.Record[scouting.Look]{ID: x.ID, Value: x})
	return json.Marshal(wire.LookBody{
		BlockID: r.BlockID, LotID: r.LotID, LookedAt: r.LookedAt, ObserverID: r.ObserverID, Purpose: wire.LookBodyPurpose(r.Purpose),
		Targets: r.Targets, Note: r.Note, SettledBecause: r.SettledBecause, CropStage: r.CropStage, HotSpot: r.HotSpot, Seconds: r.Seconds,
	})
}
