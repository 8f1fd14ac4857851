#include "pace.h"
#include "image.h"
#include "inputs.h"
#include "safe.h"

#define AGE_MAX          0xFF00  /* refreshes: far beyond all that is plausible, and as good as any */

/* Owned by the interrupt. */
static struct clock {
	struct pace_seen seen;   /* waits for the snapshot */
	uint8_t mask;            /* the input, one bit; 0: no such pacer, or no image yet */
	uint8_t on_count;        /* refreshes that the filter takes to turn on */
	uint8_t off_count;       /* refreshes that the filter takes to turn off */
	uint8_t running;         /* 1: the input turned on under our eyes and is still on */
} clock[PACERS_MAX];

OUT_OF_LINE void pace_begin(uint16_t age)
{
	for (uint8_t p = 0; p < PACERS_MAX; p++) {
		struct clock *c = &clock[p];
		uint8_t mask = head_u8(HEAD_PACER + p);
		uint8_t input = 0;
		c->mask = mask;
		if ((image_role & ROLE_FED) && (inputs_on & mask)) {
			c->seen.age = age;
			c->running = 1;
		}
		for (; input < INPUTS_MAX - 1 && !(mask & 1); mask >>= 1)
			input++;
		c->on_count = safe_u8(SAFE_ON + input);
		c->off_count = safe_u8(SAFE_OFF + input);
	}
}

void pace_refresh(uint8_t inputs, uint8_t flipped)
{
	for (struct clock *c = clock; c < clock + PACERS_MAX; c++) {
		if (flipped & c->mask) {
			if (inputs & c->mask) {
				c->seen.age = c->on_count - 1;
				c->running = 1;
			} else if (c->running) {
				/* where the supply came late in an off count this is below 0, which wraps to what is not plausible either */
				c->seen.done = c->seen.age + 2 - c->off_count;
				c->seen.fresh = 1;
				c->running = 0;
			}
		} else if (c->running && c->seen.age < AGE_MAX) {
			c->seen.age++;
		}
	}
}

OUT_OF_LINE void pace_snapshot(struct pace_seen seen[PACERS_MAX])
{
	for (uint8_t p = 0; p < PACERS_MAX; p++) {
		seen[p] = clock[p].seen;
		clock[p].seen.fresh = 0;
	}
}
