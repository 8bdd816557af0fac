package gate

import (
	"slices"
	"strings"
	"unicode"

	"soundmetal/job"
)

// approvalFor gives the approval that lifts the rule, or "" where none does. A
// refusal is never lifted. An approval counts where it names who gave it and
// what for, carries a date or number, and does not say that it is only asked
// for, spoken, refused or a waiver.
func (f *facts) approvalFor(r rule) string {
	if r.class != Escalate {
		return ""
	}
	if r.permit == "hot-work" && f.site.Permit == job.Yes {
		return "hot-work permit in hand"
	}
	text := strings.TrimSpace(f.item.Approval)
	if !strings.ContainsFunc(text, unicode.IsDigit) || len(approvalWords(text, denial)) > 0 {
		return ""
	}
	if !saysAny(text, r.approvers) || !saysAny(text, r.subjects) {
		return ""
	}
	return text
}

func approvalWords(text string, kind hitKind) []hit {
	return slices.DeleteFunc(
		find("approval", text, func(k keyword) bool { return k.in == "approval" }),
		func(h hit) bool { return h.kind != kind })
}

// saysAny says whether the text holds one of the phrases as whole words; @role
// stands for every word of keywords.csv with that meaning.
func saysAny(text string, phrases []string) bool {
	segments := tokenize(text)
	return slices.ContainsFunc(phrases, func(p string) bool {
		if role, ok := strings.CutPrefix(p, "@"); ok {
			return slices.ContainsFunc(find("approval", text, func(k keyword) bool { return k.in == "part" }), func(h hit) bool {
				return (h.kind == sure || h.kind == doubt) && slices.Contains(h.means, role)
			})
		}
		return slices.ContainsFunc(segments, func(s []token) bool { return contains(s, tokenize(p)) })
	})
}

// contains says whether the words of the phrase follow each other in the segment.
func contains(segment []token, phrase [][]token) bool {
	want := joined(phrase[0])
	for from := range segment {
		for to := from + 1; to <= len(segment) && to-from <= len(phrase[0])+1; to++ {
			if joined(segment[from:to]) == want {
				return true
			}
		}
	}
	return false
}
