/* A program that drives the refresh through every level, for a simulator to watch.
 *
 * Frame n shows level (n + 4 * o) & 255 on output o. in1 forces FORCED. in2 makes the main loop wait in busy code instead of
 * sleep, so that the interrupt's delay varies. in3 hangs the main loop: the picture must stand and forcing must still work.
 * PHASE_TAP gets the phase of the coming refresh in bits 0..2, forced in bit 3, the link wire in bit 4; SEEN_TAP the inputs.
 */
#include <avr/interrupt.h>
#include <avr/sleep.h>
#include "refresh.h"

#define PHASE_TAP OCR2A                /* Timer2 is unused: its registers are free to be watched */
#define SEEN_TAP  OCR2B
#define FORCED_INPUT 0x01
#define BUSY_INPUT   0x02
#define HANG_INPUT   0x04
static const uint8_t FORCED[8] = { 0x81, 0x0f, 0xff, 0x00, 0x55, 0xaa, 0x10, 0x01 };

uint8_t planes[2][PLANE_COUNT][PLANE_BYTES];
uint8_t force_now[8];
uint8_t *shown = planes[0][0];

static uint8_t level[64];
static volatile uint8_t phase = REFRESHES_A_FRAME - 1, ready, seen;

uint8_t refresh_next(uint8_t in, uint8_t link)
{
	uint8_t p = (phase + 1) & (REFRESHES_A_FRAME - 1);
	phase = p;
	seen = in;
	if (p == 0 && ready) {
		shown = shown == planes[0][0] ? planes[1][0] : planes[0][0];
		ready = 0;
	}
	uint8_t forced = in & FORCED_INPUT;
	for (uint8_t i = 0; i < 8; i++)
		force_now[i] = forced ? FORCED[i] : 0;
	SEEN_TAP = in;
	PHASE_TAP = p | (forced ? 8 : 0) | link << 4;
	return p;
}

static void make_levels(uint8_t n)
{
	for (uint8_t o = 0; o < 64; o++)
		level[o] = n + 4 * o;
}

/* Instructions of one to four cycles, and short stretches with interrupts off, as the real main loop has. */
static void busy(void)
{
	static volatile uint8_t x;
	for (uint8_t i = 0; i < 50; i++) {
		x += i;
		uint8_t s = SREG;
		cli();
		x++;
		SREG = s;
		x = x * x;
	}
}

int main(void)
{
	uint8_t n = 0;
	refresh_start();
	set_sleep_mode(SLEEP_MODE_IDLE);
	sei();
	for (;;) {
		make_levels(n++);
		planes_build(level, shown == planes[0][0] ? planes[1][0] : planes[0][0], PLANE_BYTES, 0);
		ready = 1;
		while (ready || seen & HANG_INPUT) {
			if (seen & BUSY_INPUT)
				busy();
			else
				sleep_mode();
		}
	}
}
