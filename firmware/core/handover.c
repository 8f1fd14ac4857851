#include "handover.h"
#include "image.h"
#include "inputs.h"
#include "safe.h"

#define PHASES 8                 /* refreshes a frame */

uint8_t planes[2][PLANE_COUNT][PLANE_BYTES];
uint8_t *shown;
uint8_t force_now[REGISTERS_MAX];
volatile uint8_t job_state;
struct snapshot snapshot;
struct outcome outcome;

/* Owned by the interrupt. */
static uint8_t phase;                            /* 0..7, of the refresh that is shown */
static uint8_t stop_inputs;                      /* constant after the start */
static uint8_t force_set[REGISTERS_MAX];         /* as last published */
static uint8_t live;                             /* 1: the accepted image rules */

void handover_start(void)
{
	shown = planes[0][0];
	stop_inputs = safe_u8(SAFE_STOP_IN);
	for (uint8_t r = 0; r < REGISTERS_MAX; r++)
		outcome.force[r] = force_set[r] = safe_u8(SAFE_STOP_OUT + r);
}

OUT_OF_LINE uint8_t *hidden_planes(void)
{
	return shown == planes[0][0] ? planes[1][0] : planes[0][0];
}

static void force(void)
{
	uint8_t on = inputs_on & stop_inputs ? 0xFF : 0;
	for (uint8_t r = 0; r < REGISTERS_MAX; r++)
		force_now[r] = force_set[r] & on;
}

static void show_outcome(void)
{
	shown = hidden_planes();
	for (uint8_t r = 0; r < REGISTERS_MAX; r++)
		force_set[r] = outcome.force[r];
	force();
	if (outcome.pull)
		link_pull();
	else
		link_release();
	if (outcome.live && !live) {
		live = 1;
		pace_begin(PHASES * frame);
		link_begin();
	}
}

/* Kept out of what most refreshes run through, so that they need not save its registers. */
OUT_OF_LINE static void begin_frame(void)
{
	if (job_state == PUBLISHED)
		show_outcome();
	snapshot.inputs = inputs_on;
	snapshot.stirred = inputs_on | inputs_counting | serial_heard;
	serial_heard = 0;
	snapshot.streamed = serial_fresh;
	serial_fresh = 0;
	snapshot.code = sense_next(frame);
	pace_snapshot(snapshot.pace);
	link_snapshot(&snapshot.link);
	job_state = READY;
}

uint8_t refresh_next(uint8_t in, uint8_t link)
{
	uint8_t flipped = inputs_refresh(in);
	if (live) {
		pace_refresh(inputs_on, flipped);
		link_refresh(link);
	}
	if (flipped & stop_inputs)
		force();
	port_serial();
	uint8_t next = (uint8_t)(phase + 1) % PHASES;
	phase = next;
	if (next == 0 && job_state != READY)
		begin_frame();
	return next;
}
