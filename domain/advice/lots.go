package advice

// LotCount is how many lots stand where to their limit.
type LotCount struct {
	Under, Over int
	CannotSay   int // the interval holds the limit, or too few plants were looked at
	NoLimit     int
}

// CountLots counts where lots stand, each by its answer. A lot is under its limit only
// where the whole interval is: a share under it is not enough.
func CountLots(answers []Answer) LotCount {
	var c LotCount
	for _, a := range answers {
		switch a.Standing {
		case Below:
			c.Under++
		case Above:
			c.Over++
		case NoLimit:
			c.NoLimit++
		default:
			c.CannotSay++
		}
	}
	return c
}
