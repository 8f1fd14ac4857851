#include "inputs.h"
#include "safe.h"

uint8_t inputs_on;

static uint8_t invert;             /* inputs that are active low */
static uint8_t counting;           /* inputs whose count is not 0 */
static uint8_t count[INPUTS_MAX];  /* refreshes in a row that differed from the filtered state */

void inputs_start(void)
{
	invert = safe_u8(SAFE_INVERT);
}

uint8_t inputs_refresh(uint8_t in)
{
	uint8_t differ = in ^ invert ^ inputs_on;
	uint8_t moving = differ | counting;
	uint8_t flipped = 0;
	if (!moving)
		return 0;
	counting = differ;
	uint8_t bit = 1;
	for (uint8_t i = 0; moving; i++, bit <<= 1, moving >>= 1) {
		if (!(moving & 1))
			continue;
		uint8_t c = 0;
		if (differ & bit) {
			c = count[i] + 1;
			if (c >= safe_u8((inputs_on & bit ? SAFE_OFF : SAFE_ON) + i)) {
				flipped |= bit;
				c = 0;
			}
		}
		count[i] = c;
	}
	counting &= ~flipped;
	inputs_on ^= flipped;
	return flipped;
}
