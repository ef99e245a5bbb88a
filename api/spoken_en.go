package api

import (
	"fmt"

	"benchtrail/api/internal/wire"
	"benchtrail/domain"
	"benchtrail/domain/advice"
)

func english() spoken {
	return spoken{
		comma: ".", w: "W", of: "of", and: "and",
		months: [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"},
		blocks: plurals("block", "blocks"), plants: plurals("plant", "plants"), lots: plurals("lot", "lots"),

		due:     func(site string) string { return "Benchtrail: due at " + site },
		round:   "Round",
		roundOf: func(w domain.Week) string { return fmt.Sprintf("Round of week %d", w.Number) },
		planned: func(blocks, plants, minutes, walked int) string {
			return fmt.Sprintf("%s, %s, about %s; %d of %d blocks walked", plural(blocks, "block", "blocks"), plural(plants, "plant", "plants"), lasting(minutes), walked, blocks)
		},
		secondLook:  "Second look",
		claim:       "Claim",
		claimCloses: func(supplier string) string { return "Last hour for a claim: " + supplier },
		arrivedOn:   func(on domain.Date) string { return "Shipment of " + on.String() },
		hold:        "Hold",
		holdEnds:    func(lot string) string { return "Hold ends: lot " + lot },

		letterAbout: func(w domain.Week, site string) string { return fmt.Sprintf("Week %d at %s", w.Number, site) },
		greeting:    func(name string) string { return "Good morning, " + name + "." },
		stop:        "You get this letter because you asked for it on the page This week in Benchtrail. You can stop it there.",
		open:        "Open this week with its trends and looks", until: "until",
		order:     "Worst first by the lower end of the range, not by the percentage.",
		lotsTitle: "Lots that need a person", decisionsTitle: "Decided, and done?", dueTitle: "What is due",
		week: func(w domain.Week, from, to string) string {
			return fmt.Sprintf("Week %d, %s to %s", w.Number, from, to)
		},
		more: func(n int) string { return "and " + plural(n, "more lot", "more lots") },
		overOrNear: func(n int, all, kinds string) string {
			return fmt.Sprintf("%d of %s %s over or near the limit: %s", n, all, isAre(n), kinds)
		},
		noneOver: func(all string) string {
			return "None of " + all + " is over its limit, on the way there or too close to call"
		},
		over:    func(n int) string { return fmt.Sprintf("%d over it", n) },
		heading: func(n int) string { return fmt.Sprintf("%d likely to be over the next one", n) },
		near:    func(n int) string { return fmt.Sprintf("%d too close to call", n) },
		missed: func(n, planned int) string {
			return fmt.Sprintf("%d of %d planned blocks %s missed", n, planned, map[bool]string{true: "was", false: "were"}[n == 1])
		},
		noneMissed: "no planned block was missed", noPlan: "nothing was planned",
		adults:       func(houses string) string { return "adults on new growth in " + houses },
		inHouse:      func(house, counts string) string { return house + " (" + counts + " plants)" },
		noAdults:     func(plants string) string { return "no adults noted on new growth of " + plants },
		notLookedFor: "signs were not looked for",
		below:        func(n int) string { return fmt.Sprintf("%d %s below it or expected to stay there", n, isAre(n)) },
		unsettled:    func(n int) string { return fmt.Sprintf("of %d too few plants were looked at to tell", n) },
		stale:        func(n int) string { return fmt.Sprintf("%d not looked at for two weeks", n) },
		otherLots:    func(parts string) string { return "Of the other lots, " + parts + "." },
		looked: func(counts, organism, blocks string) string {
			return "Looked at in the week: " + counts + " plants with " + organism + ", in " + blocks + "."
		},
		notWalked: "Nobody looked at plants here in that week.",
		concern: map[advice.Concern]string{
			advice.OverLimit: "over its limit", advice.HeadingOver: "likely to be over the next limit", advice.NearLimit: "too close to call",
			advice.Unsettled: "too few plants", advice.WellBelow: "below the limit", advice.Unlimited: "no limit", advice.NotLookedAt: "not looked at for two weeks",
		},
		suggestion: map[advice.SuggestionCode]string{
			advice.LookAtMore: "look at more plants", advice.StayBiological: "stay with biological control", advice.DealWithHotSpots: "deal with the hot spots",
			advice.ConsiderSelective: "consider selective chemical control", advice.NothingToSay: "nothing to say yet",
		},
		choice: map[wire.DecisionChoice]string{
			"look_at_more": "Look at more plants", "stay_biological": "Stay with biological control", "deal_with_hot_spots": "Deal with the hot spots",
			"selective_control": "Selective chemical control", "something_else": "Something else",
		},
		share: func(week, counts, organism, share string) string {
			return week + ": " + counts + " plants have " + organism + ", " + share + "."
		},
		none: func(week, plants, organism, upper string) string {
			return week + ": no " + organism + " seen on " + plants + "; with 95 % confidence fewer than " + upper + " have it."
		},
		since: func(week, points, lower, upper string, said bool) string {
			if said {
				return fmt.Sprintf("Since %s %s points (%s to %s).", week, points, lower, upper)
			}
			return fmt.Sprintf("Since %s %s points (%s to %s): may be no change.", week, points, lower, upper)
		},
		chance: func(percent, on string) string {
			return "Chance of being over the limit on " + on + ": about " + percent + "."
		},
		decided: func(choice, cultivar, house, who, on string) string {
			return fmt.Sprintf("%s, %s in %s (%s, %s)", choice, cultivar, house, who, on)
		},
		done: func(on string) string { return "done " + on }, notDone: "not done yet",
		from: func(from, to string) string { return from + " to " + to },
	}
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}
