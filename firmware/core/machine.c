#include "machine.h"
#include "handover.h"
#include "image.h"

#define LIMIT_UNIT_FRAMES 64
#define FIRST_WINDOW      2      /* frames: a signal wanted from the first frame on does not arrive */

struct layer layers[LAYERS_MAX];
struct layer *layers_end;

void machine_reset(void)
{
	uint16_t entry = first_entry;
	/* Of a module fed by its turn wire the turn has just come: it arrives. */
	uint8_t from_nothing = image_role & ROLE_FED ? IS_SHOW | IS_PACED : IS_SHOW;
	layers_end = layers + head_u8(HEAD_LAYERS);
	for (struct layer *l = layers; l < layers_end; l++, entry += LAYER_BYTES)
		l->window = flash_u8(entry + LAYER_FLAGS) & from_nothing ? 0 : FIRST_WINDOW;
}

OUT_OF_LINE static void start(struct layer *l, uint8_t phase)
{
	l->phase = phase;
	l->flags = (l->flags & ~ENDED) | START;
}

OUT_OF_LINE static void rest(struct layer *l, uint16_t entry)
{
	l->keep = flash_u16(entry + LAYER_KEEP);
	l->phase = l->keep ? PHASE_KEEP : PHASE_OFF;
}

static uint8_t shines(const struct layer *l)
{
	return l->phase == PHASE_ARRIVE || l->phase == PHASE_STAY;
}

static uint8_t takes_any(uint16_t entry, const uint8_t taken[REGISTERS_MAX])
{
	for (uint8_t r = 0; r < REGISTERS_MAX; r++)
		if (flash_u8(entry + LAYER_TAKES + r) & taken[r])
			return 1;
	return 0;
}

/* True when it reaches 0 just now. */
OUT_OF_LINE static uint8_t count_down(uint16_t *n)
{
	return *n > 0 && --*n == 0;
}

/* Whether an input, or for a show what no show may see, keeps a layer off. */
static uint8_t is_barred(uint16_t entry, uint8_t kind, uint8_t in, uint8_t no_shows)
{
	uint8_t only = flash_u8(entry + LAYER_ONLY_WHILE);
	return (in & flash_u8(entry + LAYER_NOT_WHILE)) || (only && !(in & only)) || ((kind & IS_SHOW) && no_shows);
}

static void cut(struct layer *l)
{
	l->phase = PHASE_OFF;
	l->window = 0;
}

/* One layer's frame. taken: outputs of the live signals before it. */
static void next(struct layer *l, uint16_t entry, uint8_t kind, uint8_t in, uint8_t no_shows,
	const uint8_t taken[REGISTERS_MAX])
{
	uint8_t wanted = (in & flash_u8(entry + LAYER_INPUTS)) != 0;
	if (!wanted)
		l->flags &= ~SPENT;
	count_down(&l->window);
	if (l->phase == PHASE_KEEP && count_down(&l->keep))
		l->phase = PHASE_OFF;
	if (shines(l) && frame % LIMIT_UNIT_FRAMES == 0 && count_down(&l->limit))
		l->flags |= SPENT;

	if (l->flags & ENDED) {
		l->flags &= ~ENDED;
		if (l->phase == PHASE_ARRIVE)
			start(l, PHASE_STAY);
		else if (l->phase == PHASE_LEAVE)
			rest(l, entry);
	}

	if ((kind & IS_ENDED_BY) && (shines(l) || l->phase == PHASE_LEAVE) && takes_any(entry, taken)) {
		l->flags |= SPENT;
		cut(l);
	}

	if (is_barred(entry, kind, in, no_shows)) {
		if (kind & IS_SHOW) {            /* it must be asked for anew */
			if (wanted)
				l->flags |= SPENT;
			if (l->phase != PHASE_OFF)
				cut(l);
		}
		wanted = 0;
	}
	if (l->flags & SPENT)
		wanted = 0;
	if (wanted && !shines(l)) {
		start(l, l->window == 0 && flash_u16(entry + LAYER_ARRIVE) ? PHASE_ARRIVE : PHASE_STAY);
		l->limit = flash_u16(entry + LAYER_LIMIT);
	} else if (!wanted && shines(l)) {
		l->window = flash_u16(entry + LAYER_WINDOW);
		if (flash_u16(entry + LAYER_LEAVE))
			start(l, PHASE_LEAVE);
		else
			rest(l, entry);
	}
}

void machine_step(uint8_t in, uint8_t no_shows, uint8_t force[REGISTERS_MAX])
{
	static uint8_t taken[REGISTERS_MAX]; for (uint8_t r = 0; r < 8; r++) taken[r] = 0;
	uint16_t entry = first_entry;
	for (struct layer *l = layers; l < layers_end; l++, entry += LAYER_BYTES) {
		uint8_t kind = flash_u8(entry + LAYER_FLAGS);
		next(l, entry, kind, in, no_shows, taken);
		uint8_t covers = l->phase != PHASE_OFF && !(kind & IS_SHOW);
		if (kind & IS_FAST)
			for (uint8_t r = 0; r < REGISTERS_MAX; r++)
				force[r] |= flash_u8(entry + LAYER_TAKES + r) & ~taken[r];
		if (covers)
			for (uint8_t r = 0; r < REGISTERS_MAX; r++)
				taken[r] |= flash_u8(entry + LAYER_TAKES + r);
	}
}

uint8_t machine_rests(void)
{
	for (struct layer *l = layers; l < layers_end; l++)
		if (l->phase != PHASE_OFF || l->window)
			return 0;
	return 1;
}
