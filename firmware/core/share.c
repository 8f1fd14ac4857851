/* The ATmega328P has avr/share.S in place of this file. */
#include "share.h"
#include "inputs.h"
#include "safe.h"

uint8_t share_wire;

static uint8_t second;           /* the input that the second function goes to, one bit */
static uint8_t history[3];       /* the last 20 samples and more, newest in bit 0 of the first byte */
static uint8_t highs;            /* among the last 20 */
static uint8_t on;

void share_start(void)
{
	uint8_t rule = safe_u8(SAFE_SHARED);
	if (!rule)
		return;
	share_wire = input_mask(rule);
	second = input_mask(rule >> 3);
}

uint8_t share_refresh(uint8_t raw)
{
	uint8_t high = (raw & share_wire) != 0;
	if (history[2] & 1 << SHARE_OLDEST_BIT)
		highs--;
	highs += high;
	history[2] = history[2] << 1 | history[1] >> 7;
	history[1] = history[1] << 1 | history[0] >> 7;
	history[0] = history[0] << 1 | high;
	if (highs >= SHARE_ON)
		on = 1;
	else if (highs <= SHARE_OFF)
		on = 0;
	return on ? raw | second : raw & ~second;
}
