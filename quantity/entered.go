package quantity

// Entered is a value with the words it was entered in. The words are what is
// stored and shown again, the value is what is calculated with; neither is made
// from the other twice, so nothing drifts.
type Entered[T ~float64] struct {
	V  T
	As string // as written
}

// ReadEntered reads a value and keeps the words.
func ReadEntered[T ~float64](text string, as ReadAs) (Entered[T], error) {
	v, err := Read[T](text, as)
	if err != nil {
		return Entered[T]{}, err
	}
	return Entered[T]{v, text}, nil
}

// Echo shows how the words were understood: 12 = 12 mm (15/32 in).
func (e Entered[T]) Echo(sys System) string {
	return oneLine(e.As) + " = " + KindOf[T]().Text(float64(e.V), sys)
}
