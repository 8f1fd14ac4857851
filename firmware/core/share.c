#include "share.h"
#include "safe.h"

#define WINDOW_OLDEST    0x08    /* in the third byte: the sample of 20 refreshes ago */
#define HIGHS_ON         15
#define HIGHS_OFF        10

uint8_t share_rule;

static uint8_t history[3];       /* the last 20 samples and more, newest in bit 0 of the first byte */
static uint8_t highs;            /* among the last 20 */
static uint8_t on;

void share_start(void)
{
	share_rule = safe_u8(SAFE_SHARED);
}

uint8_t share_refresh(uint8_t in)
{
	uint8_t invert = safe_u8(SAFE_INVERT);
	uint8_t raw = in ^ invert;
	uint8_t high = raw >> (share_rule & 7) & 1;
	if (history[2] & WINDOW_OLDEST)
		highs--;
	highs += high;
	history[2] = history[2] << 1 | history[1] >> 7;
	history[1] = history[1] << 1 | history[0] >> 7;
	history[0] = history[0] << 1 | high;
	if (highs >= HIGHS_ON)
		on = 1;
	else if (highs <= HIGHS_OFF)
		on = 0;
	uint8_t bit = 1 << (share_rule >> 3 & 7);
	raw = on ? raw | bit : raw & ~bit;
	return raw ^ invert;
}
