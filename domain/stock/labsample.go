package stock

import (
	"time"

	"benchtrail/domain"
)

// Result is what a laboratory answered.
type Result string

// The results of a sample.
const (
	Waiting  Result = "waiting"
	Found    Result = "found"
	NotFound Result = "not_found"
)

// LabSample is plants or parts of plants sent to a laboratory.
type LabSample struct {
	ID           domain.ID
	LotID        domain.ID
	BlockID      domain.ID // zero: not known
	TakenAt      time.Time
	Plants       int // it was taken from; 0 when nobody said
	SampleNumber string
	Laboratory   string
	LookedFor    string
	Result       Result
	ResultOn     domain.Date
	ReportNumber string
	Note         string
	Withdrawn    string

	SiteID domain.ID
}

// Check gives everything wrong with the sample as domain.Faults, or nil.
func (x LabSample) Check() error {
	var f domain.Faults
	f.Need(!x.LotID.IsZero(), "/lot_id")
	f.Need(!x.TakenAt.IsZero(), "/taken_at")
	if x.Plants < 0 {
		f.Add("/plants", "too_small", "%d plants is below 0", x.Plants)
	}
	switch x.Result {
	case Found, NotFound:
	case Waiting:
		if !x.ResultOn.IsZero() {
			f.Add("/result_on", "not_wanted", "a sample that waits for its result has no day of it")
		}
	default:
		f.Add("/result", "unknown_result", "%q is not a result", x.Result)
	}
	return f.Err()
}
