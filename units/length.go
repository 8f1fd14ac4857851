package units

// Length is a length in millimetres.
type Length float64

// Lengths in millimetres.
const (
	Millimetre Length = 1
	Metre      Length = 1000
	Inch       Length = 25.4 // exact; source: international yard and pound agreement, 1959
	Foot       Length = 12 * Inch
)

var lengthScale = scale{quantity: "a length", example: "120 mm", units: []unit{
	{name: "mm", over: 1, under: 1, printed: true},
	{name: "cm", over: 10, under: 1},
	{name: "m", over: 1000, under: 1},
	{name: "in", others: []string{"inch", "inches", "\"", "″"}, over: 254, under: 10},
	{name: "ft", others: []string{"foot", "feet"}, over: 3048, under: 10},
}}

// ParseLength reads a length such as "120 mm", "1.2 m", "47 in" or "1/2 in". It fails with an *Error.
func ParseLength(text string) (Length, error) {
	v, err := lengthScale.parse(text)
	return Length(v), err
}

// String prints the length in millimetres.
func (q Length) String() string { return lengthScale.format(float64(q)) }

// MarshalText gives String.
func (q Length) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads what ParseLength reads.
func (q *Length) UnmarshalText(text []byte) (err error) {
	*q, err = ParseLength(string(text))
	return err
}

// Area is an area in square millimetres, such as the cross-section of a wire.
type Area float64

var areaScale = scale{quantity: "an area", example: "0.75 mm²", units: []unit{
	{name: "mm²", others: []string{"mm2", "mm^2"}, over: 1, under: 1, printed: true},
	{name: "cm²", others: []string{"cm2", "cm^2"}, over: 100, under: 1},
}}

// ParseArea reads an area such as "0.75 mm²". It fails with an *Error.
func ParseArea(text string) (Area, error) {
	v, err := areaScale.parse(text)
	return Area(v), err
}

// String prints the area in square millimetres.
func (q Area) String() string { return areaScale.format(float64(q)) }

// MarshalText gives String.
func (q Area) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads what ParseArea reads.
func (q *Area) UnmarshalText(text []byte) (err error) {
	*q, err = ParseArea(string(text))
	return err
}
