package stats

// LinearisedVariance is the variance alone, also for ratios that are no shares.
func (c Clusters) LinearisedVariance(population int) float64 { return c.linearisedVariance(population) }
