package imports

import (
	"benchtrail/domain"
)

// Import is the looks of one file, brought in together and undone together.
type Import struct {
	ID        domain.ID
	SiteID    domain.ID
	FileName  string
	FileHash  []byte // SHA-256 of the bytes
	Lines     int    // below the heading
	Looks     int
	Made      int // houses, blocks, suppliers, cultivars and lots made for it
	FirstOn   domain.Date
	LastOn    domain.Date
	Withdrawn string // why it was undone; its looks are withdrawn with it
}

// Check gives everything wrong with the import as domain.Faults, or nil.
func (x Import) Check() error {
	var f domain.Faults
	f.Need(!x.SiteID.IsZero(), "/site_id")
	f.Need(x.FileName != "", "/file_name")
	return f.Err()
}
