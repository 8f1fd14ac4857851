package report

import "strconv"

// Count writes a number of things: "1 LED", "2 LEDs".
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}
