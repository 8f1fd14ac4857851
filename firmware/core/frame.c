/* The frame job: snapshot in, levels and force out (docs/engine.md, section 4). Main side. */
#include "core.h"
#include "check.h"
#include "guard.h"
#include "handover.h"
#include "idle.h"
#include "image.h"
#include "inputs.h"
#include "machine.h"
#include "paint.h"
#include "player.h"
#include "safe.h"
#include "stopturn.h"
#include "store.h"
#include "walk.h"

#define LIVE_FRAMES 63                   /* live mode lasts so long behind a streamed frame */

static uint8_t levels[OUTPUTS_LIMIT];    /* lightness of each output */
static uint8_t live_left;                /* frames of live mode to come */
uint8_t frame;

void core_start(void)
{
	safe_load();
	store_start();
	inputs_start();
	handover_start();
}

uint8_t frame_ready(void)
{
	return job_state == READY;
}

/* Plays a moving layer's frame. */
static void play(struct layer *l, struct player *p, uint16_t entry, uint8_t kind)
{
	uint8_t ended;
	uint8_t start = l->flags & START;
	if (l->phase == PHASE_STAY && image_linked(entry)) {
		p->rate = link_rate();
	} else if (start) {
		p->rate = RATE_ONE;
		if (l->phase == PHASE_ARRIVE && (kind & IS_PACED)) {
			uint8_t pacer = kind & IS_PACER_1 ? 1 : 0;
			p->rate = pace_rate(pacer, snapshot.pace[pacer].age, flash_u16(entry + LAYER_ARRIVE_N));
		}
	}
	if (start)
		ended = player_start(p, entry, flash_u16(entry + LAYER_ARRIVE + 2 * (l->phase - PHASE_ARRIVE)));
	else
		ended = player_frame(p, entry);
	if (ended)
		l->flags |= ENDED;
}

static void paint_dark(uint16_t map, uint8_t n)
{
	for (; n; n--)
		levels[image_u8(map++) % OUTPUTS_LIMIT] = 0;
}

/* Of the linked shows in stay, the one of highest priority: the link keeps it in step. */
struct linked {
	struct player *player;   /* none: 0 */
	uint16_t entry;          /* address in flash of its layer's entry */
	uint16_t period;         /* ticks of its stay */
	uint8_t starts;          /* 1: in this frame */
};

/* Finds it, and tells the link of stays that start. Returns the place behind the last moving layer's player. */
static struct player *survey(struct linked *show)
{
	struct player *p = players;
	uint16_t entry = first_entry;
	*show = (struct linked){0};
	for (struct layer *l = layers; l < layers_end; l++, entry += LAYER_BYTES) {
		if (flash_u8(entry + LAYER_FLAGS) & IS_STILL)
			continue;
		if (l->phase == PHASE_STAY && image_linked(entry)) {
			uint8_t starts = l->flags & START;
			if (starts)
				link_stay_starts();
			if (!show->player) {
				show->player = p;
				show->entry = entry;
				show->period = flash_u16(entry + LAYER_STAY_N);
				show->starts = starts;
			}
		}
		p++;
	}
	return p;
}

/* Follower: uses what the link brought. A show that is far off begins anew, and this frame takes it to the leader's position. */
static void follow(const struct linked *show)
{
	struct player *p = show->player;
	uint16_t behind;
	if (!p || show->starts)
		snapshot.link.mark = LINK_NONE;
	if (link_follow(&snapshot.link, p, show->period, &behind)) {
		player_start(p, show->entry, flash_u16(show->entry + LAYER_STAY));
		p->acc = behind - link_rate();
	}
}

/* Plays and paints all live layers, from the lowest priority to the highest. p: behind the last moving layer's player. */
static void play_and_paint(struct player *p)
{
	struct layer *l = layers_end;
	uint16_t entry = first_entry + LAYER_BYTES * head_u8(HEAD_LAYERS);
	while (l > layers) {
		l--;
		entry -= LAYER_BYTES;
		uint8_t kind = flash_u8(entry + LAYER_FLAGS);
		if (!(kind & IS_STILL))
			p--;
		if (l->phase != PHASE_OFF) {
			if (l->phase == PHASE_KEEP) {
				paint_dark(flash_u16(entry + LAYER_MAP), flash_u8(entry + LAYER_SLOTS));
			} else if (kind & IS_STILL) {
				paint_still(entry, levels);
			} else {
				play(l, p, entry, kind);
				paint_fades(entry, levels);
			}
		}
	}
}

static void run_layers(uint8_t in)
{
	struct linked show;
	for (uint8_t p = 0; p < PACERS_MAX; p++)
		if (snapshot.pace[p].fresh && !(head_u8(HEAD_PACER + p) & stopturn_still))
			pace_learn(p, snapshot.pace[p].done);
	machine_step(in, guard, outcome.force);
	struct player *end = survey(&show);
	follow(&show);
	play_and_paint(end);
	if (ROLE_LINK(image_role) == LINK_LEADER)
		outcome.pull = link_lead(show.player, show.period);
}

static void run_image(uint8_t in)
{
	for (uint8_t r = 0; r < REGISTERS_MAX; r++)
		outcome.force[r] = 0;
	if (image_role & ROLE_WALK)
		walk_step(in, levels);
	else
		run_layers(in);
}

static void run_safe(uint8_t in)
{
	for (uint8_t r = 0; r < REGISTERS_MAX; r++)
		outcome.force[r] = safe_u8(SAFE_STOP_OUT + r);
	safe_levels(in, levels, check_verdict == CHECKING);
}

static void check_image(void)
{
	check_step();
	if (check_verdict == ACCEPTED) {
		machine_reset();
		walk_reset();
		outcome.live = 1;
	}
}

/* What the layers lie over: darkness, or what was streamed. */
static void lay_ground(void)
{
	const uint8_t *streamed = STREAMED_LEVELS;
	uint8_t mask = 0;
	if (snapshot.streamed)
		live_left = LIVE_FRAMES;
	guard &= ~GUARD_LIVE;
	if (live_left) {
		live_left--;
		guard |= GUARD_LIVE;
		mask = 0xFF;
	}
	for (uint8_t o = 0; o < OUTPUTS_LIMIT; o++)
		levels[o] = streamed[o] & mask;
}

void frame_job(void)
{
	HANDOVER_BARRIER();
	uint8_t runs = check_verdict == ACCEPTED;
	uint8_t in = stopturn_step(snapshot.inputs);
	guard_step(frame, snapshot.code, runs);
	lay_ground();
	if (runs)
		run_image(in);
	else
		run_safe(in);
	if (guard & GUARD_OVER)                  /* a stop is halved too: the frame job lights it then */
		for (uint8_t r = 0; r < REGISTERS_MAX; r++)
			outcome.force[r] = 0;
	planes_build(levels, hidden_planes(), safe_registers, guard & GUARD_HALVES);
	store_step();
	if (check_verdict == CHECKING)
		check_image();
	idle_step(!runs || image_role & ROLE_WALK || guard & GUARD_LIVE || snapshot.stirred || outcome.pull || store_waits);
	frame++;
	HANDOVER_BARRIER();
	job_state = PUBLISHED;
}
