package gate

import (
	"regexp"
	"slices"
	"strings"
	"testing"
)

var (
	digit       = regexp.MustCompile(`\p{N}`)
	figureWords = regexp.MustCompile(`(?i)\b(degrees?|celsius|fahrenheit|amps?|ampere|volts?|mm|inch(es)?|preheat of|ksi|mpa|psi|bar)\b`)
	verdictWord = regexp.MustCompile(`(?i)\b(safe|certified|guaranteed)\b`)
)

// No text of a rule or to a customer holds a figure, and none says that
// something is safe, certified or guaranteed.
func TestTextsOfRules(t *testing.T) {
	for _, r := range touchRules() {
		for _, text := range append([]string{r.title, r.why, r.unlock, r.customer}, r.meanwhile...) {
			if digit.MatchString(text) || figureWords.MatchString(text) {
				t.Errorf("%s holds a figure: %s", r.id, text)
			}
			if verdictWord.MatchString(text) {
				t.Errorf("%s says a word that is not ours to say: %s", r.id, text)
			}
		}
		for name, text := range map[string]string{"title": r.title, "why": r.why, "unlock": r.unlock, "customer": r.customer} {
			if text == "" {
				t.Errorf("%s: no %s", r.id, name)
			}
		}
		if strings.Contains(r.customer, "\n") || regexp.MustCompile(`(?i)\b(abuse|your fault|you broke|careless|stupid)\b`).MatchString(r.customer) {
			t.Errorf("%s: customer text blames, or is more than a paragraph: %s", r.id, r.customer)
		}
		if r.class.Worse(Condition) && len(r.meanwhile) == 0 {
			t.Errorf("%s: says no and offers nothing", r.id)
		}
		if !slices.Contains([]string{"part", "machine", "site", "request", "papers"}, r.scope) {
			t.Errorf("%s: scope %q", r.id, r.scope)
		}
	}
	for id, text := range phrases() {
		if digit.MatchString(text) || verdictWord.MatchString(text) {
			t.Errorf("phrase %s: %s", id, text)
		}
	}
	for _, a := range askRows {
		if digit.MatchString(a.Text+a.Why) || verdictWord.MatchString(a.Text+a.Why) {
			t.Errorf("question %s: %s %s", a.ID, a.Text, a.Why)
		}
	}
	for _, s := range stepRows {
		if text := s.title + s.text + s.why + s.skip; verdictWord.MatchString(text) {
			t.Errorf("step %s: %s", s.id, text)
		}
	}
	for _, r := range append(slices.Clone(weatherRows), inspectRows...) {
		if text := r.title + r.why + r.unlock; verdictWord.MatchString(text) {
			t.Errorf("%s: %s", r.id, text)
		}
	}
}

// His own words may hold figures; the text to the customer leaves them out.
func TestCustomerTextHoldsNoFigure(t *testing.T) {
	j := clearJob()
	j.Machine.Kind, j.Items[0].Part, j.Items[0].Name = "D8 dozer, 40 t", "rim 24 in", "rim no. 3"
	text := Screen(j, j.Items[0]).CustomerText
	if digit.MatchString(text) || strings.Contains(text, "\n") {
		t.Errorf("figure or break in %q", text)
	}
	if !strings.Contains(text, "the part of your machine") {
		t.Errorf("no plain words instead: %q", text)
	}
}
