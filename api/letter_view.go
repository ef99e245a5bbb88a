package api

import (
	"fmt"
	"html/template"
	"net/mail"
	"net/url"
	"strings"
	texttemplate "text/template"
	"time"

	"benchtrail/api/internal/letter"
	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
)

// letterView is what a letter says, in words, before it is text or HTML.
type letterView struct {
	say      spoken
	Sections []sectionView
	title    string
}

// sectionView is one section in words.
type sectionView struct {
	Name, Week, Answer, Others string
	Lots                       []lotView
	More                       string
	Decisions                  []string
	Due                        []string
	Link                       string // of the page; empty where it is not known
}

type lotView struct{ Name, Where, Said, Advice string }

// mostInLetter is how many lots of a section a letter names.
const mostInLetter = 10

// add puts a section of a site into the letter, or all of them.
func (v *letterView) add(r *weekReading, section domain.ID, pages string) {
	for _, x := range r.sections() {
		if !section.IsZero() && x.ID != section {
			continue
		}
		s := v.section(r, x)
		if pages != "" {
			of := "none"
			if !x.ID.IsZero() {
				of = x.ID.String()
			}
			s.Link = strings.TrimSuffix(pages, "/") + "/week?" + url.Values{"site": {r.SiteID.String()}, "section": {of}, "week": {r.shown.Week.String()}}.Encode()
		}
		v.Sections = append(v.Sections, s)
	}
	if v.title == "" {
		v.title = v.say.letterAbout(r.shown.Week, r.Site)
	}
}

func (v *letterView) section(r *weekReading, x store.WeekSection) sectionView {
	say, read := v.say, r.sectionToWire(x)
	s := sectionView{Name: r.Site, Week: say.weekOf(r.shown.Week), Answer: say.answer(read), Others: say.others(read, r.organism)}
	if x.Name != "" {
		s.Name += ": " + x.Name
	}
	if x.Grower != "" {
		s.Name += ", " + x.Grower
	}
	for i, lot := range read.Listed {
		if i == mostInLetter {
			break
		}
		s.Lots = append(s.Lots, v.lot(r, lot))
	}
	if more := len(read.Listed) + read.MoreListed - len(s.Lots); more > 0 {
		s.More = say.more(more)
	}
	for _, d := range read.Decisions {
		s.Decisions = append(s.Decisions, say.decision(d))
	}
	if plan := read.Plan; plan.Blocks > 0 {
		s.Due = append(s.Due, say.roundOf(r.Present.Week)+": "+say.planned(plan.Blocks, plan.Plants, int(plan.Minutes+0.5), plan.BlocksDone))
	}
	soon := domain.DateOf(r.Now).AddDays(7)
	ofHere := func(lot domain.ID) bool {
		at := r.now[lot]
		for _, id := range at {
			if id == x.ID {
				return true
			}
		}
		return len(at) == 0
	}
	for _, look := range r.Due.SecondLooks {
		if !look.From.After(soon) && ofHere(look.LotID) {
			s.Due = append(s.Due, fmt.Sprintf("%s: %s %s, %s", say.secondLook, look.LotCode, r.Lots[look.LotID].Cultivar, say.between(look.From, look.To)))
		}
	}
	for _, hold := range r.Due.Holds {
		if ofHere(hold.LotID) {
			s.Due = append(s.Due, fmt.Sprintf("%s: %s. %s", say.hold, hold.LotCode, hold.Reason))
		}
	}
	for _, claim := range r.Due.Claims {
		if claim.SentAt.IsZero() {
			s.Due = append(s.Due, fmt.Sprintf("%s: %s, %s %s", say.claim, claim.Supplier, say.until, claim.ClosesAt.In(r.Now.Location()).Format("2006-01-02 15:04")))
		}
	}
	return s
}

