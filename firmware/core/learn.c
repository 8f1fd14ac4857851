/* What a pacer makes of the on-times that it saw. The ATmega328P has avr/learn.S in place of this file. */
#include "image.h"
#include "pace.h"
#include "store.h"

static struct memory {
	uint16_t ring[PACE_RING];     /* plausible on-times, oldest first, refreshes */
	uint16_t odd;            /* the last one that did not fit, refreshes */
	uint8_t odd_n;           /* how many in a row agreed with it */
	uint8_t n;               /* on-times in the ring */
} memory[PACERS_MAX];

static uint16_t mean(const uint16_t *t, uint8_t n)
{
	uint16_t sum = 0;        /* PACE_RING * PACE_MAX fits */
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
	if (m->odd_n < PACE_AGREE)
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
static void follow_trend(struct memory *m)
{
	uint8_t before = m->n - PACE_NEWEST;
	uint16_t usual = mean(m->ring, before);
	uint16_t e = usual / 32;
	uint8_t less = 0, more = 0;
	for (uint8_t i = before; i < m->n; i++) {
		less += m->ring[i] < usual - e;
		more += m->ring[i] > usual + e;
	}
	if (less == PACE_NEWEST || more == PACE_NEWEST)
		forget_oldest(m, before);
}

/* The least on-time; but one flash that is short by itself was a lever let go early. */
static uint16_t target_of(uint8_t pacer)
{
	const struct memory *m = &memory[pacer];
	uint16_t least = 0xFFFF, second = 0xFFFF;
	if (m->n == 0) {
		uint16_t held = store_target(pacer);
		return held ? held : PACE_DEFAULT;
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
	return m->n >= PACE_TREND_MIN && second - least > least / 32 ? second : least;
}

void pace_learn(uint8_t pacer, uint16_t t)
{
	struct memory *m = &memory[pacer];
	if (t < PACE_MIN || t > PACE_MAX || is_odd(m, t))
		return;
	m->odd_n = 0;
	if (m->n == PACE_RING)
		forget_oldest(m, 1);
	m->ring[m->n++] = t;
	if (m->n >= PACE_TREND_MIN)
		follow_trend(m);
	if (m->n >= (image_role & ROLE_FED ? 1 : PACE_TREND_MIN))
		store_offer(pacer, target_of(pacer));
}

uint16_t pace_rate(uint8_t pacer, uint16_t age, uint16_t ticks)
{
	uint16_t target = target_of(pacer);
	uint16_t frames = age + PACE_DELAY < target ? (target - age - PACE_DELAY) / 8 : 0;
	if (frames == 0)
		frames = 1;
	uint32_t rate = ((uint32_t)ticks * RATE_ONE + frames - 1) / frames;
	return rate > PACE_RATE_MAX ? PACE_RATE_MAX : rate;
}
