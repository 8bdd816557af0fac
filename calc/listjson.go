package calc

import "encoding/json"

// ListJSON gives the methods with their values as one JSON array.
func ListJSON() ([]byte, error) {
	type value struct {
		Name    string   `json:"name"`
		Doc     string   `json:"doc"`
		Unit    string   `json:"unit,omitempty"`
		Words   []string `json:"words,omitempty"`
		Default string   `json:"default,omitempty"`
		Needed  bool     `json:"needed"`
	}
	type entry struct {
		Method string  `json:"method"`
		Title  string  `json:"title"`
		Values []value `json:"values"`
	}
	var all []entry
	for _, m := range methods {
		e := entry{Method: m.ID, Title: m.Title}
		for _, p := range m.allParams() {
			e.Values = append(e.Values, value{p.Name, p.Doc, p.Unit, p.Words, p.Default, p.Default == "" && !p.Option})
		}
		all = append(all, e)
	}
	return json.MarshalIndent(all, "", "  ")
}
