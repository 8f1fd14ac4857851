#include "player.h"
#include "image.h"

#define OPS_A_TICK       255     /* operations, a span counting its slots */
#define SPAN_MAX         64      /* slots */

/* Operations; below OP_WAIT: fade slot. */
enum {
	OP_WAIT = 0x40,          /* and up: the low six bits are ticks; 0: WAIT_MORE and the next byte */
	OP_TIME = 0x80,          /* and up: F in the low six bits; TIME_NEXT: in the next byte */
	OP_TIME_NEXT = 0xBF,
	OP_END = 0xC0,
	OP_AGAIN = 0xC1,
	OP_SPAN = 0xC2,
	OP_LOOP = 0xC3,
	OP_LOOP_END = 0xC4,
};
#define WAIT_MORE        64      /* ticks */
#define LOW_SIX          0x3F

struct player players[MOVING_MAX];
struct fade fades[FADES_MAX];

void player_assign(struct player *p, uint8_t first, uint8_t slots)
{
	p->fades = &fades[first];
	p->slots = slots;
}

/* What a start and *again* have in common. */
static void rewind(struct player *p)
{
	struct fade *f = p->fades;
	for (uint8_t n = p->slots; n; n--, f++) {
		f->cur = 0;
		f->left = 0;
	}
	p->pos = 0;
	p->fade_ticks = 0;
	p->shift = 0;
	p->depth = 0;
}

/* Bytes that follow an operation. */
static uint8_t operands(uint8_t op)
{
	if (op <= OP_WAIT || op == OP_TIME_NEXT)
		return 1;
	return op == OP_SPAN ? 3 : op == OP_LOOP ? 2 : 0;
}

/* Sends a slot to a level in the player's fade_ticks; a slot that the layer does not have is passed over.
 * reach: 65535 / fade_ticks, so that nothing is divided fade by fade. */
static void begin_fade(const struct player *p, uint8_t slot, uint8_t level, uint16_t reach)
{
	if (slot >= p->slots)
		return;
	struct fade *f = &p->fades[slot];
	uint16_t goal = (uint16_t)level << 8;
	f->left = p->fade_ticks;
	f->target = level;
	if (p->fade_ticks == 0)
		f->cur = goal;
	else if (goal >= f->cur)
		f->step = (int16_t)((uint32_t)(uint16_t)(goal - f->cur) * reach >> 16);
	else
		f->step = -(int16_t)((uint32_t)(uint16_t)(f->cur - goal) * reach >> 16);
}

static uint16_t reach_of(uint8_t ticks)
{
	return ticks ? 65535u / ticks : 0;
}

/* Executes operations until a wait. Returns 1 when the routine has ended, by its end or by a fault. */
static uint8_t run_events(struct player *p)
{
	uint16_t at = p->at;
	uint8_t ops_left = OPS_A_TICK;
	uint16_t reach = reach_of(p->fade_ticks);
	for (;;) {
		uint16_t rest = IMAGE_AT + image_length - at;    /* bytes from here to the image's end */
		if ((uint16_t)(rest - 1) >= image_length)
			break;
		uint8_t op = flash_u8(at++);
		uint8_t more = operands(op);
		if (more >= rest)
			break;
		uint8_t a = flash_u8(at), b = flash_u8(at + 1);
		at += more;
		uint8_t n = op == OP_SPAN ? b : 1;
		if (n > ops_left)
			break;
		ops_left -= n;

		if (op < OP_WAIT || op == OP_SPAN) {
			uint8_t slot = (op == OP_SPAN ? a : op) + p->shift;
			uint8_t level = flash_u8(at - 1);
			if (n == 0 || n > SPAN_MAX)
				break;
			for (; n; n--, slot++)
				begin_fade(p, slot, level, reach);
		} else if (op < OP_TIME) {
			p->wait = op == OP_WAIT ? WAIT_MORE + (uint16_t)a : op & LOW_SIX;
			p->at = at;
			return 0;
		} else if (op <= OP_TIME_NEXT) {
			p->fade_ticks = op == OP_TIME_NEXT ? a : op & LOW_SIX;
			reach = reach_of(p->fade_ticks);
		} else if (op == OP_LOOP) {
			if (a < 2 || p->depth >= LOOP_DEPTH)
				break;
			struct loop *l = &p->loop[p->depth++];
			l->at = at;
			l->left = a;
		} else if (op == OP_LOOP_END) {
			if (p->depth == 0)
				break;
			struct loop *l = &p->loop[p->depth - 1];
			uint8_t passes = flash_u8(l->at - 2), shift = flash_u8(l->at - 1);
			if (--l->left) {
				p->shift += shift;
				at = l->at;
			} else {
				p->shift -= (uint8_t)(passes - 1) * shift;
				p->depth--;
			}
		} else if (op == OP_AGAIN && p->pos != 0) {
			rewind(p);
			reach = 0;
			at = p->code;
		} else {
			break;
		}
	}
	p->wait = 0;
	return 1;
}

uint8_t player_start(struct player *p, uint16_t routine)
{
	rewind(p);
	p->code = p->at = routine + IMAGE_AT;
	p->acc = 0;
	return run_events(p);
}

/* Steps the fades so many ticks at once; no event lies between them. */
static void step_fades(const struct player *p, uint8_t ticks)
{
	struct fade *f = p->fades;
	for (uint8_t n = p->slots; n; n--, f++) {
		uint8_t left = f->left;
		if (!left)
			continue;
		if (left > ticks) {
			f->left = left - ticks;
			f->cur += (uint16_t)f->step * ticks;
		} else {
			f->left = 0;
			f->cur = (uint16_t)f->target << 8;
		}
	}
}

uint8_t player_frame(struct player *p)
{
	uint8_t ended = 0;
	uint16_t acc = p->acc + p->rate;     /* 65535 at most */
	uint8_t due = acc / RATE_ONE;
	p->acc = acc % RATE_ONE;
	while (due) {
		uint8_t ticks = p->wait && p->wait < due ? p->wait : due;
		due -= ticks;
		step_fades(p, ticks);
		p->pos += ticks;
		if (p->wait) {
			p->wait -= ticks;
			if (!p->wait)
				ended |= run_events(p);
		}
	}
	return ended;
}
