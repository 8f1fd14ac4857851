package units

// Share is a part of a whole, 0 to 1.
type Share float64

var shareScale = scale{quantity: "a share", example: "40 %", units: []unit{
	{name: "%", over: 1, under: 100, shift: -2, printed: true},
}}

// ParseShare reads a share such as "12 %", from 0 % to 100 %. It fails with an *Error.
func ParseShare(text string) (Share, error) {
	v, err := shareScale.parse(text)
	if err == nil && (v < 0 || v > 1) {
		return 0, shareScale.fail(text, "a share lies between 0 %% and 100 %%")
	}
	return Share(v), err
}

// String prints the share in per cent.
func (q Share) String() string { return shareScale.format(float64(q)) }

// MarshalText gives String.
func (q Share) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads what ParseShare reads.
func (q *Share) UnmarshalText(text []byte) (err error) {
	*q, err = ParseShare(string(text))
	return err
}
