package draw

import "time"

// Doc is a paper: its pages and what a reader program shows about it.
type Doc struct {
	Title   string
	Subject string
	Author  string
	Lang    string    // of the words: en
	Date    time.Time // when it was made; part of the file, so pass it in
	Pages   []*Drawing
	Marks   []Mark
}

// Mark is a place that a reader program lists.
type Mark struct {
	Page  int     // from 0
	Y     float64 // mm
	Title string
}
