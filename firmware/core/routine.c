/* What a player does slot by slot and operation by operation. The ATmega328P has avr/routine.S in its place. */
#include "player.h"
#include "code.h"
#include "image.h"

static struct fade *fades_of(uint16_t entry)
{
	return &fades[flash_u8(entry + LAYER_FADE)];
}

/* What a start and *again* have in common. */
static void rewind(struct player *p, uint16_t entry)
{
	struct fade *f = fades_of(entry);
	for (uint8_t n = flash_u8(entry + LAYER_SLOTS); n; n--, f++) {
		f->cur = 0;
		f->left = 0;
	}
	p->pos = 0;
	p->reach = 0;
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

/* Sends a slot to a level in the player's fade_ticks; a slot that the layer does not have is passed over. */
static void begin_fade(struct player *p, uint16_t entry, uint8_t slot, uint8_t level)
{
	if (slot >= flash_u8(entry + LAYER_SLOTS))
		return;
	struct fade *f = fades_of(entry) + slot;
	uint16_t goal = (uint16_t)level << 8;
	f->left = p->fade_ticks;
	f->target = level;
	if (p->fade_ticks == 0) {
		f->cur = goal;
		return;
	}
	if (p->reach == 0)
		p->reach = 65535u / p->fade_ticks;
	if (goal >= f->cur)
		f->step = (int16_t)((uint32_t)(uint16_t)(goal - f->cur) * p->reach >> 16);
	else
		f->step = -(int16_t)((uint32_t)(uint16_t)(f->cur - goal) * p->reach >> 16);
}

uint8_t player_events(struct player *p, uint16_t entry)
{
	uint16_t at = p->at;
	uint8_t ops_left = OPS_A_TICK;
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
				begin_fade(p, entry, slot, level);
		} else if (op < OP_TIME) {
			p->wait = op == OP_WAIT ? WAIT_MORE + (uint16_t)a : op & LOW_SIX;
			p->at = at;
			return 0;
		} else if (op <= OP_TIME_NEXT) {
			p->fade_ticks = op == OP_TIME_NEXT ? a : op & LOW_SIX;
			p->reach = 0;
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
			rewind(p, entry);
			at = p->code;
		} else {
			break;
		}
	}
	p->wait = 0;
	return 1;
}

uint8_t player_start(struct player *p, uint16_t entry, uint16_t routine)
{
	rewind(p, entry);
	p->code = p->at = routine + IMAGE_AT;
	p->acc = 0;
	return player_events(p, entry);
}

void player_step(uint16_t entry, uint8_t ticks)
{
	struct fade *f = fades_of(entry);
	for (uint8_t n = flash_u8(entry + LAYER_SLOTS); n; n--, f++) {
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
