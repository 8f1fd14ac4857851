#include "idle.h"
#include "image.h"
#include "machine.h"

#define UNIT_FRAMES      64
#define WOKEN_FRAMES     2       /* to sleep again after a touch that was nothing */

static uint16_t left;            /* idle frames to come before sleep */

void idle_step(uint8_t busy)
{
	if (busy || machine_moves)
		left = UNIT_FRAMES * head_u8(HEAD_SLEEP);
	else if (left)
		left--;
}

uint8_t core_may_sleep(void)
{
	return left == 0 && head_u8(HEAD_SLEEP);
}

void core_woke(void)
{
	left = WOKEN_FRAMES;
}
