/* The frame job: snapshot in, levels and force out (docs/engine.md, section 4). Main side. */
#include "core.h"
#include "check.h"
#include "handover.h"
#include "image.h"
#include "inputs.h"
#include "machine.h"
#include "player.h"
#include "safe.h"
#include "walk.h"

static uint8_t levels[OUTPUTS_LIMIT];    /* lightness of each output */
static uint16_t frame;                   /* jobs done, modulo 65536 */

void core_start(void)
{
	safe_load();
	inputs_start();
	handover_start();
}

uint8_t frame_ready(void)
{
	return job_state == READY;
}

/* The part that a moving layer plays in its present phase. k: its number among the moving ones. */
static struct part part_of(const struct layer *l, uint16_t entry, uint8_t k)
{
	struct part part;
	uint8_t first = image_u8(entry + LAYER_FADE);
	uint8_t slots = image_u8(entry + LAYER_SLOTS);
	if (k >= MOVING_MAX || first >= FADES_MAX || slots > FADES_MAX - first) {
		k = 0;           /* no sane image: it plays on nothing */
		first = 0;
		slots = 0;
	}
	part.player = &players[k];
	part.fades = &fades[first];
	part.slots = slots;
	part.code = image_u16(entry + (l->phase == PHASE_ARRIVE ? LAYER_ARRIVE
		: l->phase == PHASE_LEAVE ? LAYER_LEAVE : LAYER_STAY));
	return part;
}

static uint16_t first_rate(const struct layer *l, uint16_t entry, uint8_t kind)
{
	if (l->phase != PHASE_ARRIVE || !(kind & IS_PACED))
		return RATE_ONE;
	uint8_t pacer = kind & IS_PACER_1 ? 1 : 0;
	return pace_rate(pacer, snapshot.pace[pacer].age, image_u16(entry + LAYER_ARRIVE_N));
}

/* Plays a moving layer's frame. */
static void play(struct layer *l, uint16_t entry, uint8_t kind, const struct part *part)
{
	uint8_t ended;
	if (l->flags & START) {
		ended = player_start(part, first_rate(l, entry, kind));
	} else if (l->flags & PLAYED) {
		ended = part->player->stopped;
	} else {
		if (l->phase == PHASE_STAY && image_linked(entry))
			part->player->rate = link_rate();
		ended = player_frame(part);
	}
	if (ended)
		l->flags |= ENDED;
}

static void paint_still(uint16_t map, uint16_t table, uint8_t n)
{
	for (; n; n--) {
		uint8_t o = image_raw(map++), level = image_u8(table++);
		if (o < OUTPUTS_LIMIT)
			levels[o] = level;
	}
}

static void paint_dark(uint16_t map, uint8_t n)
{
	for (; n; n--) {
		uint8_t o = image_raw(map++);
		if (o < OUTPUTS_LIMIT)
			levels[o] = 0;
	}
}

static void paint_fades(uint16_t map, const struct fade *f, uint8_t n)
{
	for (; n; n--, f++) {
		uint8_t o = image_raw(map++);
		if (o < OUTPUTS_LIMIT)
			levels[o] = f->cur >> 8;
	}
}

/* The linked show that the link keeps in step: of all in stay, the one of highest priority. */
struct linked {
	struct layer *layer;     /* none: 0 */
	uint16_t entry;          /* offset in the image */
	struct part part;
};

/* Finds it, and counts the moving layers. */
static uint8_t survey(struct linked *found)
{
	uint8_t moving = 0;
	found->layer = 0;
	for (uint8_t i = 0; i < layer_count; i++) {
		uint16_t entry = layer_entry(i);
		if (image_u8(entry + LAYER_FLAGS) & IS_STILL)
			continue;
		if (!found->layer && layers[i].phase == PHASE_STAY && image_linked(entry)) {
			found->layer = &layers[i];
			found->entry = entry;
			found->part = part_of(&layers[i], entry, moving);
		}
		moving++;
	}
	return moving;
}

/* Follower: uses what the link brought. A show that is far off begins anew at the leader's position. */
static void follow(const struct linked *show)
{
	uint16_t behind;
	struct link_seen seen = snapshot.link;
	if (!show->layer || (show->layer->flags & START))
		seen.mark = LINK_NONE;
	uint16_t period = show->layer ? image_u16(show->entry + LAYER_STAY_N) : 0;
	if (!link_follow(&seen, show->part.player, period, &behind))
		return;
	player_start(&show->part, link_rate());
	for (; behind >= RATE_ONE; behind -= RATE_ONE)
		player_tick(&show->part);
	show->part.player->acc = behind;
	show->layer->flags |= PLAYED;
}

static void live_job(void)
{
	struct linked show;
	for (uint8_t p = 0; p < PACERS_MAX; p++)
		if (snapshot.pace[p].fresh)
			pace_learn(p, snapshot.pace[p].done);
	machine_step(snapshot.inputs, frame, outcome.force);
	uint8_t k = survey(&show);
	follow(&show);

	for (uint8_t i = layer_count; i-- > 0;) {
		struct layer *l = &layers[i];
		uint16_t entry = layer_entry(i);
		uint8_t kind = image_u8(entry + LAYER_FLAGS);
		if (!(kind & IS_STILL))
			k--;
		if (l->phase != PHASE_OFF) {
			uint16_t map = image_u16(entry + LAYER_MAP);
			uint8_t n = image_holds(map, image_u8(entry + LAYER_SLOTS));
			if (l->phase == PHASE_KEEP) {
				paint_dark(map, n);
			} else if (kind & IS_STILL) {
				paint_still(map, image_u16(entry + LAYER_STAY), n);
			} else {
				struct part part = part_of(l, entry, k);
				play(l, entry, kind, &part);
				paint_fades(map, part.fades, part.slots < n ? part.slots : n);
			}
		}
		l->flags &= ~(START | PLAYED);
	}
	if (ROLE_LINK(image_u8(HEAD_ROLE)) == LINK_LEADER)
		outcome.pull = link_lead(show.layer ? show.part.player : 0,
			show.layer ? image_u16(show.entry + LAYER_STAY_N) : 0);
}

static void begin_live(void)
{
	machine_reset();
	walk_reset();
	outcome.live = 1;
}

void frame_job(void)
{
	if (check_verdict != ACCEPTED) {
		safe_levels(snapshot.inputs, levels);
	} else {
		for (uint8_t o = 0; o < OUTPUTS_LIMIT; o++)
			levels[o] = 0;
		if (image_u8(HEAD_ROLE) & ROLE_WALK) {
			for (uint8_t r = 0; r < REGISTERS_MAX; r++)
				outcome.force[r] = 0;
			walk_step(snapshot.inputs, levels);
		} else {
			live_job();
		}
	}
	planes_build(levels, hidden_planes(), safe_registers);
	if (check_verdict == CHECKING) {
		check_step();
		if (check_verdict == ACCEPTED)
			begin_live();
	}
	frame++;
	job_state = PUBLISHED;
}
