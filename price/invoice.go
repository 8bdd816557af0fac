package price

import (
	"fmt"

	"soundmetal/job"
)

// Invoice is the bill of what was used, as the customer reads it.
type Invoice struct {
	Sheet
	Above Amount `json:"above"` // over the agreed not-to-exceed figure; zero: within it
}

// InvoiceText is an invoice with what the shop has to look at before it goes out.
type InvoiceText struct {
	Invoice Invoice  `json:"invoice"`
	Bill    Bill     `json:"bill"`              // with cost: for the shop
	Missing []string `json:"missing,omitempty"` // for the shop
}

// MakeInvoice bills what was used. The agreed cap is that of the quote and the
// change orders that were said yes to; a zero one is none. An invoice above it
// is made all the same, and says by how much: it needs a yes that is not there.
func MakeInvoice(u Used, shop job.Shop, t Terms, h Head, agreed Amount) (InvoiceText, error) {
	b, err := MakeBill(u, shop, t)
	if err != nil {
		return InvoiceText{}, err
	}
	text := InvoiceText{Invoice: Invoice{Sheet: sheet(b, shop, h)}, Bill: b, Missing: b.Missing}
	if agreed.IsZero() {
		return text, nil
	}
	if agreed.currency != b.Currency {
		return text, fmt.Errorf("agreed in %s and billed in %s: one job is priced in one currency", agreed.currency.name(), b.Currency.name())
	}
	if b.Total.Cmp(agreed) > 0 {
		if text.Invoice.Above, err = b.Total.Minus(agreed); err != nil {
			return text, err
		}
		text.Missing = append(text.Missing, fmt.Sprintf("the total is %s above the agreed %s: get a yes in writing first", text.Invoice.Above, agreed))
	}
	return text, nil
}
