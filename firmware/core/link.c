#include "link.h"
#include "image.h"

#define SECOND_LOW_MIN   2       /* refreshes */
#define START_LOW_MIN    24      /* refreshes */
#define START_LOW_MAX    64      /* refreshes */
#define SECOND_FRAMES    2       /* length of a second's pull */
#define START_FRAMES     4       /* length of a loop start's pull */
#define END_GUARD_TICKS  125     /* no second so close before the loop's end */
#define FAR              200     /* 1/16 tick, 50 ms: further off is out of step */
#define FAR_TICKS        1000    /* far in any case, and 16 times as much fits 16 bits */
#define FREQ_MAX         82      /* 2 % of RATE_ONE */
#define CORR_MAX         400     /* 10 % of RATE_ONE */
#define CORR_FRAMES      128     /* a correction lasts so long */

/* Owned by the interrupt. */
static uint8_t following;        /* 1: the image is a follower's */
static uint8_t low;              /* low samples in a row, up to 255 */
static struct link_seen caught;  /* the mark that waits for the snapshot */

/* Owned by the frame job. */
static int16_t freq;             /* the two clocks' difference as learned, 1/4096 tick a frame */
static int16_t corr;             /* correction of the position, 1/4096 tick a frame */
static uint8_t corr_left;        /* frames that it still lasts */
static uint8_t heard;            /* 1: the last mark used found the linked show in step */
static uint8_t pull_left;        /* frames to pull */

void link_begin(void)
{
	following = ROLE_LINK(image_role) == LINK_FOLLOWER;
}

void link_refresh(uint8_t level)
{
	if (!following)
		return;
	caught.age++;
	if (!level) {
		if (low != 255)
			low++;
		return;
	}
	if (low >= SECOND_LOW_MIN && low <= START_LOW_MAX) {
		caught.mark = low < START_LOW_MIN ? LINK_SECOND : LINK_START;
		caught.age = low;
	}
	low = 0;
}

void link_snapshot(struct link_seen *seen)
{
	*seen = caught;
	caught.mark = LINK_NONE;
}

void link_stay_starts(void)
{
	corr = 0;
	corr_left = 0;
	heard = 0;
}

uint16_t link_rate(void)
{
	return ROLE_LINK(image_role) == LINK_FOLLOWER ? RATE_ONE + freq + corr : RATE_ONE;
}

OUT_OF_LINE static int16_t clamp(int16_t v, int16_t limit)
{
	return v > limit ? limit : v < -limit ? -limit : v;
}

uint8_t link_follow(const struct link_seen *seen, const struct player *player, uint16_t period, uint16_t *behind)
{
	if (seen->mark == LINK_NONE) {
		if (corr_left > 0 && --corr_left == 0)
			corr = 0;
		return 0;
	}
	uint8_t is_start = seen->mark == LINK_START;
	uint16_t loop = is_start ? period : LINK_PERIOD_TICKS;
	uint16_t past = player->pos % loop;
	int16_t d = (int16_t)(past > loop / 2 ? past - loop : past);    /* ticks past the nearest mark */
	d = clamp(d, FAR_TICKS);
	/* 1/4096 tick; a mark's age is below START_LOW_MAX and a frame, so 16 bits do */
	uint16_t leader = (2u * seen->age + 17u) * 256u + 2048u;
	/* (leader - d * RATE_ONE - acc - rate) >> 8, in 16 bits: what is shifted is first made positive */
	int16_t h = (int16_t)((uint16_t)(leader + 0x4000u - player->acc - player->rate) >> 8) - 0x40 - 16 * d;
	uint8_t far = h > FAR || h < -FAR;
	uint8_t restart = far && is_start;
	if (restart) {
		*behind = leader;
		h = 0;
	} else if (heard && !far) {
		freq = clamp(freq + h, FREQ_MAX);    /* what built up in about a second of 256 frames */
	}
	heard = restart || !far;             /* a place out of step tells nothing of the clocks */
	corr = clamp(2 * h, CORR_MAX);
	corr_left = CORR_FRAMES;
	return restart;
}

uint8_t link_lead(const struct player *player, uint16_t period)
{
	if (player) {
		uint16_t pos = player->pos;
		if (pos == 0)
			pull_left = START_FRAMES;
		else if (pos % LINK_PERIOD_TICKS == 0 && pos <= period - END_GUARD_TICKS)
			pull_left = SECOND_FRAMES;
	}
	if (!pull_left)
		return 0;
	pull_left--;
	return 1;
}
