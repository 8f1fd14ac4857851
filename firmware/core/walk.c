#include "walk.h"
#include "safe.h"

static uint8_t before;           /* filtered inputs of the frame before */
static uint8_t lit;              /* number of the lit output, 1-based; 0: no press yet */

void walk_reset(void)
{
	before = 0xFF;           /* what is on in the first frame is not a press */
	lit = 0;
}

void walk_step(uint8_t in, uint8_t *level)
{
	if (in & ~before)
		lit = lit < 8 * safe_registers ? lit + 1 : 1;
	before = in;
	if (lit)
		level[lit - 1] = FULL_LEVEL;
}
