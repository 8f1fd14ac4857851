#include "inputs.h"
#include "safe.h"
#include "share.h"

uint8_t inputs_on;
uint8_t inputs_counting;

static uint8_t invert;             /* inputs that are active low */
static uint8_t count[INPUTS_MAX];  /* refreshes that differed from the filtered state */
static uint8_t lows[INPUTS_MAX];   /* refreshes since the input was last high, while it is counted on */

/* Low refreshes that the on count of an input survives. */
static uint8_t gap_of(uint8_t i)
{
	uint8_t two = safe_u8(SAFE_GAPS + (i >> 1));
	return (i & 1 ? two >> 4 : two & 15) * SAFE_GAP_UNIT;
}

void inputs_start(void)
{
	invert = safe_u8(SAFE_INVERT);
	share_start();
}

uint8_t input_mask(uint8_t n)
{
	return 1 << n % INPUTS_MAX;
}

uint8_t inputs_refresh(uint8_t in)
{
	in ^= invert;
	if (share_wire)
		in = share_refresh(in);
	uint8_t differ = in ^ inputs_on;
	uint8_t moving = differ | inputs_counting;
	uint8_t flipped = 0;
	if (!moving)
		return 0;
	uint8_t bit = 1;
	for (uint8_t i = 0; moving; i++, bit <<= 1, moving >>= 1) {
		if (!(moving & 1))
			continue;
		uint8_t c = count[i];
		if (differ & bit) {
			lows[i] = 0;
			if (++c >= safe_u8((inputs_on & bit ? SAFE_OFF : SAFE_ON) + i)) {
				flipped |= bit;
				c = 0;
			}
		} else if (!(inputs_on & bit) && lows[i] < gap_of(i)) {
			lows[i]++;
		} else {
			c = 0;
		}
		count[i] = c;
		inputs_counting = c ? inputs_counting | bit : inputs_counting & ~bit;
	}
	inputs_on ^= flipped;
	return flipped;
}