func (v *letterView) lot(r *weekReading, lot wire.WeekLot) lotView {
	say := v.say
	out := lotView{Name: lot.Code + " " + lot.Cultivar + ": " + say.concern[advice.Concern(lot.Concern)], Said: say.lotSaid(lot, r.organism)}
	houses, blocks := []string{}, map[string]int{}
	for _, p := range lot.Places {
		if blocks[p.House]++; blocks[p.House] == 1 {
			houses = append(houses, p.House)
		}
	}
	for i, house := range houses {
		houses[i] = fmt.Sprintf("%s (%s)", house, say.blocks(blocks[house]))
	}
	out.Where = say.plants(lot.StandingPlants) + ", " + strings.Join(houses, ", ")
	var told []string
	for _, house := range lot.Houses {
		for key, i := range r.items {
			if key.house == house && key.cultivar == lot.CultivarID {
				told = append(told, r.Advice.Items[i].House+": "+say.suggestion[r.suggestion(i)])
			}
		}
	}
	out.Advice = strings.Join(told, "; ")
	return out
}

// letter makes the e-mail.
func (v letterView) letter(m Mail, to store.Actor, now time.Time, id string) letter.Letter {
	host := "benchtrail"
	if _, after, found := strings.Cut(m.From.Address, "@"); found {
		host = after
	}
	data := struct {
		Greeting, Stop, Order, LotsTitle, DecisionsTitle, DueTitle, Open string
		Sections                                                         []sectionView
	}{v.say.greeting(to.Name), v.say.stop, v.say.order, v.say.lotsTitle, v.say.decisionsTitle, v.say.dueTitle, v.say.open, v.Sections}
	var text, html strings.Builder
	for _, err := range []error{textLetter().Execute(&text, data), htmlLetter().Execute(&html, data)} {
		if err != nil {
			panic(err) // the templates and what they are given stand here side by side
		}
	}
	return letter.Letter{
		From: m.From, To: mail.Address{Name: to.Name, Address: to.Email}, Subject: v.title, Language: to.Language, Date: now,
		ID: id + "@" + host, Text: text.String(), HTML: html.String(),
	}
}

func textLetter() *texttemplate.Template {
	return texttemplate.Must(texttemplate.New("").Parse(`{{.Greeting}}
{{range .Sections}}
{{.Name}} - {{.Week}}
{{.Answer}}
{{.Others}}
{{if .Lots}}
{{$.LotsTitle}}. {{$.Order}}
{{range .Lots}}
* {{.Name}}
  {{.Where}}
  {{.Said}}
{{- if .Advice}}
  {{.Advice}}{{end}}
{{end}}{{if .More}}{{.More}}
{{end}}{{end}}{{if .Decisions}}
{{$.DecisionsTitle}}
{{range .Decisions}}* {{.}}
{{end}}{{end}}{{if .Due}}
{{$.DueTitle}}
{{range .Due}}* {{.}}
{{end}}{{end}}{{if .Link}}
{{.Link}}
{{end}}{{end}}
--
{{.Stop}}
`))
}

func htmlLetter() *template.Template {
	return template.Must(template.New("").Parse(`<!doctype html>
<html><body style="font:16px/1.5 Georgia,serif;color:#1d2226;background:#ffffff;max-width:42em">
<p>{{.Greeting}}</p>
{{range .Sections}}<h2 style="font-size:20px;margin:24px 0 0">{{.Name}}</h2>
<p style="margin:0;color:#50565b">{{.Week}}</p>
<p style="font-size:18px"><b>{{.Answer}}</b></p>
<p>{{.Others}}</p>
{{if .Lots}}<h3 style="font-size:16px;margin:16px 0 0">{{$.LotsTitle}}</h3>
<p style="margin:0;color:#50565b">{{$.Order}}</p>
<ol>{{range .Lots}}<li style="margin:8px 0"><b>{{.Name}}</b><br>{{.Where}}<br>{{.Said}}{{if .Advice}}<br>{{.Advice}}{{end}}</li>
{{end}}</ol>{{if .More}}<p>{{.More}}</p>{{end}}
{{end}}{{if .Decisions}}<h3 style="font-size:16px;margin:16px 0 0">{{$.DecisionsTitle}}</h3>
<ul>{{range .Decisions}}<li>{{.}}</li>
{{end}}</ul>
{{end}}{{if .Due}}<h3 style="font-size:16px;margin:16px 0 0">{{$.DueTitle}}</h3>
<ul>{{range .Due}}<li>{{.}}</li>
{{end}}</ul>
{{end}}{{if .Link}}<p><a href="{{.Link}}">{{$.Open}}</a></p>
{{end}}{{end}}<hr><p style="font-size:14px;color:#50565b">{{.Stop}}</p>
</body></html>
`))
}
