package units

// Frequency is a frequency in hertz.
type Frequency float64

var frequencyScale = scale{quantity: "a frequency", example: "200 Hz", units: []unit{
	{name: "MHz", over: 1000000, under: 1, shift: 6, printFrom: 1e6, printed: true},
	{name: "kHz", over: 1000, under: 1, shift: 3, printFrom: 1e3, printed: true},
	{name: "Hz", over: 1, under: 1, printed: true},
}}

// ParseFrequency reads a frequency such as "200 Hz" or "2 kHz". It fails with an *Error.
func ParseFrequency(text string) (Frequency, error) {
	v, err := frequencyScale.parse(text)
	return Frequency(v), err
}

// String prints the frequency with the prefix that suits it.
func (q Frequency) String() string { return frequencyScale.format(float64(q)) }

// MarshalText gives String.
func (q Frequency) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads what ParseFrequency reads.
func (q *Frequency) UnmarshalText(text []byte) (err error) {
	*q, err = ParseFrequency(string(text))
	return err
}

// Angle is an angle in degrees.
type Angle float64

var angleScale = scale{quantity: "an angle", example: "90 deg", units: []unit{
	{name: "deg", others: []string{"°", "degrees"}, over: 1, under: 1, printed: true},
}}

// ParseAngle reads an angle such as "90 deg" or "90°". It fails with an *Error.
func ParseAngle(text string) (Angle, error) {
	v, err := angleScale.parse(text)
	return Angle(v), err
}

// String prints the angle in degrees.
func (q Angle) String() string { return angleScale.format(float64(q)) }

// MarshalText gives String.
func (q Angle) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads what ParseAngle reads.
func (q *Angle) UnmarshalText(text []byte) (err error) {
	*q, err = ParseAngle(string(text))
	return err
}

// Temperature is a temperature in degrees Celsius.
type Temperature float64

var temperatureScale = scale{quantity: "a temperature", example: "85 °C", units: []unit{
	{name: "°C", others: []string{"C", "degC"}, over: 1, under: 1, printed: true},
}}

// ParseTemperature reads a temperature such as "85 °C". It fails with an *Error.
func ParseTemperature(text string) (Temperature, error) {
	v, err := temperatureScale.parse(text)
	return Temperature(v), err
}

// String prints the temperature in degrees Celsius.
func (q Temperature) String() string { return temperatureScale.format(float64(q)) }

// MarshalText gives String.
func (q Temperature) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads what ParseTemperature reads.
func (q *Temperature) UnmarshalText(text []byte) (err error) {
	*q, err = ParseTemperature(string(text))
	return err
}

// Intensity is a luminous intensity in candelas.
type Intensity float64

var intensityScale = scale{quantity: "a luminous intensity", example: "80 cd", units: []unit{
	{name: "cd", over: 1, under: 1, printFrom: 0.1, printed: true},
	{name: "mcd", over: 1, under: 1000, shift: -3, printed: true},
}}

// ParseIntensity reads a luminous intensity such as "80 cd" or "900 mcd". It fails with an *Error.
func ParseIntensity(text string) (Intensity, error) {
	v, err := intensityScale.parse(text)
	return Intensity(v), err
}

// String prints the intensity in candelas or millicandelas.
func (q Intensity) String() string { return intensityScale.format(float64(q)) }

// MarshalText gives String.
func (q Intensity) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads what ParseIntensity reads.
func (q *Intensity) UnmarshalText(text []byte) (err error) {
	*q, err = ParseIntensity(string(text))
	return err
}
