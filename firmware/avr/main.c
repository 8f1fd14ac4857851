/* The module's program on the ATmega328P: start-up and the main loop. The light itself is the interrupt's (refresh_*.S).
 *
 * The watchdog (60 ms) is kicked only after a frame job, and a frame is ready only while the interrupt advances: so a hung
 * main loop and a dead interrupt both end in a reset, after which a stop input is lit again within a few milliseconds.
 *
 * The brown-out detector must be on (fuse, 4.3 V): below that the processor could run astray while the supply falls, as it
 * does when the engine cranks. Nothing here can stand in for it.
 */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include <avr/wdt.h>
#include "core.h"
#include "player_layout.h"

/* After a watchdog reset the watchdog runs on at its shortest time (16 ms) until it is set anew. */
static void start_watchdog(void)
{
	wdt_reset();
	MCUSR = 0;
	wdt_enable(WDTO_60MS);
}

/* To be called while interrupts are off: the refresh writes the same ports. */
static void start_pins(void)
{
#ifdef BOARD_CHAIN
	PORTB |= 1 << 0 | 1 << 4;                            /* spare pins must not float */
	PORTD |= 1 << 0 | 1 << 1 | 1 << 5 | 1 << 6 | 1 << 7;
#else
	DDRD |= 1 << 1;                                      /* the port images keep it low */
#endif
	ACSR = 1 << ACD;
	PRR = 1 << PRTWI | 1 << PRTIM2 | 1 << PRTIM0 | 1 << PRUSART0 | 1 << PRADC;
	EICRA = 1 << ISC11 | 1 << ISC01;                     /* unused and off; by edge, simulators do not poll them when low */
}

int main(void)
{
	start_watchdog();
	core_start();
	refresh_start();
	start_pins();
	sei();
	set_sleep_mode(SLEEP_MODE_IDLE);
	for (;;) {
		cli();
		if (frame_ready()) {
			sei();
			frame_job();
			wdt_reset();
		} else {
			sleep_enable();
			sei();                               /* the next instruction is executed before any interrupt */
			sleep_cpu();
			sleep_disable();
		}
	}
}
