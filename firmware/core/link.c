#include "link.h"
#include "image.h"

#define SECOND_LOW_MIN   2       /* refreshes */
#define START_LOW_MIN    24      /* refreshes */
#define START_LOW_MAX    64      /* refreshes */
#define SECOND_FRAMES    2       /* length of a second's pull */
#define START_FRAMES     4       /* length of a loop start's pull */
#define END_GUARD_TICKS  125     /* no second so close before the loop's end */
#define JUMP             (125 * (int32_t)RATE_ONE)    /* from here on a show is not trimmed but begun anew */
#define FREQ_MAX         82      /* 2 % of RATE_ONE */
#define CORR_MAX         400     /* 10 % of RATE_ONE */
#define CORR_FRAMES      256     /* a correction lasts so long */

/* Owned by the interrupt. */
static uint8_t following;        /* 1: the image is a follower's */
static uint8_t low;              /* low samples in a row, up to 255 */
static struct link_seen caught;  /* the mark that waits for the snapshot */

/* Owned by the frame job. */
static int8_t freq;              /* the two clocks' difference as learned, 1/4096 tick a frame */
static int16_t corr;             /* correction of the position, 1/4096 tick a frame */
static uint16_t corr_left;       /* frames that it still lasts */
static uint8_t pull_left;        /* frames to pull */

void link_begin(void)
{
	following = ROLE_LINK(image_u8(HEAD_ROLE)) == LINK_FOLLOWER;
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
}

uint16_t link_rate(void)
{
	return ROLE_LINK(image_u8(HEAD_ROLE)) == LINK_FOLLOWER ? RATE_ONE + freq + corr : RATE_ONE;
}

static int16_t clamp(int16_t v, int16_t limit)
{
	return v > limit ? limit : v < -limit ? -limit : v;
}

static int32_t position(uint16_t ticks)
{
	return (int32_t)ticks * RATE_ONE;
}

uint8_t link_follow(const struct link_seen *seen, const struct player *player, uint16_t period, uint16_t *behind)
{
	if (seen->mark == LINK_NONE) {
		if (corr_left > 0 && --corr_left == 0)
			corr = 0;
		return 0;
	}
	uint8_t is_second = seen->mark == LINK_SECOND;
	int32_t loop = position(is_second ? LINK_PERIOD_TICKS : period);
	uint16_t mark = (2u * seen->age + 17u) * 256u + 2048u;    /* age is less than START_LOW_MAX and a frame: it fits */
	int32_t e = mark - position(is_second ? player->pos % LINK_PERIOD_TICKS : player->pos) - player->acc - player->rate;
	if (e < -loop / 2)
		e += loop;
	else if (e >= loop / 2)
		e -= loop;
	uint8_t restart = e > JUMP || e < -JUMP;
	if (restart) {
		*behind = mark;
		e = 0;
	}
	int16_t h = (int16_t)(e >> 8);
	freq = (int8_t)clamp(freq + (h >> 1), FREQ_MAX);
	corr = clamp(h, CORR_MAX);
	corr_left = CORR_FRAMES;
	return restart;
}

uint8_t link_lead(const struct player *player, uint16_t period)
{
	if (player) {
		uint16_t pos = player->pos;
		if (pos == 0)
			pull_left = START_FRAMES;
		else if (pos % LINK_PERIOD_TICKS == 0 && (uint32_t)pos + END_GUARD_TICKS <= period)
			pull_left = SECOND_FRAMES;
	}
	if (!pull_left)
		return 0;
	pull_left--;
	return 1;
}
