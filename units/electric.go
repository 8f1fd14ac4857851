package units

// Voltage is a voltage in volts.
type Voltage float64

var voltageScale = scale{quantity: "a voltage", example: "13.5 V", units: []unit{
	{name: "V", over: 1, under: 1, printFrom: 0.1, printed: true},
	{name: "mV", over: 1, under: 1000, shift: -3, printed: true},
}}

// ParseVoltage reads a voltage such as "13.5 V" or "350 mV". It fails with an *Error.
func ParseVoltage(text string) (Voltage, error) {
	v, err := voltageScale.parse(text)
	return Voltage(v), err
}

// String prints the voltage in volts or millivolts.
func (q Voltage) String() string { return voltageScale.format(float64(q)) }

// MarshalText gives String.
func (q Voltage) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads what ParseVoltage reads.
func (q *Voltage) UnmarshalText(text []byte) (err error) {
	*q, err = ParseVoltage(string(text))
	return err
}

// Current is a current in amperes.
type Current float64

var currentScale = scale{quantity: "a current", example: "40 mA", units: []unit{
	{name: "A", over: 1, under: 1, printFrom: 1, printed: true},
	{name: "mA", over: 1, under: 1000, shift: -3, printFrom: 1e-4, printed: true},
	{name: "µA", others: []string{"uA"}, over: 1, under: 1000000, shift: -6, printed: true},
}}

// ParseCurrent reads a current such as "40 mA" or "2 A". It fails with an *Error.
func ParseCurrent(text string) (Current, error) {
	v, err := currentScale.parse(text)
	return Current(v), err
}

// String prints the current in amperes, milliamperes or microamperes.
func (q Current) String() string { return currentScale.format(float64(q)) }

// MarshalText gives String.
func (q Current) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads what ParseCurrent reads.
func (q *Current) UnmarshalText(text []byte) (err error) {
	*q, err = ParseCurrent(string(text))
	return err
}

// Resistance is a resistance in ohms.
type Resistance float64

var resistanceScale = scale{quantity: "a resistance", example: "4.7 kΩ", units: []unit{
	{name: "MΩ", others: []string{"Mohm"}, over: 1000000, under: 1, shift: 6, printFrom: 1e6, printed: true},
	{name: "kΩ", others: []string{"kohm"}, over: 1000, under: 1, shift: 3, printFrom: 1e3, printed: true},
	{name: "Ω", others: []string{"ohm", "ohms"}, over: 1, under: 1, printFrom: 0.1, printed: true},
	{name: "mΩ", others: []string{"mohm"}, over: 1, under: 1000, shift: -3, printed: true},
}}

// ParseResistance reads a resistance such as "150 Ω", "150 ohm" or "4.7 kΩ". It fails with an *Error.
func ParseResistance(text string) (Resistance, error) {
	v, err := resistanceScale.parse(text)
	return Resistance(v), err
}

// String prints the resistance with the prefix that suits it.
func (q Resistance) String() string { return resistanceScale.format(float64(q)) }

// MarshalText gives String.
func (q Resistance) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads what ParseResistance reads.
func (q *Resistance) UnmarshalText(text []byte) (err error) {
	*q, err = ParseResistance(string(text))
	return err
}

// Power is a power in watts.
type Power float64

var powerScale = scale{quantity: "a power", example: "0.25 W", units: []unit{
	{name: "W", over: 1, under: 1, printFrom: 0.01, printed: true},
	{name: "mW", over: 1, under: 1000, shift: -3, printed: true},
}}

// ParsePower reads a power such as "0.25 W", "1/4 W" or "60 mW". It fails with an *Error.
func ParsePower(text string) (Power, error) {
	v, err := powerScale.parse(text)
	return Power(v), err
}

// String prints the power in watts or milliwatts.
func (q Power) String() string { return powerScale.format(float64(q)) }

// MarshalText gives String.
func (q Power) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads what ParsePower reads.
func (q *Power) UnmarshalText(text []byte) (err error) {
	*q, err = ParsePower(string(text))
	return err
}

// Capacitance is a capacitance in farads.
type Capacitance float64

var capacitanceScale = scale{quantity: "a capacitance", example: "100 nF", units: []unit{
	{name: "F", over: 1, under: 1, printFrom: 1, printed: true},
	{name: "mF", over: 1, under: 1000},
	{name: "µF", others: []string{"uF"}, over: 1, under: 1000000, shift: -6, printFrom: 1e-6, printed: true},
	{name: "nF", over: 1, under: 1000000000, shift: -9, printFrom: 1e-9, printed: true},
	{name: "pF", over: 1, under: 1000000000000, shift: -12, printed: true},
}}

// ParseCapacitance reads a capacitance such as "100 nF" or "470 µF". It fails with an *Error.
func ParseCapacitance(text string) (Capacitance, error) {
	v, err := capacitanceScale.parse(text)
	return Capacitance(v), err
}

// String prints the capacitance with the prefix that suits it.
func (q Capacitance) String() string { return capacitanceScale.format(float64(q)) }

// MarshalText gives String.
func (q Capacitance) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads what ParseCapacitance reads.
func (q *Capacitance) UnmarshalText(text []byte) (err error) {
	*q, err = ParseCapacitance(string(text))
	return err
}
