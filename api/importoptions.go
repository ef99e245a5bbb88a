package api

import (
	"fmt"
	"time"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/imports"
)

// importOptions turns what a body says of how to read its file into the domain's.
func (s *server) importOptions(b wire.ImportBody, known store.ForImport) (imports.Options, error) {
	zone, err := known.Site.Location()
	if err != nil {
		return imports.Options{}, fmt.Errorf("the zone of the site: %w", err)
	}
	now := s.Clock()
	o := imports.Options{
		SiteID: b.SiteID, CropID: b.CropID, Encoding: imports.Encoding(b.Encoding), Separator: separators[b.Separator], Decimal: decimals[b.Decimal],
		Dates: imports.DateOrder(b.Dates), Always: map[imports.Kind]string{}, Zone: zone, Now: now, LastPosition: known.Last,
		Make: each(b.Make, func(k wire.ImportBodyMake) imports.Kind { return imports.Kind(k) }),
		SameAs: each(b.SameAs, func(x wire.ImportAlias) imports.Alias {
			return imports.Alias{Kind: imports.Kind(x.Kind), Name: x.Text, ID: x.ID}
		}),
		NewID: s.idsAt(now),
	}
	if b.Columns != nil {
		o.Columns = each(b.Columns, func(k string) imports.Kind { return imports.Kind(k) })
	}
	for _, x := range b.Always {
		o.Always[imports.Kind(x.Kind)] = x.Text
	}
	if o.CropID.IsZero() && len(known.Crops) > 0 {
		o.CropID = known.Crops[0].ID
	}
	return o, nil
}

// idsAt makes ids of one moment. Without random bits nothing could be made at all,
// so a zero id, which the database refuses, stands for that.
func (s *server) idsAt(now time.Time) func() domain.ID {
	return func() domain.ID {
		id, err := domain.NewID(now, s.Entropy)
		if err != nil {
			return domain.ID{}
		}
		return id
	}
}

var (
	separators = map[wire.ImportBodySeparator]rune{"comma": ',', "semicolon": ';', "tab": '\t', "bar": '|'}
	decimals   = map[wire.ImportBodyDecimal]rune{"point": '.', "comma": ','}
)

func named[K ~string](names map[K]rune, r rune) string {
	for name, is := range names {
		if is == r {
			return string(name)
		}
	}
	return ""
}
