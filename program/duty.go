package program

// dutyTable is computed from exact fractions, so that every machine gets the same integers.
var dutyTable = func() (t [256]uint16) {
	for v := range t {
		t[v] = dutyOf(int64(v))
	}
	return t
}()

// dutyOf rounds FullDuty times the luminance of lightness L* = 100 v / 255 to the nearest integer, by CIE 1976
// (ISO/CIE 11664-4): Y = ((L* + 16) / 116)^3 above L* = 8, and Y = L* 27 / 24389 up to it.
func dutyOf(v int64) uint16 {
	if 20*v <= 8*51 { // L* = 20 v / 51
		return uint16(nearest(FullDuty*27*20*v, 24389*51))
	}
	const under = 1479 // (L* + 16) / 116 = (5 v + 204) / 1479
	root := 5*v + 204
	return uint16(nearest(FullDuty*root*root*root, under*under*under))
}

// nearest divides non-negative integers and rounds halves up.
func nearest(over, under int64) int64 { return (2*over + under) / (2 * under) }

// DutyTable gives the duty, 0..FullDuty, of each level; the firmware holds the same table.
func DutyTable() [256]uint16 { return dutyTable }

// Duty gives the duty, 0..FullDuty, of a level: its linear light.
func Duty(level uint8) uint16 { return dutyTable[level] }
