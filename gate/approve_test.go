package gate

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"soundmetal/job"
)

func TestApproval(t *testing.T) {
	crane := func(approval string) job.Job {
		j := clearJob()
		j.Machine.Kind, j.Items[0].Part, j.Items[0].Approval = "mobile crane", "crane boom", approval
		return j
	}
	for _, c := range []struct {
		name, approval string
		want           Class
	}{
		{"names maker, part, number", "maker's procedure 4711 for the crane boom", Condition},
		{"names engineer, part, date", "P. Elder, engineer, 3 Nov 2026: boom repair drawing", Condition},
		{"none", "", Escalate},
		{"another part", "maker's letter 12 of 3 Nov 2026 for the ROPS", Escalate},
		{"nobody named", "crane boom ok, number 12", Escalate},
		{"no date or number", "maker says crane boom may be welded", Escalate},
		{"only asked for", "asked the maker on 3 Nov about the crane boom", Escalate},
		{"refused", "maker refused the crane boom on 3 Nov", Escalate},
		{"spoken", "engineer told me by phone on 3 Nov, crane boom fine", Escalate},
		{"a waiver", "owner signed waiver 12, crane boom at own risk, engineer present", Escalate},
		{"hurry and money", "double pay if done by 6 pm", Escalate},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := crane(c.approval)
			v := Screen(j, j.Items[0])
			if v.Class != c.want {
				t.Errorf("got %s, want %s", v.Class, c.want)
			}
			if c.want == Escalate && c.approval != "" && !slices.Contains(askIDs(v), "approval") {
				t.Errorf("an approval that lifts nothing is not asked about")
			}
		})
	}
}

// An approval never lifts a refusal, whoever signs it.
func TestApprovalNeverLiftsARefusal(t *testing.T) {
	for _, r := range touchRules() {
		if r.class != Refuse {
			continue
		}
		if len(r.approvers)+len(r.subjects) > 0 || r.permit != "" {
			t.Errorf("%s: a refusal with an approver", r.id)
		}
		f := newFacts(clearJob(), job.Item{Approval: "maker, engineer, inspector, authority 2026-11-03 no 7: " + r.title})
		if got := f.approvalFor(r); got != "" {
			t.Errorf("%s lifted by %q", r.id, got)
		}
	}
	for _, r := range touchRules() {
		if r.class == Escalate && (len(r.approvers) == 0 || len(r.subjects) == 0) {
			t.Errorf("%s: nobody can lift this escalation", r.id)
		}
	}
}

// A hot-work permit lifts only the escalations that it is the answer to.
func TestHotWorkPermit(t *testing.T) {
	for rules, want := range map[job.SiteRule]Class{
		"mine": Condition, "landfill": Condition, "refinery": Condition, "ship": Condition,
		"rail": Escalate, "energised-plant": Escalate, "over-water": Escalate,
	} {
		j := clearJob()
		j.Site.Permit, j.Site.Rules, j.Site.Insured = job.Yes, []job.SiteRule{rules}, job.Yes
		if got := Screen(j, j.Items[0]).Class; got != want {
			t.Errorf("%s with a hot-work permit: got %s, want %s", rules, got, want)
		}
		j.Site.Permit = job.No
		if got := Screen(j, j.Items[0]).Class; got != Escalate {
			t.Errorf("%s without a permit: got %s, want escalate", rules, got)
		}
	}
}

// Hurry and a waiver change no class; the waiver adds the sentence why.
func TestWaiverAndHurryUnlockNothing(t *testing.T) {
	for _, part := range []string{"rim", "crane boom", "cross member", "side plate", ""} {
		j := clearJob()
		j.Items[0].Part = part
		before := Screen(j, j.Items[0])
		j.Wanted.Waiver, j.Wanted.By = job.Yes, "today, double pay"
		after := Screen(j, j.Items[0])
		if d := cmp.Diff(before.Findings, after.Findings); d != "" || before.Class != after.Class {
			t.Errorf("%q: waiver and hurry changed the verdict:\n%s", part, d)
		}
		if len(after.Notes) != 1 || !strings.Contains(after.Notes[0], "waiver") {
			t.Errorf("%q: no sentence on the waiver: %v", part, after.Notes)
		}
		if said := strings.Contains(after.CustomerText, phrase("waiver")); said != after.Class.Worse(Condition) {
			t.Errorf("%q: waiver in the customer text: %v for %s", part, said, after.Class)
		}
	}
}

// Once the approval is there the text to the customer no longer says no.
func TestCustomerTextAfterApproval(t *testing.T) {
	j := clearJob()
	j.Machine.Kind, j.Items[0].Part, j.Items[0].Approval = "mobile crane", "crane boom", "maker's procedure 4711 for the crane boom"
	text := Screen(j, j.Items[0]).CustomerText
	if strings.Contains(text, customerSentence("crane")) || !strings.Contains(text, phrase("approved-customer")) {
		t.Errorf("got %q", text)
	}
}
