/* What the machine does in a frame. The ATmega328P has avr/step.S in place of this file. */
#include "machine.h"
#include "handover.h"
#include "image.h"
#include "stopturn.h"

static uint8_t shines(uint8_t phase)
{
	return phase == PHASE_ARRIVE || phase == PHASE_STAY;
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

/* What a layer goes to when it has nothing more to show. */
static uint8_t rest(struct layer *l, uint16_t entry)
{
	l->keep = flash_u16(entry + LAYER_KEEP);
	return l->keep ? PHASE_KEEP : PHASE_OFF;
}

/* One layer's frame. taken: outputs of the live signals before it. */
static void next(struct layer *l, uint16_t entry, uint8_t kind, uint8_t in, uint8_t no_shows,
	const uint8_t taken[REGISTERS_MAX])
{
	uint8_t phase = l->phase, flags = l->flags & ~START, begins = PHASE_OFF;
	uint8_t wanted = (in & flash_u8(entry + LAYER_INPUTS)) != 0;
	if (!wanted)
		flags &= ~SPENT;
	count_down(&l->window);
	if (phase == PHASE_KEEP && (count_down(&l->keep) || (flash_u8(entry + LAYER_INPUTS) & stopturn_still)))
		phase = PHASE_OFF;
	if (shines(phase) && frame % LIMIT_UNIT_FRAMES == 0 && count_down(&l->limit))
		flags |= SPENT;

	if (flags & ENDED) {
		flags &= ~ENDED;
		if (phase == PHASE_ARRIVE)
			phase = begins = PHASE_STAY;
		else if (phase == PHASE_LEAVE)
			phase = rest(l, entry);
	}

	if ((kind & IS_ENDED_BY) && (shines(phase) || phase == PHASE_LEAVE) && takes_any(entry, taken)) {
		flags |= SPENT;
		phase = PHASE_OFF;
		l->window = 0;
	}

	if (is_barred(entry, kind, in, no_shows)) {
		if (kind & IS_SHOW) {            /* it must be asked for anew */
			if (wanted)
				flags |= SPENT;
			if (phase != PHASE_OFF) {
				phase = PHASE_OFF;
				l->window = 0;
			}
		}
		wanted = 0;
	}
	if (flags & SPENT)
		wanted = 0;
	if (wanted && !shines(phase)) {
		phase = begins = l->window == 0 && flash_u16(entry + LAYER_ARRIVE) ? PHASE_ARRIVE : PHASE_STAY;
		l->limit = flash_u16(entry + LAYER_LIMIT);
	} else if (!wanted && shines(phase)) {
		l->window = flash_u16(entry + LAYER_WINDOW);
		if (flash_u16(entry + LAYER_LEAVE))
			phase = begins = PHASE_LEAVE;
		else
			phase = rest(l, entry);
	}
	if (begins)
		flags |= START;
	l->phase = phase;
	l->flags = flags;
}

void machine_step(uint8_t in, uint8_t no_shows, uint8_t force[REGISTERS_MAX])
{
	static uint8_t taken[REGISTERS_MAX];
	uint16_t entry = first_entry;
	machine_moves = 0;
	for (uint8_t r = 0; r < REGISTERS_MAX; r++)
		taken[r] = 0;
	for (struct layer *l = layers; l < layers_end; l++, entry += LAYER_BYTES) {
		uint8_t kind = flash_u8(entry + LAYER_FLAGS);
		next(l, entry, kind, in, no_shows, taken);
		if (l->phase != PHASE_OFF || l->window)
			machine_moves = 1;
		uint8_t covers = l->phase != PHASE_OFF && !(kind & IS_SHOW);
		for (uint8_t r = 0; r < REGISTERS_MAX; r++) {
			uint8_t takes = flash_u8(entry + LAYER_TAKES + r);
			if (kind & IS_FAST)
				force[r] |= takes & ~taken[r];
			if (covers)
				taken[r] |= takes;
		}
	}
}
