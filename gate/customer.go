package gate

import (
	"slices"
	"strings"
	"unicode"

	"soundmetal/job"
)

const (
	longestName = 60 // characters of his words that the text to the customer repeats
	mostReasons = 3  // reasons in the text; more are for the phone
)

// customerText makes the paragraph to send: thanks, the answer, the worst
// reasons, and how it goes on. It holds no figure, so his own words are left
// out where they hold one.
func (f *facts) customerText(v Verdict) string {
	names := strings.NewReplacer("{part}", f.partName(), "{machine}", f.machineName())
	said := []string{names.Replace(phrase("thanks")), phrase(v.Class.String())}
	var reasons []string
	for _, one := range v.Findings {
		switch {
		case one.Approved != "":
			reasons = append(reasons, phrase("approved-customer"))
		case one.Class == v.Class || one.RuleID == "fire-ban":
			reasons = append(reasons, customerSentence(one.RuleID))
		}
	}
	reasons = unique(reasons)
	if len(reasons) > mostReasons {
		reasons = append(slices.Clone(reasons[:mostReasons]), phrase("more"))
	}
	said = append(said, reasons...)
	if f.wanted.Waiver == job.Yes && v.Class.Worse(Condition) {
		said = append(said, phrase("waiver"))
	}
	switch v.Class {
	case Refuse:
		said = append(said, phrase("refused-close"))
	case Escalate:
		said = append(said, phrase("open-close"))
	}
	return strings.Join(said, " ")
}

// ToCustomer is the sentence of one finding to the customer: polite, without a
// figure. It is empty where the rule has none.
func (f Finding) ToCustomer() string {
	if f.Approved != "" {
		return phrase("approved-customer")
	}
	i := slices.IndexFunc(touchRules(), func(r rule) bool { return r.id == f.RuleID })
	if i < 0 {
		return "" // a rule of the weather
	}
	return touchRules()[i].customer
}

func customerSentence(id string) string {
	return touchRules()[slices.IndexFunc(touchRules(), func(r rule) bool { return r.id == id })].customer
}

func (f *facts) partName() string {
	for _, s := range []string{f.item.Part, f.item.Name} {
		if s = plainWords(s); s != "" {
			return "the " + s
		}
	}
	return phrase("any-part")
}

func (f *facts) machineName() string {
	if s := plainWords(f.machine.Kind); s != "" {
		return "your " + s
	}
	return phrase("any-machine")
}

// plainWords gives his words where a sentence can hold them: on one line,
// without article, not long, without figures.
func plainWords(s string) string {
	words := strings.Fields(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || strings.ContainsRune(".!?;:", r) {
			return ' '
		}
		return r
	}, s))
	if len(words) > 1 && slices.Contains([]string{"the", "a", "an", "my", "our", "his"}, strings.ToLower(words[0])) {
		words = words[1:]
	}
	s = strings.Join(words, " ")
	if len([]rune(s)) > longestName || strings.ContainsFunc(s, unicode.IsNumber) {
		return ""
	}
	return s
}
