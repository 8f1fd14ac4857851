package loader

// Fuses of the ATmega328P. A fuse bit that is 0 is called programmed.
// Source of all three: Microchip, ATmega48A/PA/88A/PA/168A/PA/328/P data sheet (DS40002061), memory programming, fuse bytes;
// the values were worked out from memory of its tables and agree with the bit layout of avrdude's own part description.
const (
	// LowFuse: full swing crystal oscillator (CKSEL 0111), start-up 16 K cycles without a further delay after reset, which is
	// the row for crystals with brown-out detection on (SUT 01): a stop lamp must not wait another 65 ms after a dip of the
	// supply. No division of the clock, no clock output. The crystal is 16 MHz.
	LowFuse = 0xD7

	// HighFuse: start at address 0 (BOOTRST unprogrammed), 1024 words kept for a serial loader (BOOTSZ 01, 0x7800 to 0x7FFF),
	// serial programming on, reset pin kept, debugging off, watchdog under the program's control.
	HighFuse = 0xDB

	// ExtendedFuse: brown-out detection at 2.7 V (BODLEVEL 101; 2.5 V to 2.9 V over parts). Below it the controller is held in
	// reset and every output is dark, instead of doing something unknown. The next level up, 4.3 V, would put a module dark in
	// a dip that it can ride through. Doubt: between 2.7 V and about 3.8 V the data sheet does not promise 16 MHz.
	ExtendedFuse = 0xFD

	// BrownOut is ExtendedFuse in words.
	BrownOut = "2.7 V"
)
