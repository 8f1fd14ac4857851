// Package units holds quantities that know their unit: a length is never
// mistaken for a time, and no number is read or printed without its unit.
//
// Every quantity is a named number in one fixed base unit, stated at its type.
// Parse functions read what a builder writes ("300 ms", "1/2 in", "4.7 kΩ",
// "12 %"); String prints a form that reads back to the very same value. A bare
// number is refused, and the error names the units that are accepted.
//
// A number is a decimal with a point (1.5), a fraction (1/2) or a whole number
// with a fraction (1 1/2), with an optional sign. A blank between number and
// unit is optional. Both code points of the micro sign (U+00B5, U+03BC) and of
// the ohm sign (U+03A9, U+2126) are read; U+00B5 and U+03A9 are printed.
//
// The package also holds the relations between light, lightness, level and
// duty, because the whole program must share one rounding of each.
//
// Not promised: dimensional analysis. Multiplying a voltage by a current is
// the caller's business, and the type system does not check the product.
package units
