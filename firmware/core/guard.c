#include "guard.h"
#include "image.h"
#include "safe.h"

#define SUPPLY_BACK      4       /* a condition ends when the code is more than so many on the good side of its limit */
#define HEAT_BACK        6
#define HEAT_SHORTED     3       /* code of a sensor that is shorted to ground, and below: it tells nothing of heat */

uint8_t guard;

/* A condition that comes at or below its limit; over is the same seen from the other end. limit 0: it never comes. */
OUT_OF_LINE static void judge(uint8_t condition, uint8_t limit, uint8_t code, uint8_t back)
{
	if (limit == 0)
		return;
	if (condition == GUARD_OVER) {
		limit = ~limit;
		code = ~code;
	}
	if (code <= limit)
		guard |= condition;
	else if ((uint8_t)(code - limit) > back)
		guard &= ~condition;
}

void guard_step(uint8_t job, uint8_t code, uint8_t runs)
{
	if (!(job & 1))
		judge(GUARD_OVER, safe_u8(SAFE_OVER), code, SUPPLY_BACK);
	if (!runs)
		return;
	if (job & 1) {
		judge(GUARD_WARM, head_u8(HEAD_WARM), code, HEAT_BACK);
		judge(GUARD_HOT, head_u8(HEAD_HOT), code, HEAT_BACK);
		if (code <= HEAT_SHORTED)
			guard &= ~GUARD_HOT;
	} else {
		code++;                      /* low comes below its limit, not at it */
		judge(GUARD_LOW, head_u8(HEAD_LOW), code, SUPPLY_BACK);
		if (code == 0)               /* the highest there is */
			guard &= ~GUARD_LOW;
	}
}
