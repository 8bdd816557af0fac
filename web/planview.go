package web

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"

	"soundmetal/book"
	"soundmetal/job"
	"soundmetal/plan"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/sketch"
	"soundmetal/sheet/view"
	"soundmetal/store"
)

// planned is a plan taken from the book, ready to be shown. It is not changed
// once it is made, but for the drawings kept with it.
type planned struct {
	plan  *plan.Plan
	job   job.Job
	shop  *job.Shop // as it was when the plan was made; nil: nothing was known of it
	items []view.Item

	mu   sync.Mutex
	svg  map[string]*drawn
	lead map[string]string // texts of the plan with the leading system first
}

type drawn struct {
	SVG, Title, Desc string
	W, H             float64
}

// planCache keeps the plans used last: reading one takes longer than showing it.
type planCache struct {
	mu   sync.Mutex
	all  map[store.Hash]*planned
	used []store.Hash
}

const keepPlans = 16

func (c *planCache) get(ctx context.Context, b *book.Book, v *book.PlanVersion) (*planned, error) {
	c.mu.Lock()
	p := c.all[v.Blob]
	c.mu.Unlock()
	if p != nil {
		return p, nil
	}
	file, err := b.Plan(ctx, v)
	if err != nil {
		return nil, err
	}
	p = &planned{plan: new(plan.Plan), svg: map[string]*drawn{}, lead: map[string]string{}}
	if err := json.Unmarshal(file.Plan, p.plan); err != nil {
		return nil, fmt.Errorf("plan %s cannot be read: %w", v.ID, err)
	}
	if p.job, err = job.Read("job", file.Job); err != nil {
		return nil, fmt.Errorf("the facts of plan %s cannot be read: %w", v.ID, err)
	}
	if len(file.Shop) > 0 {
		shop, err := job.ReadShop("shop", file.Shop)
		if err != nil {
			return nil, fmt.Errorf("the shop of plan %s cannot be read: %w", v.ID, err)
		}
		p.shop = &shop
	}
	if p.items, err = view.Items(p.plan, p.job); err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.all == nil {
		c.all = map[store.Hash]*planned{}
	}
	if c.all[v.Blob] == nil {
		c.all[v.Blob] = p
		c.used = append(c.used, v.Blob)
		if len(c.used) > keepPlans {
			delete(c.all, c.used[0])
			c.used = slices.Delete(c.used, 0, 1)
		}
	}
	return c.all[v.Blob], nil
}

// plan gives the plan in force, or nil where there is none.
func (r *request) plan() (*planned, error) {
	if v := r.job.Plan(); v != nil {
		return r.plans.get(r.Context(), r.Book, v)
	}
	return nil, nil
}

// in turns the figures of a text of the plan so that its system leads.
func (p *planned) in(text string) string {
	p.mu.Lock()
	defer p.mu.Unlock()
	s, ok := p.lead[text]
	if !ok {
		s = view.Lead(text, p.plan.Units)
		p.lead[text] = s
	}
	return s
}

// draw gives one drawing of a place (from 0); nil where the plan has none.
func (p *planned) draw(item int, name string) *drawn {
	if item < 0 || item >= len(p.items) {
		return nil
	}
	key := fmt.Sprintf("%d-%s", item, name)
	p.mu.Lock()
	defer p.mu.Unlock()
	if d, ok := p.svg[key]; ok {
		return d
	}
	all, err := p.items[item].Draw(sketch.Frame{Width: sketch.PhoneWidth, High: 80})
	for n, d := range map[string]*draw.Drawing{"part": all.Part, "end": all.End, "joint": all.Joint, "weld": all.Weld, "order": all.Order} {
		k := fmt.Sprintf("%d-%s", item, n)
		p.svg[k] = nil
		if d != nil && err == nil {
			p.svg[k] = &drawn{draw.SVG(d, "d"+k), d.Title, d.Desc, d.W, d.H}
		}
	}
	return p.svg[key]
}

// drawing serves a drawing by itself.
func (r *request) drawing() error {
	p, err := r.planOf(r.URL.Query().Get("plan"))
	if err != nil {
		return err
	}
	name, _ := strings.CutSuffix(r.PathValue("name"), ".svg")
	var d *drawn
	if p != nil {
		d = p.draw(r.itemIndex(p, r.PathValue("item")), name)
	}
	if d == nil {
		return missing("the plan has no such drawing")
	}
	h := r.w.Header()
	h.Set("Content-Type", "image/svg+xml; charset=utf-8")
	h.Set("Cache-Control", "private, max-age=86400")
	h.Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; sandbox")
	r.w.Write([]byte(d.SVG))
	return nil
}

// planOf gives a plan of the job by id; "" is the one in force.
func (r *request) planOf(id string) (*planned, error) {
	if id == "" {
		return r.plan()
	}
	v := r.job.PlanOf(id)
	if v == nil {
		return nil, missing("this job has no such plan")
	}
	return r.plans.get(r.Context(), r.Book, v)
}

// itemIndex is where a place stands in the plan: by its number from 1.
func (r *request) itemIndex(p *planned, number string) int {
	var n int
	if _, err := fmt.Sscanf(number, "%d", &n); err != nil {
		return -1
	}
	return n - 1
}
