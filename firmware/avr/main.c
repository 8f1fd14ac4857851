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
#include "layout.h"

uint8_t loader_is;

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
	PORTD |= 1 << 0 | 1 << 1 | 1 << STRAP_LH_BIT | 1 << STRAP_RH_BIT | 1 << 7;
	PCMSK2 = 1 << 0 | 1 << LINK_BIT | 1 << IN7_BIT | 1 << IN8_BIT;
#else
	DDRD |= 1 << 1;                                      /* the port images keep it low */
	PCMSK2 = 1 << LINK_BIT;
#endif
	PCMSK1 = 0x3f;                                       /* in1..in6 */
	ACSR = 1 << ACD;
	PRR = 1 << PRTWI | 1 << PRTIM2 | 1 << PRTIM0;
	EICRA = 1 << ISC11 | 1 << ISC01;                     /* unused and off; by edge, simulators do not poll them when low */
	sense_next(1);
}

/* Nothing has to be done until an input changes. It may have changed already, with the interrupt that tells still to come: then
 * this is a short sleep. */
static void sleep_deep(void)
{
	cli();
	refresh_stop();
	ADCSRA = 0;
	wdt_disable();
	set_sleep_mode(SLEEP_MODE_PWR_DOWN);
	sleep_enable();
	sei();
	sleep_cpu();
	cli();
	refresh_start();
	start_watchdog();
	set_sleep_mode(SLEEP_MODE_IDLE);
	core_woke();
	sei();
}

/* The pin-change interrupt switches itself off (wake.S): while it is on, no input has changed. To be called once a frame, so that an
 * input that changed shows in the core's inputs before the next time. */
static void sleep_unless_stirred(void)
{
	if (PCICR)
		sleep_deep();
	else
		PCICR = 1 << PCIE1 | 1 << PCIE2;
}

int main(void)
{
	start_watchdog();
	core_start();
	refresh_start();
	start_pins();
	loader_is = loader_there();
	if (loader_is)
		serial_start();
	sei();
	set_sleep_mode(SLEEP_MODE_IDLE);
	for (;;) {
		cli();
		if (serial_enter)
			loader_run();
		if (frame_ready()) {
			sei();
			frame_job();
			wdt_reset();
			if (core_may_sleep())
				sleep_unless_stirred();
		} else {
			sleep_enable();
			sei();                               /* the next instruction is executed before any interrupt */
			sleep_cpu();
			sleep_disable();
		}
	}
}
