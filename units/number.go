package units

import (
	"math/big"
	"strconv"
	"strings"
)

// textLimitBytes is the longest quantity that is read, in bytes. No dimension
// needs more, and the bound keeps exact arithmetic cheap.
const textLimitBytes = 64

// split divides a quantity into its number and its unit, both trimmed.
func split(text string) (number, unit string) {
	text = strings.TrimSpace(text)
	end := 0
	for i, r := range text {
		if r >= '0' && r <= '9' || strings.ContainsRune("+-−./, ", r) {
			if r != ' ' {
				end = i + len(string(r))
			}
			continue
		}
		break
	}
	return text[:end], strings.TrimSpace(text[end:])
}

// number reads a decimal, a fraction or a mixed number exactly. The problem is
// "" when all is well, else a phrase for the builder.
func number(text string) (value *big.Rat, problem string) {
	body, negative := text, false
	for _, sign := range []string{"-", "−", "+"} {
		if rest, found := strings.CutPrefix(body, sign); found {
			body, negative = strings.TrimLeft(rest, " "), sign != "+"
			break
		}
	}
	if strings.Contains(body, ",") {
		return nil, "the decimal sign is a point, as in 1.5; a comma is not read"
	}
	whole, fraction, mixed := strings.Cut(body, " ")
	if !mixed && strings.Contains(body, "/") {
		whole, fraction = "0", body
	}
	value, ok := decimal(whole)
	if ok && fraction != "" {
		part, fine := quotient(strings.TrimLeft(fraction, " "))
		ok = fine && !strings.Contains(whole, ".")
		if ok {
			value.Add(value, part)
		}
	}
	if !ok {
		return nil, "the number cannot be read; write it as 12, 1.5, 1/2 or 1 1/2"
	}
	if negative {
		value.Neg(value)
	}
	return value, ""
}

// decimal reads digits with at most one point, and a digit on either side of it.
func decimal(text string) (*big.Rat, bool) {
	whole, part, point := strings.Cut(text, ".")
	if !digits(whole) || point && !digits(part) {
		return nil, false
	}
	return new(big.Rat).SetString(text)
}

// quotient reads whole numbers divided, such as 3/8.
func quotient(text string) (*big.Rat, bool) {
	over, under, found := strings.Cut(text, "/")
	if !found || !digits(over) || !digits(under) || strings.Trim(under, "0") == "" {
		return nil, false
	}
	return new(big.Rat).SetString(text)
}

func digits(text string) bool {
	for _, r := range text {
		if r < '0' || r > '9' {
			return false
		}
	}
	return text != ""
}

// shortest writes value divided by ten to the power of shift, with the fewest
// digits that tell value from its neighbours.
func shortest(value float64, shift int) string {
	text := strconv.FormatFloat(value, 'e', -1, 64) // d.ddde±xx
	mantissa, exponent, found := strings.Cut(text, "e")
	if !found { // NaN, Inf
		return text
	}
	power, err := strconv.Atoi(exponent)
	if err != nil {
		panic("units: exponent of a formatted number: " + exponent)
	}
	sign := ""
	if rest, negative := strings.CutPrefix(mantissa, "-"); negative {
		sign, mantissa = "-", rest
	}
	body := strings.Replace(mantissa, ".", "", 1)
	point := 1 + power - shift // digits before the point
	switch {
	case strings.Trim(body, "0") == "":
		return "0"
	case point <= 0:
		return sign + "0." + strings.Repeat("0", -point) + body
	case point >= len(body):
		return sign + body + strings.Repeat("0", point-len(body))
	default:
		return sign + body[:point] + "." + body[point:]
	}
}
