package web

import (
	"context"
	"fmt"
	"strings"
	"time"

	"soundmetal/book"
	"soundmetal/demo"
	"soundmetal/job"
)

// DemoBook fills an empty book with the invented demo jobs and, where the shop
// says nothing yet, the invented shop. The keys are fixed: begun twice, it is
// filled once.
func DemoBook(ctx context.Context, b *book.Book, now time.Time) error {
	do := func(key string, cmd book.Command) (book.Result, error) { return b.Do(ctx, now, "demo-"+key, cmd) }
	data, err := demo.Files.ReadFile("shop.yaml")
	if err != nil {
		return err
	}
	if len(b.Registry().ShopFields()) == 0 {
		shop, err := book.FieldsOfShop("shop.yaml", data)
		if err != nil {
			return err
		}
		if _, err := do("shop", book.SetShop{Set: shop}); err != nil {
			return err
		}
	}
	for _, name := range []string{"fork", "tipper", "quarry-screen", "blade-arm"} {
		data, err := demo.Files.ReadFile(name + ".yaml")
		if err != nil {
			return err
		}
		set, items, err := book.FieldsOfJob(name+".yaml", data)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		c := book.NewJob{Set: set, Items: items, Demo: true, MachineFields: map[string]string{}, CustomerFields: map[string]string{}}
		for path, text := range set {
			if rest, ok := strings.CutPrefix(path, "machine."); ok && (rest == "kind" || rest == "model" || rest == "serial" || rest == "year") {
				c.MachineFields[rest] = text
			}
			if rest, ok := strings.CutPrefix(path, "customer."); ok && (rest == "name" || rest == "phone" || rest == "address") {
				c.CustomerFields[rest] = text
			}
		}
		if c.Units == "" {
			c.Units = job.Units(set["units"])
		}
		if _, err := do(name, c); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	return nil
}
