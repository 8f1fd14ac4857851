#include "stopturn.h"
#include "inputs.h"
#include "safe.h"

#define WIRES            2
#define RISE_FRAMES      6       /* 24 ms: two that rise within it rise together, and longer apart is a flasher */
#define FLASH_FRAMES     160     /* 640 ms after the last flash the turn is over */
#define LOST_FRAMES      250     /* a second: no flasher is on for so long, so the reference is broken */

uint8_t stopturn_still;

static struct wire {
	uint8_t apart;           /* frames that wire and reference have differed, up to LOST_FRAMES */
	uint8_t high;            /* frames that the wire has been on, up to LOST_FRAMES */
	uint8_t flash;           /* frames for which the wire still counts as flashing */
	uint8_t was;             /* the reference in the frame before, not 0: on */
} wires[WIRES];

static uint8_t more(uint8_t n)
{
	return n < LOST_FRAMES ? n + 1 : n;
}

/* One wire. seen: the inputs as they are; in: as read so far. */
static uint8_t step(struct wire *w, uint8_t seen, uint8_t in, uint8_t rule, uint8_t turn)
{
	uint8_t wire = input_mask(rule), reference = input_mask(rule >> 3);
	uint8_t high = seen & wire, now = seen & reference;
	turn = input_mask(turn);
	w->high = high ? more(w->high) : 0;
	w->apart = !high == !now ? 0 : more(w->apart);
	if (now && !w->was && w->high <= RISE_FRAMES)
		w->flash = 0;
	if (w->apart >= LOST_FRAMES)
		w->flash = 0;
	else if (w->apart >= RISE_FRAMES)
		w->flash = FLASH_FRAMES;
	else if (w->flash)
		w->flash--;
	w->was = now;
	in &= ~turn;
	if (!w->flash)
		stopturn_still |= wire | turn;
	else if (high)
		in |= turn;
	if (high && !now && w->apart >= LOST_FRAMES)
		in |= reference;
	return in;
}

uint8_t stopturn_step(uint8_t in)
{
	uint8_t at = SAFE_STOP_TURN, seen = in;
	stopturn_still = 0;
	for (struct wire *w = wires; w < wires + WIRES; w++, at += 2) {
		uint8_t rule = safe_u8(at);
		if (rule)
			in = step(w, seen, in, rule, safe_u8(at + 1));
	}
	return in;
}
