#include "pace.h"
#include "image.h"
#include "inputs.h"
#include "safe.h"
#include "store.h"

#define RING             12      /* on-times remembered */
#define NEWEST           4       /* of these, the ones that can show a trend */
#define TREND_MIN        6       /* on-times before a trend, or one that is short by itself, is looked for */
#define PLAUSIBLE_MIN    240     /* refreshes: 120 ms */
#define PLAUSIBLE_MAX    1800    /* refreshes: 900 ms */
#define DEFAULT_TARGET   260     /* refreshes: 130 ms, inside the shortest legal on-time of 150 ms */
#define DELAY            10      /* refreshes from the sample behind a snapshot to its light, and a little more */
#define AGREE            3       /* odd on-times that make a new rate */
#define RATE_MAX         32767   /* less than 8 ticks a frame */

/* Owned by the interrupt. */
static struct clock {
	uint16_t age;            /* refreshes */
	uint16_t done;           /* refreshes */
	uint8_t mask;            /* the input, one bit; 0: no such pacer, or no image yet */
	uint8_t on_count;        /* refreshes that the filter takes to turn on */
	uint8_t off_count;       /* refreshes that the filter takes to turn off */
	uint8_t running;         /* 1: the input turned on under our eyes and is still on */
	uint8_t fresh;           /* 1: done has not been handed over */
} clock[PACERS_MAX];

/* Owned by the frame job. */
static struct memory {
	uint16_t ring[RING];     /* plausible on-times, oldest first, refreshes */
	uint16_t odd;            /* the last one that did not fit, refreshes */
	uint8_t odd_n;           /* how many in a row agreed with it */
	uint8_t n;               /* on-times in the ring */
} memory[PACERS_MAX];

OUT_OF_LINE void pace_begin(uint16_t age)
{
	for (uint8_t p = 0; p < PACERS_MAX; p++) {
		struct clock *c = &clock[p];
		uint8_t mask = head_u8(HEAD_PACER + p);
		uint8_t input = 0;
		c->mask = mask;
		if ((image_role & ROLE_FED) && (inputs_on & mask)) {
			c->age = age;
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
				c->age = c->on_count - 1;
				c->running = 1;
			} else if (c->running) {
				uint16_t end = c->age > 0xFFFF - 2 ? 0xFFFF : c->age + 2;
				c->done = end > c->off_count ? end - c->off_count : 0;
				c->fresh = 1;
				c->running = 0;
			}
		} else if (c->running && c->age != 0xFFFF) {
			c->age++;
		}
	}
}

OUT_OF_LINE void pace_snapshot(struct pace_seen seen[PACERS_MAX])
{
	for (uint8_t p = 0; p < PACERS_MAX; p++) {
		seen[p].age = clock[p].age;
		seen[p].done = clock[p].done;
		seen[p].fresh = clock[p].fresh;
		clock[p].fresh = 0;
	}
}

OUT_OF_LINE static uint16_t mean(const uint16_t *t, uint8_t n)
{
	uint16_t sum = 0;        /* RING * PLAUSIBLE_MAX fits */
	for (uint8_t i = 0; i < n; i++)
		sum += t[i];
	return sum / n;
}

static uint16_t distance(uint16_t a, uint16_t b)
{
	return a > b ? a - b : b - a;
}

/* True when an on-time does not fit and must be kept out for now. */
static uint8_t is_odd(struct memory *m, uint16_t t)
{
	uint16_t usual;
	if (m->n == 0 || (usual = mean(m->ring, m->n), distance(t, usual) <= usual / 8))
		return 0;
	if (m->odd_n > 0 && distance(t, m->odd) <= m->odd / 8) {
		m->odd_n++;
	} else {
		m->odd = t;
		m->odd_n = 1;
	}
	if (m->odd_n < AGREE)
		return 1;
	m->n = 0;
	return 0;
}

static void forget_oldest(struct memory *m, uint8_t k)
{
	m->n -= k;
	for (uint8_t i = 0; i < m->n; i++)
		m->ring[i] = m->ring[i + k];
}

/* The newest that all lie to one side are a trend: the others are forgotten. */
OUT_OF_LINE static void follow_trend(struct memory *m)
{
	uint8_t before = m->n - NEWEST;
	uint16_t usual = mean(m->ring, before);
	uint16_t e = usual / 32;
	uint8_t less = 0, more = 0;
	for (uint8_t i = before; i < m->n; i++) {
		less += m->ring[i] < usual - e;
		more += m->ring[i] > usual + e;
	}
	if (less == NEWEST || more == NEWEST)
		forget_oldest(m, before);
}

/* The least on-time; but one flash that is short by itself was a lever let go early. */
OUT_OF_LINE static uint16_t target_of(uint8_t pacer)
{
	const struct memory *m = &memory[pacer];
	uint16_t least = 0xFFFF, second = 0xFFFF;
	if (m->n == 0) {
		uint16_t held = store_target(pacer);
		return held ? held : DEFAULT_TARGET;
	}
	for (uint8_t i = 0; i < m->n; i++) {
		uint16_t t = m->ring[i];
		if (t < least) {
			second = least;
			least = t;
		} else if (t < second) {
			second = t;
		}
	}
	return m->n >= TREND_MIN && second - least > least / 32 ? second : least;
}

void pace_learn(uint8_t pacer, uint16_t t)
{
	struct memory *m = &memory[pacer];
	if (t < PLAUSIBLE_MIN || t > PLAUSIBLE_MAX || is_odd(m, t))
		return;
	m->odd_n = 0;
	if (m->n == RING)
		forget_oldest(m, 1);
	m->ring[m->n++] = t;
	if (m->n >= TREND_MIN)
		follow_trend(m);
	if (m->n >= (image_role & ROLE_FED ? 1 : TREND_MIN))
		store_offer(pacer, target_of(pacer));
}

OUT_OF_LINE uint16_t pace_rate(uint8_t pacer, uint16_t age, uint16_t ticks)
{
	uint16_t target = target_of(pacer);
	uint8_t frames = 1;      /* PLAUSIBLE_MAX / 8 fits */
	uint16_t spent = age > target ? target : age;
	if (target - spent >= DELAY + 2 * 8)
		frames = (target - spent - DELAY) / 8;
	/* ticks * RATE_ONE / frames, rounded up, digit by digit: a division of 32 bits would cost more */
	uint16_t rate = 0, rest = ticks;
	if (ticks >= 8 * (uint16_t)frames)
		return RATE_MAX;
	for (; rest >= frames; rest -= frames)
		rate++;
	for (uint16_t one = 1; one < RATE_ONE; one <<= 1) {
		rate <<= 1;
		rest <<= 1;
		if (rest >= frames) {
			rest -= frames;
			rate++;
		}
	}
	return rest ? rate + 1 : rate;
}
