package book

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"io"

	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/store"
)

// PlanFile is a plan with the facts and the shop that it was made of, as it is
// kept: JSON, gzipped, under the hash of its bytes.
type PlanFile struct {
	Version int             `json:"version"` // of this file; 1
	Job     json.RawMessage `json:"job"`     // the job file, see docs/job-format.md
	Shop    json.RawMessage `json:"shop,omitempty"`
	Plan    json.RawMessage `json:"plan"` // see docs/plan-format.md
}

const maxPlanFile = 32 << 20 // bytes unpacked

// made is a plan that a command has made.
type made struct {
	id     string
	blob   []byte
	limits Limits
}

// plan makes the plan of the facts; nil where there is no damaged place yet. The
// error is a *Refusal that names the field.
func (d *desk) plan(f *Facts) (*made, error) {
	j, ids, ok, err := f.Job()
	if err != nil || !ok {
		return nil, err
	}
	registry := d.view.Registry()
	shop, err := registry.Shop()
	if err != nil {
		return nil, err
	}
	sys := q.SI
	if j.Units == job.US {
		sys = q.US
	}
	p, err := plan.Make(j, shop, sys)
	if err != nil {
		return nil, refuse(CodeState, "", "no plan can be made of these facts: %v", err)
	}
	m := &made{id: d.newID("p"), limits: limitsOf(p, j, ids)}
	if d.price != nil {
		if money, ok := d.price(j, shop, p); ok {
			m.limits.Price = &money
		}
	}
	document, _, err := f.Document()
	if err != nil {
		return nil, err
	}
	shopFile, err := shopDocument(registry.ShopFields())
	if err != nil {
		return nil, err
	}
	if m.blob, err = packPlan(document, shopFile, p); err != nil {
		return nil, err
	}
	return m, nil
}

// log adds the plan to a job.
func (m *made) log(d *desk, jobID, change, why string) error {
	d.out.Blobs = append(d.out.Blobs, m.blob)
	return d.put(KindPlan, jobID, PlanMade{ID: m.id, Blob: store.HashOf(m.blob), Change: change, Why: why, Limits: m.limits})
}

func packPlan(document, shop []byte, p *plan.Plan) ([]byte, error) {
	body, err := encode(p)
	if err != nil {
		return nil, err
	}
	file, err := encode(PlanFile{1, document, shop, body})
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	if _, err := z.Write(file); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// ReadPlanFile unpacks a plan as it is kept.
func ReadPlanFile(blob []byte) (PlanFile, error) {
	var f PlanFile
	z, err := gzip.NewReader(bytes.NewReader(blob))
	if err != nil {
		return f, fmt.Errorf("not a kept plan: %w", err)
	}
	data, err := io.ReadAll(io.LimitReader(z, maxPlanFile+1))
	if err != nil {
		return f, fmt.Errorf("not a kept plan: %w", err)
	}
	if len(data) > maxPlanFile {
		return f, fmt.Errorf("a kept plan of more than %d bytes is not read", maxPlanFile)
	}
	if err := json.Unmarshal(data, &f); err != nil {
		return f, fmt.Errorf("not a kept plan: %w", err)
	}
	return f, nil
}
