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

	// ExtendedFuse: brown-out detection at 4.3 V (BODLEVEL 100; 4.1 V to 4.5 V over parts). Below it the controller is held in
	// reset and every output is dark. The level below, 2.7 V, would leave a band up to about 3.8 V in which the data sheet does
	// not promise 16 MHz: a module could then do anything, which is worse than being dark for as long as its regulator has no 5 V.
	ExtendedFuse = 0xFC

	// BrownOut is ExtendedFuse in words.
	BrownOut = "4.3 V"
)
